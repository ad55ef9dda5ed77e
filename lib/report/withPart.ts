import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import type { Run } from "../simulate/run.ts";
import { withWorks, type WithWorks } from "../study/withWorks.ts";
import { flowText, volumeText } from "../text/format.ts";
import { html } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";

/**
 * With and without: what leaves the lot in each storm beside the same roof without works, said where it does not flatter too.
 *
 * @param storms  one or more, of one site
 */
export function withPart(storms: readonly { readonly name: string; readonly run: Run }[]): PagePart {
  const { units } = storms[0]!.run.site;
  const sets = storms.map(({ name, run }) => ({ name, ...withWorks(run) }));
  const worst = sets.reduce((least, each) => (each.kept.water < least.kept.water ? each : least));
  const answer = keptSentence(worst);
  const section = html`<section class="storm" id="with" aria-labelledby="with-name">
<h2 id="with-name"><span class="storm-name">With and without</span>${keptTogether(answer)}</h2>
<div class="scroll" role="region" aria-labelledby="with-name" tabindex="0"><table>
<caption>What leaves the lot. Without works all that the roof sheds is taken to leave it as it comes, which is the worst case: on its way over ground some of it would soak away.</caption>
<thead><tr><th scope="col">storm</th><th scope="col">without</th><th scope="col">with</th><th scope="col">kept</th><th scope="col">most at once, without</th><th scope="col">with</th><th scope="col">kept</th></tr></thead>
<tbody>${sets.map((each) => html`<tr><th scope="row"><bdi>${plainText(each.name, 60)}</bdi></th><td>${volumeText(each.without.volume, units)}</td><td>${volumeText(each.with.volume, units)}</td><td>${shareText(each.kept.water)}</td><td>${flowText(each.without.peak, units)}</td><td>${flowText(each.with.peak, units)}</td><td>${shareText(each.kept.peak)}</td></tr>`)}</tbody>
</table></div>
<p>${keptTogether(`Of the rest, by the end of each run: ${sets.map(({ name, book }) => `in “${plainText(name, 40)}” ${volumeText(Math.max(0, book.soaked), units)} soaked away${book.soaked < 0 ? " (groundwater came in)" : ""} and ${volumeText(Math.abs(book.stored), units)} ${book.stored < 0 ? "less stood" : "stood"} in the works than at the start`).join("; ")}.`)}</p>
</section>`;
  return { answer, section, pictures: [] };
}

function keptSentence({ name, kept }: WithWorks & { readonly name: string }): string {
  if (Number.isNaN(kept.water)) return `In “${plainText(name, 40)}” nothing runs off the roof.`;
  if (kept.water < 0) return `In “${plainText(name, 40)}” more leaves the lot with the works than without: groundwater comes out with the rain.`;
  return `In “${plainText(name, 40)}” the works keep ${shareText(kept.water)} of the water and ${shareText(Math.max(0, kept.peak))} of the greatest flow.`;
}

function shareText(share: number): string {
  if (Number.isNaN(share)) return "–";
  if (share < 0) return "none";
  return share > 0.995 && share < 1 ? "over 99 %" : `${Math.round(100 * share)} %`;
}
