import { levelText, volumeText } from "../units/format.ts";
import { emitterTotals, surfaceVolume } from "../figures/answer.ts";
import { lastingText } from "../figures/hours.ts";
import { plainText } from "../figures/plainText.ts";
import { rainText } from "../figures/rainPanel.ts";
import type { Run } from "../simulate/run.ts";
import { html, type Markup } from "./markup.ts";
import { stormId } from "./stormSection.ts";
import { reachedText, spareText, type StormRun } from "./summary.ts";

/** The first look: a row a storm, which leads to its part of the page, with the few answers that decide. */
export function briefTable(storms: readonly StormRun[]): Markup {
  const columns = COLUMNS.filter(({ answer }) => storms.some(({ run }) => answer(run) !== null));
  return html`<div class="scroll" role="region" aria-label="The answers in brief" tabindex="0"><table class="brief">
<thead><tr><th scope="col">storm</th>${columns.map(({ head }) => html`<th scope="col">${head}</th>`)}</tr></thead>
<tbody>${storms.map(({ name, run }, i) => html`<tr><th scope="row"><a href="#${stormId(i)}"><bdi>${plainText(name, 80)}</bdi></a></th>
${columns.map(({ answer }) => html`<td>${answer(run) ?? "–"}</td>`)}</tr>`)}</tbody>
</table></div>`;
}

/** A column: null where a storm has nothing there; a column that no storm fills is left out. */
const COLUMNS: readonly { readonly head: string; readonly answer: (run: Run) => string | null }[] = [
  { head: "rain", answer: (run) => (run.rain === null ? null : rainText(run)) },
  { head: "pit rises to", answer: ({ peaks, site }) => levelText(peaks.chamberBank!.level, site.units) },
  { head: "to its ground", answer: ({ peaks, site }) => spareText(site.chamberBank.ground - peaks.chamberBank!.level, site.units) },
  { head: "emitter lets out", answer: (run) => (run.site.emitter === null ? null : emitted(run, ({ volume }) => volumeText(volume, run.site.units)) ?? "stays shut") },
  { head: "flows for", answer: (run) => emitted(run, ({ open }) => lastingText(open)) },
  { head: "over rims, ground", answer: (run) => (surfaceVolume(run) > 1e-4 ? volumeText(surfaceVolume(run), run.site.units) : null) },
  { head: "pit empty in", answer: (run) => reachedText(run.drainDown.empty, run) },
];

function emitted(run: Run, words: (totals: NonNullable<ReturnType<typeof emitterTotals>>) => string): string | null {
  const totals = emitterTotals(run);
  return totals === null ? null : words(totals);
}
