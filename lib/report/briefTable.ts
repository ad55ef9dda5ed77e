import { displayUnits, levelText, volumeText } from "../text/format.ts";
import { emitterTotals, spilledText } from "../figures/answer.ts";
import { lastingText } from "../text/hours.ts";
import { DRY } from "../figures/bodyViews.ts";
import { plainText } from "../text/plainText.ts";
import { rainText } from "../figures/rainPanel.ts";
import type { Run } from "../simulate/run.ts";
import type { Site } from "../site/site.ts";
import { drainCell, neverEmpty } from "./drainWords.ts";
import { html, type Markup } from "./markup.ts";
import { stormId } from "./stormSection.ts";
import { edgeWords, spareText, type StormRun } from "./summary.ts";

/** The first look: a row a storm (a card on a phone), which leads to its part of the page, with the few answers that decide. */
export function briefTable(storms: readonly StormRun[]): Markup {
  const { site } = storms[0]!.run;
  const columns = COLUMNS.filter(({ answer }) => storms.some(({ run }) => answer(run) !== null))
    .map(({ head, answer }) => ({ head: typeof head === "string" ? head : head(site), answer }));
  return html`<div class="scroll" role="region" aria-label="The answers in brief" tabindex="0"><table class="brief">
<thead><tr><th scope="col">storm</th>${columns.map(({ head }) => html`<th scope="col">${head}</th>`)}</tr></thead>
<tbody>${storms.map(({ name, run }, i) => html`<tr><th scope="row"><a href="#${stormId(i)}"><bdi>${plainText(name, 80)}</bdi></a></th>
${columns.map(({ head, answer }) => html`<td data-head="${head}">${unbroken(answer(run) ?? "–")}</td>`)}</tr>`)}</tbody>
</table></div>`;
}

/** A column: null where a storm has nothing there; a column that no storm fills is left out. */
const COLUMNS: readonly { readonly head: string | ((site: Site) => string); readonly answer: (run: Run) => string | null }[] = [
  { head: "rain", answer: (run) => (run.rain === null ? null : rainText(run)) },
  { head: ({ units }) => `pit rises to, ${displayUnits(units).level.label}`, answer: ({ peaks, site }) => (peaks.chamberBank!.level - site.chamberBank.floor <= DRY ? "dry" : bare(levelText(peaks.chamberBank!.level, site.units))) },
  { head: "to its ground", answer: ({ peaks, site }) => spareText(site.chamberBank.ground - peaks.chamberBank!.level, site.units) },
  { head: "emitter fires", answer: (run) => (run.site.emitter === null ? null : firingText(run)) },
  { head: edgeWords, answer: (run) => (run.spilled > 1e-4 ? spilledText(run) : null) },
  { head: "pit empty, after last full", answer: (run) => (neverEmpty(run) ? null : drainCell(run, "empty")) },
  { head: "pit (never empty) back at its groundwater, after last full", answer: (run) => (neverEmpty(run) ? drainCell(run, "empty") : null) },
];

/** An answer on one line, or on two where it has a colon. */
function unbroken(answer: string): string {
  return answer.replace(/(?<!:) /g, "\u00a0");
}

/** A figure whose unit stands in its column's head. */
function bare(text: string): string {
  return text.replace(/ \S+$/, "");
}

function firingText(run: Run): string {
  const totals = emitterTotals(run);
  return totals === null ? "stays shut" : `${lastingText(totals.open)}, ${volumeText(totals.volume, run.site.units)}`;
}
