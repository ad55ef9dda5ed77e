import { lines } from "../figures/look.ts";
import type { Gutter, SummedLedger } from "../study/streets.ts";
import { flowText, volumeText, type UnitSystem } from "../text/format.ts";
import { momentText } from "../text/hours.ts";
import { plainText } from "../text/plainText.ts";
import { heightText } from "../text/words.ts";
import { busiestSentence, riseSentence, type LotsTold } from "./lotsTold.ts";
import { html, type Markup } from "./markup.ts";

/** What runs to the street's gutters and low spots, with the ledgers of their lots. */
export function guttersSection({ gutters, files, pattern: { units } }: LotsTold): Markup {
  const busiest = gutters.reduce((most, each) => (each.peak > most.peak ? each : most));
  return html`<section aria-labelledby="gutters-name">
    <h2 id="gutters-name">${heading(busiestSentence(busiest, units))}</h2>
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
    ${gutters.length > MOST_SHOWN ? html`<p>The ${MOST_SHOWN} busiest of ${gutters.length}; ${files.streets} has all.</p>` : null}
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

/** What pits do to their neighbours' water table. */
export function moundsSection({ within, lots, rises, soaked, files, pattern: { units } }: LotsTold): Markup {
  const names = new Map(lots.map(({ lot, result }) => [result.lot, lot.name]));
  const most = [...rises].sort((a, b) => b.rise - a.rise);
  const answer =
    most.length === 0
      ? `No two pits lie within ${heightText(within!, units)} of one another`
      : heading(riseSentence(names.get(most[0]!.lot) ?? "", most[0]!, units));
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
            ${most.length > MOST_SHOWN ? html`<p>The ${MOST_SHOWN} greatest of ${most.length}; ${files.lots} has all.</p>` : null}
            <p>
              Ledger: these pits soaked away ${volumeText(soaked.ledgers, units)} in their runs, and ${volumeText(soaked.mounds, units)}
              went into the mounds; left over ${litres(soaked.ledgers - soaked.mounds)}.
            </p>`
    }
  </section>`;
}

/** A sentence as a heading has it. */
function heading(sentence: string): string {
  return sentence.replace(/\.$/, "");
}
