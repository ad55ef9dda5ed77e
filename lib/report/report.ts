import { answerOfStorms, emitterTotals, spilledText } from "../figures/answer.ts";
import { DRY } from "../figures/bodyViews.ts";
import { rainText } from "../figures/rainPanel.ts";
import { soilText } from "../figures/runSubtitle.ts";
import type { Run } from "../simulate/run.ts";
import { waysOut } from "../simulate/waysOut.ts";
import type { Site } from "../site/site.ts";
import { displayUnits, levelText, volumeText } from "../text/format.ts";
import { lastingText } from "../text/hours.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import { capital } from "../text/words.ts";
import { cautionSections } from "./cautionSections.ts";
import { drainCell, neverEmpty } from "./drainWords.ts";
import { hangsOnPart } from "./hangsOnPart.ts";
import { html, type Markup, trusted } from "./markup.ts";
import { pageFrame } from "./pageFrame.ts";
import { siteLevels } from "./siteLevels.ts";
import { crossingNotice } from "./sitingPart.ts";
import { stormId, stormSection } from "./stormSection.ts";
import { edgeWords, spareText, stoppedNote, type StoppedStorm, type StormRun, summary } from "./summary.ts";
import { capacitySentence } from "./wayOut.ts";

/** The first look: a row a storm (a card on a phone), which leads to its part of the page, with the few answers that decide. */
function briefTable(storms: readonly StormRun[]): Markup {
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

/**
 * A site's storms as one web page in one file: the answer as its title, the storms side by side, each storm with its
 * pictures and tables, the site's levels in the water's way, and what has to be said to whoever digs. It works from disk
 * and asks for nothing from outside; nothing in a site file can become markup.
 *
 * @param storms          one or more, of one site
 * @param options.plotly   the source of plotly's basic bundle, to be put into the page
 * @param options.stopped  storms of the site whose runs could not go on; the page says so
 * @throws RangeError      when there is no storm
 */
export function report(
  storms: readonly StormRun[], options: { readonly plotly: string; readonly stopped?: readonly StoppedStorm[] },
): string {
  if (storms.length === 0) throw new RangeError("report: expected one storm or more, got none");
  const { site } = storms[0]!.run;
  const parts = storms.map((storm) => ({ ...storm, ways: waysOut(storm.run) })).map(stormSection);
  const answer = answerOfStorms(storms);
  return pageFrame({
    title: `${plainText(site.name, 60)}: ${answer}`,
    header: html`<p class="place"><bdi>${plainText(site.name)}</bdi></p>
${crossingNotice(site)}
${(options.stopped ?? []).map((storm) => html`<p class="notice"><strong>${stoppedNote(storm)}</strong></p>`)}
<h1>${keptTogether(answer)}</h1>
${site.about === "" ? null : html`<p class="about"><bdi>${plainText(site.about)}</bdi></p>`}
<p class="soil">${capital(soilText(site))}. ${capacitySentence(site)}</p>
${storms.length === 1 ? null : briefTable(storms)}`,
    main: html`${parts.map(({ section }) => section)}
${hangsOnPart(storms).section}
${summarySection(storms)}
${siteSection(storms)}
${cautionSections()}`,
    pictures: parts.flatMap(({ pictures }) => pictures),
    plotly: options.plotly,
  });
}

function summarySection(storms: readonly StormRun[]): Markup {
  const heads = storms.map(({ name }) => html`<th scope="col"><bdi>${plainText(name, 80)}</bdi></th>`);
  return html`<section aria-labelledby="summary-name">
<h2 id="summary-name">${storms.length === 1 ? "The storm in numbers" : "All storms side by side"}</h2>
<div class="scroll" role="region" aria-labelledby="summary-name" tabindex="0"><table>
<thead><tr><td></td>${heads}</tr></thead>
${summary(storms).map(({ heading, rows }) => html`<tbody><tr class="group"><th scope="rowgroup" colspan="${storms.length + 1}">${heading}</th></tr>
${rows.map(({ label, values, under }) => html`<tr${under ? trusted(' class="under"') : null}><th scope="row"><bdi>${label}</bdi></th>${values.map((value) => html`<td>${keptTogether(value)}</td>`)}</tr>`)}</tbody>`)}
</table></div>
</section>`;
}

function siteSection(storms: readonly StormRun[]): Markup {
  const { site } = storms[0]!.run;
  const { label } = displayUnits(site.units).level;
  return html`<section aria-labelledby="site-name">
<h2 id="site-name">The site, in the water's way</h2>
<div class="scroll" role="region" aria-labelledby="site-name" tabindex="0"><table class="words">
<thead><tr><th scope="col">station</th><th scope="col">level</th><th scope="col">${label}</th></tr></thead>
${siteLevels(site).map(({ station, sizes, levels }) => html`<tbody>
<tr class="group"><th scope="rowgroup" colspan="3"><bdi>${station}</bdi>${sizes === "" ? null : html` <span class="place">${sizes}</span>`}</th></tr>
${levels.map(([name, figure]) => html`<tr><td></td><th scope="row"><bdi>${name}</bdi></th><td class="figure">${figure.replace(` ${label}`, "")}</td></tr>`)}</tbody>`)}
</table></div>
${site.notes.length === 0 ? null : html`<h3>Notes on the site</h3>
<ul class="notes">${site.notes.map((note) => html`<li>${plainText(note)}</li>`)}</ul>`}
</section>`;
}
