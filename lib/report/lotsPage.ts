import { ink, lines } from "../figures/look.ts";
import { plainText } from "../text/plainText.ts";
import type { Site } from "../site/site.ts";
import type { Decider, LotResult, LotState } from "../study/lotResults.ts";
import type { Lot } from "../study/lotTable.ts";
import type { Gutter, NeighbourRise, SummedLedger } from "../study/streets.ts";
import { flowText, volumeText, type UnitSystem } from "../text/format.ts";
import { momentText } from "../text/hours.ts";
import type { ToldProblem } from "../text/problem.ts";
import { heightText } from "../text/words.ts";
import { cautionSections } from "./cautionSections.ts";
import { lotsScript } from "./lotsScript.ts";
import { html, scriptData, trusted, type Markup } from "./markup.ts";
import { livePolicy } from "./pageFrame.ts";
import { pageStyle } from "./pageStyle.ts";

/** Lots of a table in one storm, and what they do to one another. */
export interface LotsTold {
  /** of the table's file, for the command that makes one lot's report */
  readonly table: string;
  readonly patternPath: string;
  readonly pattern: Site;
  readonly storm: string;
  readonly keys: readonly string[];
  /** combinations of sizes that the works of each lot were chosen from; 0 where they stay as the table has them */
  readonly sized: number;
  readonly soils: number;
  readonly conductivityWithin: number;
  readonly lots: readonly { readonly lot: Lot; readonly result: LotResult }[];
  readonly gutters: readonly Gutter[];
  readonly rises: readonly NeighbourRise[];
  /** [m]; null where nothing was asked of neighbours */
  readonly within: number | null;
  /** what all pits within reach of one another soaked away, as their ledgers have it and as the mounds took it [m3] */
  readonly soaked: { readonly ledgers: number; readonly mounds: number };
  /** of rows that cannot be run */
  readonly problems: readonly Pick<ToldProblem, "where" | "expected" | "got">[];
  readonly bad: number;
  readonly notes: readonly string[];
}

export const STATES: readonly LotState[] = ["holds", "lid opens", "spills", "not run"];
const DECIDERS: readonly Decider[] = ["soil", "water table", "room", "rain"];

/** The states of lots, counted. */
export function counted(lots: LotsTold["lots"]): Readonly<Record<LotState, number>> {
  return Object.fromEntries(STATES.map((state) => [state, lots.filter(({ result }) => result.state === state).length])) as Record<
    LotState,
    number
  >;
}

/** What happens on how many lots, in a sentence. */
export function lotsSentence({ lots, storm }: Pick<LotsTold, "lots" | "storm">): string {
  const count = counted(lots);
  const parts = [
    `${count.holds} ${count.holds === 1 ? "holds" : "hold"} it all`,
    ...(count["lid opens"] > 0 ? [`the lid opens on ${count["lid opens"]}`] : []),
    ...(count.spills > 0 ? [`water comes out elsewhere on ${count.spills}`] : []),
    ...(count["not run"] > 0 ? [`${count["not run"]} could not be run to the end`] : []),
  ];
  return `In the storm “${plainText(storm, 60)}”, of ${lots.length} ${lots.length === 1 ? "lot" : "lots"} ${parts.join(", ")}.`;
}

/** What would help most where water comes out, in a sentence; null where none comes out. */
export function decidesSentence({ lots }: Pick<LotsTold, "lots">): string | null {
  const told = lots.filter(({ result }) => result.decides !== null);
  if (told.length === 0) return null;
  const parts = DECIDERS.map((name) => [name, told.filter(({ result }) => result.decides === name).length] as const)
    .filter(([, count]) => count > 0)
    .sort((a, b) => b[1] - a[1])
    .map(([name, count]) => `${DECIDER_WORDS[name]} on ${count}`);
  return `Where water comes out, what would keep most of it in: ${parts.join("; ")}.`;
}

const DECIDER_WORDS: Readonly<Record<Decider, string>> = {
  soil: "a more open soil",
  "water table": "a lower water table",
  room: "half as much room again",
  rain: "none of these alone",
};

/** Lots whose soil is worth a test before all others: those not tested yet on which it tells most. */
export function testFirst({ lots }: Pick<LotsTold, "lots">): readonly { readonly lot: Lot; readonly result: LotResult }[] {
  return lots
    .filter(({ lot, result }) => lot.tested !== true && result.testTells >= TELLS)
    .sort((a, b) => b.result.testTells - a.result.testTells || b.result.out.most - a.result.out.most);
}

/** A test tells much where the less likely answer has three soils in ten. */
const TELLS = 0.3;

/**
 * The page of a table of lots, in one file that asks for nothing from outside: what happens on how many, a table and a map that can be
 * searched, what runs to the street's gutters and low spots, and what pits do to their neighbours' water table.
 */
export function lotsPage(told: LotsTold): string {
  const { pattern, lots, gutters, rises, storm } = told;
  const { units } = pattern;
  const hasMap = lots.some(({ lot }) => lot.place !== null);
  const first = testFirst(told);
  const title = lotsSentence(told);
  return html`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta http-equiv="Content-Security-Policy" content="${livePolicy(false)}" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <title>${title}</title>
        <style>
          ${trusted(pageStyle + STYLE)}
        </style>
      </head>
      <body>
        <a class="skip" href="#answers">To the answers</a>
        <div class="page">
          <header>
            <p class="place">
              <bdi>${plainText(told.table)}</bdi>, each lot the works of <bdi>${plainText(pattern.name)}</bdi> with its own values
            </p>
            <h1>${title}</h1>
            <ul class="notes">
              ${[
                decidesSentence(told),
                first.length === 0
                  ? null
                  : `Test the soil first on ${first.length} ${first.length === 1 ? "lot" : "lots"}, where it alone decides whether the works hold or spill: ${first
                      .slice(0, 8)
                      .map(({ lot }) => plainText(lot.name, 40))
                      .join(", ")}${first.length > 8 ? " and others" : ""}.`,
                ...told.notes,
              ]
                .filter((note) => note !== null)
                .map((note) => html`<li>${note}</li>`)}
            </ul>
            <p class="soil">
              Each lot was run in ${told.soils} soils: its own conductivity times factors within which 95 of 100 soils lie if it is known
              within a factor of ${told.conductivityWithin}, which is assumed, not
              measured.${told.sized === 0 ? "" : ` The works of each lot are the smallest of ${told.sized} sizes that do what the pattern's study of sizes asks${lots.some(({ result }) => result.design === null) ? `; on ${lots.filter(({ result }) => result.design === null).length} no size does, and theirs stay as the table has them` : ""}.`}
              A figure is that of the lot's own soil; the least and the most of all its soils follow in brackets.
            </p>
          </header>
          <main id="answers">
            <section aria-label="The lots" class="lots">
              <h2>The lots</h2>
              ${
                hasMap
                  ? html`<canvas
                        id="map"
                        role="img"
                        aria-label="Map of the lots; the table below holds the same. A full circle holds the storm, a ring has a lid that opens, a triangle spills, a cross could not be run."
                      ></canvas>
                      <p class="key">
                        <span class="s0">●</span> holds <span class="s1">○</span> the lid opens <span class="s2">▲</span> water comes out
                        elsewhere <span class="s3">✕</span> not run. Drawn from the table's own coordinates; a click shows the lot.
                      </p>`
                  : html`<p class="about">
                      The table gives no places: with columns x and y, longitude and latitude, or as GeoJSON, the lots stand on a map
                      here.
                    </p>`
              }
              <div class="find">
                <label>Lot or gutter <input id="find" type="search" /></label>
                <label
                  >What happens
                  <select id="state">
                    <option value="">all</option>
                    ${STATES.map((state, i) => html`<option value="${i}">${state}</option>`)}
                  </select></label
                >
                <label
                  >What would help most
                  <select id="decides">
                    <option value="">all</option>
                    ${DECIDERS.map((name, i) => html`<option value="${i}">${DECIDER_WORDS[name]}</option>`)}
                  </select></label
                >
              </div>
              <div id="lot" aria-live="polite" hidden></div>
              <div class="scroll" role="region" aria-label="The lots in a table" tabindex="0">
                <table id="table">
                  <thead>
                    <tr id="heads"></tr>
                  </thead>
                  <tbody id="rows"></tbody>
                </table>
              </div>
              <p class="pages">
                <button type="button" id="before">Lots before</button> <span id="told" role="status"></span>
                <button type="button" id="after">Lots after</button>
              </p>
            </section>
            ${gutters.length === 0 ? null : guttersSection(gutters, units)}
            ${told.within === null ? null : moundsSection(told, rises, units)}
            ${
              told.bad === 0
                ? null
                : html`<section aria-label="Rows that were not run">
                    <h2>${told.bad === 1 ? "One row was" : `${told.bad} rows were`} not run</h2>
                    <ul class="notes">
                      ${told.problems.slice(0, 200).map(({ where, expected, got }) => html`<li>${where}: expected ${expected}, got ${got}</li>`)}
                    </ul>
                    ${told.problems.length > 200 ? html`<p>And ${told.problems.length - 200} more problems, which the terminal tells.</p>` : null}
                  </section>`
            }
            ${cautionSections()}
          </main>
          <footer>
            <p>Made by soakstep: a water balance of every body of every lot, stepped through the storm “${plainText(storm, 60)}”.</p>
          </footer>
        </div>
        <noscript
          ><p>
            The table needs a script, which this page carries itself; the file of results beside it holds the same numbers.
          </p></noscript
        >
        <script type="application/json" id="lots">
          ${scriptData(dataOf(told))}
        </script>
        <script>
          ${trusted(lotsScript)};
        </script>
      </body>
    </html> `.markup;
}

function guttersSection(gutters: readonly Gutter[], units: UnitSystem): Markup {
  const busiest = gutters.reduce((most, each) => (each.peak > most.peak ? each : most));
  const answer =
    busiest.peak === 0
      ? "No lid lets water out into a gutter or low spot"
      : `The lids send “${plainText(busiest.name, 40)}” at most ${flowText(busiest.peak, units)}, ${momentText(busiest.peakTime!)}`;
  return html`<section aria-labelledby="gutters-name">
    <h2 id="gutters-name">${answer}</h2>
    <p>
      Flows of the lids that run to one place are added as they leave the lids; on the way along the street they would be spread, so that
      this is on the safe side of a peak. A figure is the mean over a few minutes.
    </p>
    <div class="scroll" role="region" aria-label="Gutters and low spots" tabindex="0">
      <table>
        <thead>
          <tr>
            <th scope="col">gutter or low spot</th>
            <th scope="col">lots</th>
            <th scope="col">greatest flow together</th>
            <th scope="col">when</th>
            <th scope="col">if all came at once</th>
            <th scope="col">volume</th>
            <th scope="col">over time</th>
          </tr>
        </thead>
        <tbody>
          ${[...gutters]
            .sort((a, b) => b.peak - a.peak)
            .slice(0, MOST_SHOWN)
            .map(
              (gutter) =>
                html`<tr>
                  <th scope="row">${plainText(gutter.name, 60)}</th>
                  <td>${gutter.lots.length}</td>
                  <td>${flowText(gutter.peak, units)}</td>
                  <td>${gutter.peakTime === null ? "–" : momentText(gutter.peakTime)}</td>
                  <td>${flowText(gutter.atOnce, units)}</td>
                  <td>${volumeText(gutter.volume, units)}</td>
                  <td>${sparkline(gutter.flow, busiest.peak)}</td>
                </tr>`,
            )}
        </tbody>
      </table>
    </div>
    ${gutters.length > MOST_SHOWN ? html`<p>The ${MOST_SHOWN} busiest of ${gutters.length}; the file of results has all.</p>` : null}
    <h3>Where the water of their lots goes</h3>
    ${ledgerTable([...gutters].sort((a, b) => b.peak - a.peak).slice(0, MOST_SHOWN), units)}
  </section>`;
}

const MOST_SHOWN = 40;

function ledgerTable(gutters: readonly Gutter[], units: UnitSystem): Markup {
  const soil = (ledger: SummedLedger): number => ledger.bankSeepage + ledger.trenchSeepage + ledger.weep + ledger.lowSpotSeepage;
  const surface = (ledger: SummedLedger): number => ledger.boxSpill + ledger.bankSpill + ledger.trenchSpill + ledger.lowSpotOverflow;
  const entry = (volume: number): string => volumeText(volume, units);
  return html`<div class="scroll" role="region" aria-label="Ledgers of gutters and low spots" tabindex="0">
    <table>
      <thead>
        <tr>
          <th scope="col">gutter or low spot</th>
          <th scope="col">ran in</th>
          <th scope="col">into the soil</th>
          <th scope="col">at the lids</th>
          <th scope="col">elsewhere at the surface</th>
          <th scope="col">more stored at the end</th>
          <th scope="col">left over</th>
          <th scope="col">added up over time, less at the lids</th>
        </tr>
      </thead>
      <tbody>
        ${gutters.map(
          ({ name, ledger, difference, stopped }) =>
            html`<tr>
              <th scope="row">${plainText(name, 60)}${stopped > 0 ? ` (without ${stopped} not run)` : ""}</th>
              <td>${entry(ledger.inflow)}</td>
              <td>${entry(soil(ledger))}</td>
              <td>${entry(ledger.emitter)}</td>
              <td>${entry(surface(ledger))}</td>
              <td>${entry(ledger.storedEnd - ledger.storedStart)}</td>
              <td>${litres(ledger.error)}</td>
              <td>${litres(-difference)}</td>
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`;
}

/** What closes a ledger, to a millilitre. */
function litres(volume: number): string {
  const millilitres = Math.round(volume * 1e6);
  return millilitres === 0 ? "0" : `${millilitres} mL`;
}

function sparkline(flow: Float64Array, most: number): Markup {
  if (most === 0) return html``;
  const points = Array.from({ length: 120 }, (_, i) => {
    const stretch = flow.subarray(
      Math.floor((i * flow.length) / 120),
      Math.max(Math.floor((i * flow.length) / 120) + 1, Math.floor(((i + 1) * flow.length) / 120)),
    );
    return `${i},${(26 - 24 * (stretch.reduce((top, each) => Math.max(top, each), 0) / most)).toFixed(1)}`;
  });
  return html`<svg width="120" height="28" viewBox="0 0 120 28" role="img" aria-label="flow over the run">
    <path d="M0,27 L${points.join(" L")} L119,27" fill="${lines.emitter.color}33" stroke="${lines.emitter.color}" stroke-width="1" />
  </svg>`;
}

function moundsSection({ within, lots, soaked }: LotsTold, rises: readonly NeighbourRise[], units: UnitSystem): Markup {
  const names = new Map(lots.map(({ lot, result }) => [result.lot, lot.name]));
  const most = [...rises].sort((a, b) => b.rise - a.rise);
  const answer =
    most.length === 0
      ? `No two pits lie within ${heightText(within!, units)} of one another`
      : `Neighbours' mounds lift the water table under “${plainText(names.get(most[0]!.lot) ?? "", 40)}” by ${heightText(most[0]!.rise, units)}`;
  return html`<section aria-labelledby="mounds-name">
    <h2 id="mounds-name">${answer}</h2>
    <p>
      Under the middle of a pit the mounds of all pits within ${heightText(within!, units)} are added up (the linear law of Hantush adds).
      The runs themselves do not feel their neighbours: where the sum is not small against the depth from the pit's floor to the water
      table, run that lot with its water table so much higher.
    </p>
    ${
      most.length === 0
        ? null
        : html`<div class="scroll" role="region" aria-label="Mounds of neighbours" tabindex="0">
              <table>
                <thead>
                  <tr>
                    <th scope="col">lot</th>
                    <th scope="col">neighbours</th>
                    <th scope="col">their mounds lift the water table by</th>
                    <th scope="col">when</th>
                    <th scope="col">its own mound then</th>
                  </tr>
                </thead>
                <tbody>
                  ${most.slice(0, MOST_SHOWN).map(
                    ({ lot, neighbours, rise, time, own }) =>
                      html`<tr>
                        <th scope="row">${plainText(names.get(lot) ?? "", 60)}</th>
                        <td>${neighbours.length}</td>
                        <td>${heightText(rise, units)}</td>
                        <td>${momentText(time)}</td>
                        <td>${heightText(own, units)}</td>
                      </tr>`,
                  )}
                </tbody>
              </table>
            </div>
            ${most.length > MOST_SHOWN ? html`<p>The ${MOST_SHOWN} greatest of ${most.length}; the file of results has all.</p>` : null}
            <p>
              Ledger: these pits soaked away ${volumeText(soaked.ledgers, units)} in their runs, and ${volumeText(soaked.mounds, units)}
              went into the mounds; left over ${litres(soaked.ledgers - soaked.mounds)}.
            </p>`
    }
  </section>`;
}

/** What the script draws: numbers in the units of the page, to what is shown of them. */
function dataOf({ pattern, lots, keys, soils, rises, table, patternPath }: LotsTold): object {
  const isUs = pattern.units === "us";
  const [volume, length] = isUs ? [0.003785411784, 0.3048] : [1, 1];
  const shown = (value: number, unit: number): number | null => (Number.isFinite(value) ? Number((value / unit).toFixed(3)) : null);
  const riseOf = new Map(rises.map(({ lot, rise }) => [lot, rise]));
  const columns = [
    "name",
    "state",
    "out",
    "outLeast",
    "outMost",
    "lid",
    "pit",
    "pitLeast",
    "pitMost",
    "half",
    "holds",
    "decides",
    "keeps",
    "tells",
    "tested",
    "runsTo",
    "rise",
    "fill",
    "x",
    "y",
    "rings",
    "values",
  ];
  return {
    columns,
    soils,
    hasRise: rises.length > 0,
    keys,
    states: ["holds", "the lid opens", "water comes out elsewhere", "not run"],
    deciders: DECIDERS.map((name) => DECIDER_WORDS[name]),
    command: `soakstep lots ${table} --site ${patternPath} --lot NAME`,
    units: {
      volume: isUs ? "gal" : "m³",
      length: isUs ? "ft" : "m",
      map: isUs ? { name: "ft", metres: 0.3048 } : { name: "m", metres: 1 },
    },
    isNorthUp: true,
    colors: {
      pit: lines.pit.color,
      lid: lines.emitter.color,
      rule: ink.rule,
      soft: ink.soft,
      text: ink.text,
      states: [lines.pit.color, lines.box.color, lines.emitter.color, ink.soft],
    },
    rows: lots.map(({ lot, result }) => {
      const {
        pit: { floor, ground },
        place,
      } = lot;
      const { pitPeak, emitterVolume, half } = result.answers;
      return [
        lot.name,
        STATES.indexOf(result.state),
        shown(result.out.own, volume),
        shown(result.out.least, volume),
        shown(result.out.most, volume),
        shown(emitterVolume.own, volume),
        shown(ground - pitPeak.own, length),
        shown(ground - pitPeak.most, length),
        shown(ground - pitPeak.least, length),
        shown(half.own, 3600),
        shown(result.holds, 1),
        result.decides === null ? 4 : DECIDERS.indexOf(result.decides),
        shown(result.keeps, 1),
        shown(result.testTells, 1),
        lot.tested === true ? 1 : 0,
        lot.runsTo,
        riseOf.has(result.lot) ? shown(riseOf.get(result.lot)!, length) : null,
        shown((pitPeak.own - floor) / (ground - floor), 1),
        place === null ? null : shown(place.x, 1),
        place === null ? null : shown(place.y, 1),
        (place?.rings ?? []).map((ring) => ring.map(([x, y]) => [shown(x, 1), shown(y, 1)])),
        lot.values,
      ];
    }),
  };
}

const STYLE = `
.lots canvas { width: 100%; display: block; border: 1px solid ${ink.grid}; cursor: pointer; }
.key { font-size: 14px; color: ${ink.soft}; }
.key span { margin-left: 10px; font-size: 17px; }
.key .s0 { color: ${lines.pit.color}; margin-left: 0; } .key .s1 { color: ${lines.box.color}; } .key .s2 { color: ${lines.emitter.color}; }
.find { display: flex; flex-wrap: wrap; gap: 10px 26px; margin: 18px 0; }
.find label { font-size: 14px; color: ${ink.soft}; }
.find input, .find select { display: block; font: inherit; font-size: 16px; color: ${ink.text}; padding: 5px 8px; border: 1px solid ${ink.rule}; border-radius: 4px; background: #fff; }
#table button { font: inherit; color: inherit; background: none; border: 0; padding: 0; text-align: inherit; cursor: pointer; }
#table tbody th button { color: ${lines.pit.color}; text-decoration: underline; text-underline-offset: 3px; }
#table thead th[aria-sort=ascending] button::after { content: " ↑"; } #table thead th[aria-sort=descending] button::after { content: " ↓"; }
#table .left { text-align: left; }
#table td.left { white-space: normal; min-width: 7em; }
#table svg { display: block; }
#table tr.chosen > * { background: #f4efe4; }
#lot { border: 1px solid ${ink.rule}; border-radius: 6px; padding: 4px 18px 10px; margin: 0 0 22px; }
#lot h3 { margin-top: 12px; }
.pages { display: flex; gap: 16px; align-items: center; font-size: 14px; color: ${ink.soft}; }
.pages button { font: inherit; padding: 5px 12px; border: 1px solid ${ink.rule}; border-radius: 4px; background: #fff; color: ${ink.text}; cursor: pointer; }
.pages button:disabled { color: ${ink.rule}; cursor: default; }
button:focus-visible, input:focus-visible, select:focus-visible { outline: 3px solid ${lines.emitter.color}; outline-offset: 2px; }
@media print { .find, .pages { display: none; } }
`;
