import { displayUnits } from "../text/format.ts";
import { answerOfStorms } from "../figures/answer.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import { waysOut } from "../simulate/waysOut.ts";
import { soilText } from "../figures/runSubtitle.ts";
import { briefTable } from "./briefTable.ts";
import { cautionSections } from "./cautionSections.ts";
import { hangsOnPart } from "./hangsOnPart.ts";
import { html, trusted, type Markup } from "./markup.ts";
import { pageFrame } from "./pageFrame.ts";
import { crossingNotice } from "./sitingPart.ts";
import { siteLevels } from "./siteLevels.ts";
import { stormSection } from "./stormSection.ts";
import { stoppedNote, summary, type StoppedStorm, type StormRun } from "./summary.ts";
import { capacitySentence } from "./wayOut.ts";
import { capital } from "../text/words.ts";

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
