import { bandText, spanWords } from "../figures/exceedanceFigure.ts";
import { ink, lines } from "../figures/look.ts";
import type { Banded } from "../study/lotResults.ts";
import { displayUnits, threeFigures, volumeText, waterText } from "../text/format.ts";
import { lastingText } from "../text/hours.ts";
import { plainText } from "../text/plainText.ts";
import { heightText, percentText } from "../text/words.ts";
import { cautionSections } from "./cautionSections.ts";
import { lotsScript } from "./lotsScript.ts";
import {
  DECIDER_WORDS, DECIDERS, decidesSentence, firstNames, lotsSentence, type LotsTold, STATE_WORDS, STATES, testFirst, testWords,
  yearsSentence,
} from "./lotsTold.ts";
import { html, scriptData, trusted } from "./markup.ts";
import { livePolicy } from "./pageFrame.ts";
import { pageStyle } from "./pageStyle.ts";
import { guttersSection, moundsSection } from "./streetSections.ts";

/**
 * The page of a table of lots, in one file that asks for nothing from outside: what happens on how many, a table and a map that can be
 * searched, what runs to the street's gutters and low spots, and what pits do to their neighbours' water table.
 */
export function lotsPage(told: LotsTold): string {
  const { pattern, lots, gutters, storm } = told;
  const { factorOfSafety } = pattern.soil;
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
                yearsSentence(told),
                first.length === 0
                  ? null
                  : `Test the soil first on ${first.length} ${first.length === 1 ? "lot" : "lots"}, where it alone decides whether the works hold or spill: ${firstNames(first, 8)}.`,
                ...told.notes,
              ]
                .filter((note) => note !== null)
                .map((note) => html`<li>${note}</li>`)}
            </ul>
            <p class="soil">
              Each lot was run in ${told.soils} soils: its own conductivity times factors within which 95 of 100 soils lie if it is known
              within a factor of ${told.conductivityWithin}, which is assumed, not
              measured.${factorOfSafety === 1 ? "" : ` The pattern divides a tested conductivity by ${threeFigures(factorOfSafety)}, and so does every run here: a rule of design, no knowledge of the soil.`}${told.sized === 0 ? "" : ` The works of each lot are the smallest of ${told.sized} sizes that do what the pattern's study of sizes asks${lots.some(({ result }) => result.design === null) ? `; on ${lots.filter(({ result }) => result.design === null).length} no size does, and theirs stay as the table has them` : ""}.`}
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
                    ${STATES.map((state, i) => html`<option value="${i}">${STATE_WORDS[state]}</option>`)}
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
            ${gutters.length === 0 ? null : guttersSection(told)}
            ${told.within === null ? null : moundsSection(told)}
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
            <p>Made by soakstep: a water balance of every body of every lot, stepped through the storm “${plainText(storm, 60)}”${told.years === null ? "" : ` and ${spanWords(told.years.length)} of rain`}.</p>
          </footer>
        </div>
        <noscript
          ><p>
            The table needs a script, which this page carries itself; ${told.files.lots} beside it holds the same numbers.
          </p></noscript
        >
        <script type="application/json" id="lots">
          ${scriptData(lotsData(told))}
        </script>
        <script>
          ${trusted(lotsScript)};
        </script>
      </body>
    </html> `.markup;
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
#table td:not(.left) { white-space: normal; } #table td:not(.left) span { white-space: nowrap; }
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

/**
 * What the script of a page of lots draws, a list a lot in the order of `columns`: words as everywhere, and numbers to sort and draw by in
 * SI, null if missing.
 */
function lotsData(told: LotsTold): object {
  const { pattern, lots, keys, soils, rises, years, table, patternPath } = told;
  const { units } = pattern;
  const { label, size } = displayUnits(units).level;
  const riseOf = new Map(rises.map(({ lot, rise }) => [lot, rise]));
  const volume = (value: number): string => volumeText(value, units);
  return {
    columns: COLUMNS,
    soils,
    hasRise: rises.length > 0,
    hasYears: years !== null,
    hasLid: pattern.emitter !== null,
    keys,
    states: STATES.map((state) => STATE_WORDS[state]),
    deciders: DECIDERS.map((name) => DECIDER_WORDS[name]),
    command: `soakstep lots ${table} --site ${patternPath} --lot NAME`,
    map: { unit: label, metres: size },
    colors: {
      pit: lines.pit.color,
      lid: lines.emitter.color,
      rule: ink.rule,
      soft: ink.soft,
      text: ink.text,
      states: [lines.pit.color, lines.box.color, lines.emitter.color, ink.soft],
    },
    rows: lots.map((each): Record<(typeof COLUMNS)[number], unknown> => {
      const { lot, result } = each;
      const {
        pit: { floor, ground },
        place,
      } = lot;
      const { pitPeak, emitterVolume, half } = result.answers;
      const below: Banded = { own: ground - pitPeak.own, least: ground - pitPeak.most, most: ground - pitPeak.least };
      const rise = riseOf.get(result.lot);
      const inYears = years?.lots.get(result.lot);
      const often = pattern.emitter === null ? inYears?.spillStorms : inYears?.firingStorms;
      return {
        name: lot.name,
        state: STATES.indexOf(result.state),
        out: sortable(result.out.own),
        outMost: sortable(result.out.most),
        outText: banded(result.out, volume),
        lidText: figure(emitterVolume.own, volume),
        isOpen: emitterVolume.own > 0,
        pit: sortable(below.own),
        pitText: banded(below, (value) => waterText(value, units)),
        half: sortable(half.own),
        halfText: figure(half.own, lastingText),
        holds: sortable(result.holds),
        holdsText: figure(result.holds, (share) => String(Math.round(share * soils))),
        decides: result.decides === null ? DECIDERS.length : DECIDERS.indexOf(result.decides),
        keepsText: result.decides === null || result.decides === "rain" ? "" : percentText(result.keeps),
        tests: lot.tested === true ? 0 : sortable(result.testTells),
        testText: testWords(each),
        runsTo: lot.runsTo,
        rise: sortable(rise ?? NaN),
        riseText: figure(rise ?? NaN, (value) => heightText(value, units)),
        often: sortable(often?.own ?? NaN),
        oftenText: often === undefined ? NONE : banded(often, threeFigures),
        yearText: inYears === undefined || pattern.emitter === null ? "" : banded(inYears.emitterVolume, volume),
        greatestText: inYears === undefined || pattern.emitter === null ? "" : banded(inYears.greatestStorm, volume),
        wetText: inYears === undefined ? "" : banded(inYears.wet, percentText),
        fill: sortable((pitPeak.own - floor) / (ground - floor)),
        x: sortable(place?.x ?? NaN),
        y: sortable(place?.y ?? NaN),
        rings: (place?.rings ?? []).map((ring) => ring.map(([x, y]) => [sortable(x), sortable(y)])),
        values: lot.values,
      };
    }).map((row) => COLUMNS.map((name) => row[name])),
  };
}

const COLUMNS = [
  "name", "state", "out", "outMost", "outText", "lidText", "isOpen", "pit", "pitText", "half", "halfText", "holds", "holdsText", "decides",
  "keepsText", "tests", "testText", "runsTo", "rise", "riseText", "often", "oftenText", "yearText", "greatestText", "wetText", "fill", "x", "y",
  "rings", "values",
] as const;

const NONE = "–";

/** To the millimetre, or a thousandth of a share. */
function sortable(value: number): number | null {
  return Number.isFinite(value) ? Number(value.toFixed(3)) : null;
}

function figure(value: number, text: (value: number) => string): string {
  return Number.isNaN(value) ? NONE : text(value);
}

/** The lot's own, and in brackets the least and the most of all its soils. */
function banded({ own, least, most }: Banded, text: (value: number) => string): string {
  if (Number.isNaN(least)) return NONE;
  return bandText({ value: own, low: least, high: most }, (value) => figure(value, text));
}
