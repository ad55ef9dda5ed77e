import { keptTogether } from "../text/keptTogether.ts";
import { ASK_NAMES, costText, criterionWords, missWords, reachedText, sizeAnswer, sizesWords, thumbWords } from "../figures/sizeAnswer.ts";
import { sizeFigure } from "../figures/sizeFigure.ts";
import type { RuleOfThumb, SizedDesign, Sizing } from "../study/size.ts";
import { bulkText } from "../text/format.ts";
import { html, type Markup } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";
import { pictureOf, placeOf } from "./placedPicture.ts";
import { capital } from "../text/words.ts";

/** The size and its reason: every design that was tried, what is asked, and the designs round the best one in numbers. */
export function sizePart(sizing: Sizing): PagePart {
  const picture = pictureOf("size-designs", (options) => sizeFigure(sizing, options));
  const answer = sizeAnswer(sizing);
  const { criteria, designs, best, priced, rulesOfThumb, sidesOnly } = sizing;
  const shown = shownDesigns(designs, best);
  const section = html`<section class="storm" id="size" aria-labelledby="size-name">
<h2 id="size-name"><span class="storm-name">How large</span>${keptTogether(answer)}</h2>
<p>Asked: ${criteria.map((criterion, c) => `(${c + 1}) ${criterionWords(criterion, sizing)}`).join("; ")}. ${designs.length === 1 ? "One design was run" : `${designs.length} designs were run, every combination of the sizes given`}${sidesOnly ? ", with silt over the floors, so that only the sides drain" : ""}.</p>
${placeOf(picture, `Full points do all that is asked, hollow ones miss something.${rulesOfThumb.every(({ design }) => design === null) ? "" : " In a square: what a rule of thumb would build, which is common practice and no reason."}`)}
${designTable(sizing, shown)}
${shown.length === designs.length ? null : html`<p>${best === null ? `The ${shown.length} with most to dig` : `The ${shown.length} nearest the best one`}, of ${designs.length} designs in the order of ${priced ? "their cost" : "what they dig"}.</p>`}
${decidedPart(sizing)}
<p>${capital(triedWords(designs[0]!.sizes))}.</p>
${rulesOfThumb.map((rule) => html`<p>${thumbSentence(rule, sizing)}</p>`)}
</section>`;
  return { answer, section, pictures: [picture] };
}

/** Of criteria that leave the duration open: which storm decides them, in the best design or the first one tried. */
function decidedPart({ best, designs, criteria }: Sizing): Markup | null {
  const { decided } = best ?? designs[0]!;
  const sentences = criteria.flatMap((_, c) => {
    const { duration, edge, dayBefore } = decided[c]!;
    if (duration === null) return [];
    const outside = edge === null ? "" : `, the table’s ${edge}: a ${edge === "longest" ? "longer" : "shorter"} one may be worse`;
    const start = dayBefore === null ? "from empty works" : "right after the table’s 2-year day";
    return [`(${c + 1}) by the storm of ${duration} ${start}${outside}`];
  });
  if (sentences.length === 0) return null;
  return html`<p>${best === null ? "In the first of these designs" : "In the best one"} what is asked is decided ${sentences.join("; ")}. Every duration of the table was run, from empty works and, where the table has one, after its 2-year day; what that day alone lets out is not counted.</p>`;
}

/** What a rule of thumb would build, and what becomes of it. */
function thumbSentence(rule: RuleOfThumb, sizing: Sizing): string {
  const { site: { units }, criteria } = sizing;
  const words = `By rule of thumb (${thumbWords(rule, units)}; common practice, without a source)`;
  if (rule.design === null) return `${words}: larger than any of these designs.`;
  const { met, reached } = rule.design;
  const missed = criteria.flatMap((criterion, c) => (met[c] ? [] : [missWords(criterion, reached[c]!, sizing)]));
  const outcome = missed.length === 0 ? "does all that is asked" : `misses what is asked: ${missed.join("; ")}`;
  return `${words}: ${sizesWords(rule.design.sizes, units)}, ${bulkText(rule.design.dug, units)} to dig, ${outcome}.`;
}

/** What goes with each size that was tried. */
function triedWords({ chambers, pitWidth, stoneBase, trenchLength }: SizedDesign["sizes"]): string {
  return [
    ...(chambers === undefined ? [] : ["more chambers stand in a longer pit, with the gaps they have"]),
    ...(pitWidth === undefined ? [] : ["a wider pit keeps its length"]),
    ...(stoneBase === undefined ? [] : ["more stone under the chambers takes the pit's floor down"]),
    ...(trenchLength === undefined ? [] : ["a longer trench keeps the levels of both its ends"]),
  ].join("; ");
}

/** The least ones up to the best and a few behind it, seven at most; without a best the largest ones. */
function shownDesigns(designs: readonly SizedDesign[], best: SizedDesign | null): readonly SizedDesign[] {
  if (best === null) return designs.slice(-7);
  const at = designs.indexOf(best);
  return designs.slice(Math.max(0, at - 4), at + 3);
}

function designTable(sizing: Sizing, shown: readonly SizedDesign[]): Markup {
  const { criteria, site: { units }, best, priced } = sizing;
  const cell = (design: SizedDesign, c: number): string => `${reachedText(criteria[c]!, design.reached[c]!, units)}${design.met[c] ? "" : ", misses"}`;
  return html`<div class="scroll" role="region" aria-label="Designs" tabindex="0"><table>
<thead><tr><th scope="col">design</th><th scope="col">to dig</th>${priced ? html`<th scope="col">cost</th>` : null}${criteria.map(({ asks }, c) => html`<th scope="col">${keptTogether(`(${c + 1})`)} ${ASK_NAMES[asks]}</th>`)}</tr></thead>
<tbody>${shown.map((design) => html`<tr><th scope="row">${design === best ? html`<b>${sizesWords(design.sizes, units)}</b>` : sizesWords(design.sizes, units)}</th><td>${bulkText(design.dug, units)}</td>${priced ? html`<td>${costText(design.cost!)}</td>` : null}${criteria.map((_, c) => html`<td>${keptTogether(cell(design, c))}</td>`)}</tr>`)}</tbody>
</table></div>`;
}
