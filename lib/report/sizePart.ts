import { keptTogether } from "../text/keptTogether.ts";
import {
  ASK_NAMES, costText, criterionWords, designWords, missWords, reachedText, several, SIZE_NAMES, sizesWords, tapeText, thumbWords,
} from "../figures/sizeAnswer.ts";
import { plainText } from "../text/plainText.ts";
import { frontFigure } from "../figures/frontFigure.ts";
import { sizeFigure } from "../figures/sizeFigure.ts";
import type { RuleOfThumb, SizedDesign, Sizing } from "../study/size.ts";
import { bulkText } from "../text/format.ts";
import { volumeText } from "../text/format.ts";
import { html, type Markup } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";
import { firstOf, pictureOf, placeOf } from "./placedPicture.ts";
import { capital } from "../text/words.ts";

/** The size and its reason: every design that was tried, what is asked, and the designs round the best one in numbers. */
export function sizePart(sizing: Sizing): PagePart {
  const picture = pictureOf("size-designs", (options) => sizeFigure(sizing, options));
  const front = frontFigure(sizing) === null ? null : pictureOf("size-front-designs", (options) => frontFigure(sizing, options)!);
  const answer = foundAnswer(sizing);
  const { criteria, designs, best, prices, rulesOfThumb, sidesOnly } = sizing;
  const all = best === null || designs.includes(best) ? designs : [...designs, best].sort((a, b) => (a.cost ?? a.dug) - (b.cost ?? b.dug));
  const shown = shownDesigns(all, best ?? sizing.roomless);
  const section = html`<section class="storm" id="size" aria-labelledby="size-name">
<h2 id="size-name"><span class="storm-name">How it was found</span>${keptTogether(answer)}</h2>
<p>Asked: ${criteria.map((criterion, c) => `(${c + 1}) ${criterionWords(criterion, sizing)}`).join("; ")}. ${designs.length === 1 ? "One design was run" : `${designs.length} designs were run, every combination of the sizes given`}${sidesOnly ? ", with silt over the floors, so that only the sides drain" : ""}.${soughtWords(sizing)}</p>
${placeOf(picture, `Full points do all that is asked${designs.some(({ fit }) => fit.fits !== null) ? " and fit the lot" : ""}, hollow ones do not.${rulesOfThumb.every(({ design }) => design === null) ? "" : " In a square: what a rule of thumb would build, which is common practice and no reason."}`)}
${designTable(sizing, shown)}
${shown.length === all.length ? null : html`<p>The ${shown.length} ${best !== null ? "nearest the best one" : sizing.roomless !== null ? "nearest the first that does what is asked" : prices !== null ? "that cost most" : "with most to dig"}, of ${designs.length} designs in the order of ${prices !== null ? "their cost" : "what they dig"}.</p>`}
${roomPart(sizing)}
${frontTable(sizing, front)}
${decidedPart(sizing)}
<p>${capital(triedWords(designs[0]!.sizes))}.</p>
${rulesOfThumb.map((rule) => html`<p>${thumbSentence(rule, sizing)}</p>`)}
</section>`;
  return { answer, section, pictures: front === null ? [picture] : [picture, front] };
}

/** How many do what is asked, and how many fit. */
function foundAnswer({ designs, site }: Sizing): string {
  const doing = designs.filter(({ met }) => met.every(Boolean)).length;
  const looked = designs.some(({ fit }) => fit.fits !== null);
  const fitting = designs.filter(({ fit }) => fit.fits === true).length;
  const both = designs.filter(({ fit, met }) => fit.fits === true && met.every(Boolean)).length;
  const room = looked ? `, ${count(fitting)} the lot, and ${both === 0 ? "none does both" : `${both} ${both === 1 ? "does" : "do"} both`}`
    : `; whether they fit was not looked at, because the file ${site.surroundings === null ? "says nothing of what stands around" : "has no plan"}`;
  return `Of ${several(designs.length, "design")} tried ${doing === 0 ? "none does" : doing === 1 ? "one does" : `${doing} do`} what is asked${room}.`;
}

function count(fitting: number): string {
  return fitting === 0 ? "none fits" : fitting === 1 ? "one fits" : `${fitting} fit`;
}

/** Between which bounds the answer was sought further. */
function soughtWords({ sought, site: { units } }: Sizing): string {
  if (sought.length === 0) return "";
  const spans = sought.map(({ size, from, to }) => (size === "chambers" ? `${from} to ${to} chambers` : `${SIZE_NAMES[size]} from ${tapeText(from, units)} to ${tapeText(to, units)}`));
  return ` Between the steps the least was sought further: ${spans.join("; ")}; lengths to ${units === "us" ? "half an inch" : "a centimetre"}.`;
}

/** What keeps designs off the lot. */
function roomPart({ designs, roomless, site: { units } }: Sizing): Markup | null {
  const unfit = designs.filter(({ fit }) => fit.fits === false);
  if (unfit.length === 0) return null;
  const first = unfit[0]!;
  return html`${roomless === null || roomless === first ? null : html`<p>${capital(designWords(roomless))} would do what is asked, but not fit: ${keptTogether(plainText(roomless.fit.faults.join("; "), Infinity))}.</p>
`}<p>${several(unfit.length, "design")} ${unfit.length === 1 ? "does" : "do"} not fit the lot; the first of them, ${sizesWords(first.sizes, units)}: ${keptTogether(plainText(first.fit.faults.join("; "), Infinity))}.</p>`;
}

/** More digging against what the lid lets out: designs that nothing beats. */
function frontTable(sizing: Sizing, picture: ReturnType<typeof pictureOf> | null): Markup | null {
  const { front, best, designs, site: { units }, prices } = sizing;
  if (picture === null) return null;
  const fits = designs.some(({ fit }) => fit.fits !== null);
  const buys = prices === null ? "What more digging buys" : "What more money buys";
  return html`<h3 id="size-front">${buys}: ${keptTogether(firstOf(picture).answer)}</h3>
${placeOf(picture, `Each small point is a design that ${fits ? "fits and that " : ""}no other beats: any that lets out less asks for more. Full points do all that is asked, hollow ones miss something; the large full point is the design of this page.`)}
<details><summary>These ${front.length} designs in numbers</summary>
<div class="scroll" role="region" aria-labelledby="size-front" tabindex="0"><table>
<caption>Each ${prices === null ? "digs" : "costs"} less, or lets less out by the emitter in the worst of the storms asked for, than any other${fits ? " that fits" : ""}</caption>
<thead><tr><th scope="col">design</th><th scope="col">to dig</th>${prices === null ? null : html`<th scope="col">cost</th>`}<th scope="col">let out</th></tr></thead>
<tbody>${front.map((design) => html`<tr><th scope="row">${design === best ? html`<b>${keptTogether(sizesWords(design.sizes, units))}</b>` : keptTogether(sizesWords(design.sizes, units))}</th><td>${keptTogether(bulkText(design.dug, units))}</td>${prices === null ? null : html`<td>${costText(design.cost!, prices).replace(" ", "\u00a0")}</td>`}<td>${keptTogether(volumeText(design.letOut, units))}</td></tr>`)}</tbody>
</table></div></details>`;
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
function triedWords(sizes: SizedDesign["sizes"]): string {
  const has = (key: keyof SizedDesign["sizes"]): boolean => sizes[key] !== undefined;
  return [
    ...(has("chambers") && !has("pitLength") ? ["more chambers stand in a longer pit, with the gaps they have"] : []),
    ...(has("pitLength") ? ["a longer pit keeps its width"] : []),
    ...(has("pitWidth") ? ["a wider pit keeps its length"] : []),
    ...(has("stoneBase") ? ["more stone under the chambers takes the pit's floor down"] : []),
    ...(has("pitDepth") ? ["a deeper pit has more stone, its top where it was"] : []),
    ...(has("trenchLength") ? ["a longer trench keeps the levels of both its ends"] : []),
    ...(has("trenchWidth") ? ["a wider trench keeps its floor"] : []),
    ...(has("boxOutlet") || has("trenchInlet") ? ["a larger pipe keeps its inverts"] : []),
  ].join("; ");
}

/** The least ones up to one of them and a few behind it, seven at most; without one the largest. */
function shownDesigns(designs: readonly SizedDesign[], middle: SizedDesign | null): readonly SizedDesign[] {
  if (middle === null) return designs.slice(-7);
  const at = designs.indexOf(middle);
  return designs.slice(Math.max(0, at - 4), at + 3);
}

function designTable(sizing: Sizing, shown: readonly SizedDesign[]): Markup {
  const { criteria, site: { units }, best, prices } = sizing;
  const cell = (design: SizedDesign, c: number): string => `${reachedText(criteria[c]!, design.reached[c]!, units)}${design.met[c] ? "" : ", misses"}`;
  return html`<div class="scroll" role="region" aria-label="Designs" tabindex="0"><table>
<thead><tr><th scope="col">design</th><th scope="col">to dig</th>${prices === null ? null : html`<th scope="col">cost</th>`}${criteria.map(({ asks }, c) => html`<th scope="col">${keptTogether(`(${c + 1})`)} ${ASK_NAMES[asks]}</th>`)}</tr></thead>
<tbody>${shown.map((design) => html`<tr><th scope="row">${design === best ? html`<b>${keptTogether(sizesWords(design.sizes, units))}</b>` : keptTogether(sizesWords(design.sizes, units))}</th><td>${keptTogether(bulkText(design.dug, units))}</td>${prices === null ? null : html`<td>${costText(design.cost!, prices).replace(" ", "\u00a0")}</td>`}${criteria.map((_, c) => html`<td>${keptTogether(cell(design, c))}</td>`)}</tr>`)}</tbody>
</table></div>`;
}
