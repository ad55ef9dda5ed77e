import { bulkText, lengthText, massText, sheetText, threeFigures, type UnitSystem, volumeText } from "../text/format.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import { capital } from "../text/words.ts";
import { spillWords, timesWords } from "../figures/exceedanceFigure.ts";
import { costRangeText, tapeText } from "../figures/sizeAnswer.ts";
import { greatestOf, leastOf } from "../numerics/extremes.ts";
import type { Cost, CostLine } from "../plan/cost.ts";
import type { PriceKey, Prices } from "../site/prices.ts";
import { surfaceWords } from "../site/surfaceWords.ts";
import { chamberCount } from "../study/resized.ts";
import type { WorksOption } from "../study/worksOptions.ts";
import { html, type Markup } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";

/**
 * What the design costs by the prices of the file, item by item, and what less and more of it would cost and do in the years.
 *
 * @param options  as `worksOptions` gives them, one of them that the page is about
 */
export function moneyPart(options: readonly WorksOption[], prices: Prices): PagePart {
  const middle = aboutOf(options);
  const answer = moneyAnswer(options, prices);
  const { site: { units }, cost, years } = middle;
  const heads = ["", ...options.map(({ kind }) => OPTION_NAMES[kind])];
  const rows: readonly (readonly [string, (option: WorksOption) => string])[] = [
    ["chambers", ({ site }) => String(chamberCount(site))],
    ["pit, long and wide", ({ site: { chamberBank: pit } }) => `${tapeText(pit.length, units)} by ${tapeText(pit.width, units)}`],
    ["deep", ({ site: { chamberBank: pit } }) => tapeText(pit.ground - pit.floor, units)],
    ...(middle.site.overflowTrench === null ? [] : [["trench", ({ site: { overflowTrench: trench } }: WorksOption) => `${tapeText(trench!.length, units)} by ${tapeText(trench!.width, units)}`] as const]),
    ["cost", (option) => costRangeText(option.cost.low, option.cost.high, prices)],
    ...(options.length < 2 ? [] : [[`against “${OPTION_NAMES[middle.kind]}”`, (option: WorksOption) => (option === middle ? "–" : differenceText(option, middle, prices))] as const]),
    ["to dig", ({ dug }) => bulkText(dug, units)],
    ...(middle.missed === null ? [] : [["what is asked", ({ missed }: WorksOption) => (missed!.count === 0 ? "does all of it" : `misses ${missed!.count} of ${missed!.of} things`)] as const]),
    ...(years === null ? [] : [
      ...(middle.site.emitter === null ? [] : [
        ["the emitter fires", runsText] as const, ["it lets out in a year", (option: WorksOption) => volumeText(option.years!.average.emitterVolume, units)] as const,
      ]),
      [`water comes out ${surfaceWords(middle.site)}`, ({ years: its }: WorksOption) => spillWords(its!) ?? "never"] as const,
    ]),
  ];
  const section = html`<section class="storm" id="money" aria-labelledby="money-name">
<h2 id="money-name"><span class="storm-name">Money</span>${keptTogether(answer)}</h2>
${options.length < 2 ? null : html`<p>${keptTogether(optionsCaption(options))}</p>
<div class="scroll" role="region" aria-labelledby="money-name" tabindex="0"><table class="words">
<thead><tr>${heads.map((head) => html`<th scope="col">${capital(head)}</th>`)}</tr></thead>
<tbody>${rows.map(([words, cell]) => html`<tr><th scope="row">${words}</th>${options.map((option) => html`<td>${keptTogether(cell(option))}</td>`)}</tr>`)}</tbody>
</table></div>`}
${years === null ? html`<p>What ${options.length < 2 ? "it" : "each of them"} would do in the years is not known: the file gives no years of rain in <code>studies.often</code>.</p>` : null}
${linesTable(cost, prices, units)}
<p>${keptTogether(bandWords(cost, prices))}</p>
</section>`;
  return { answer, section, pictures: [] };
}

/** The one that a page is about. */
export function aboutOf(options: readonly WorksOption[]): WorksOption {
  return options.find(({ kind }) => kind === "asked" || kind === "drawn")!;
}

const OPTION_NAMES: Readonly<Record<WorksOption["kind"], string>> = { least: "least", asked: "as asked", generous: "generous", drawn: "as drawn" };

/** The money in a sentence: `The design costs 7950 to 13200 USD and its emitter fires in 3.1 storms a year; …`. */
function moneyAnswer(options: readonly WorksOption[], prices: Prices): string {
  const middle = aboutOf(options);
  const does = (option: WorksOption): string => (option.years === null || option.site.emitter === null ? "" : runsText(option) === "never" ? "its emitter never fires" : `its emitter fires ${runsText(option)}`);
  const others = options.filter((option) => option !== middle).map((option) => {
    const bought = does(option) === "" ? "" : `, and ${does(option)}`;
    return `the ${option.kind === "least" ? `least of those tried${fitsWords(option)}` : "generous one"} costs ${differenceText(option, middle, prices)}${bought}`;
  });
  const first = `The design${middle.kind === "drawn" ? " as drawn" : ""} costs ${costRangeText(middle.cost.low, middle.cost.high, prices)}${middle.cost.unpriced.length === 0 ? "" : " without what has no price"}`;
  return `${first}${does(middle) === "" ? "" : `, and ${does(middle)}`}${others.map((words) => `; ${words}`).join("")}.`;
}

/** By how much an option costs less (sign -1) or more (1) than another by the same prices; 0 where that hangs on the prices. */
export function differenceOf({ cost }: WorksOption, { cost: other }: WorksOption): { readonly sign: -1 | 0 | 1; readonly low: number;
  readonly high: number } {
  const ends = [cost.low - other.low, cost.high - other.high];
  const apart = ends.map(Math.abs);
  const sign = ends.every((end) => end < 0) ? -1 : ends.every((end) => end > 0) ? 1 : 0;
  return { sign, low: leastOf(apart), high: greatestOf(apart) };
}

/** `1450 to 2300 USD less` */
function differenceText(option: WorksOption, middle: WorksOption, prices: Prices): string {
  const { sign, low, high } = differenceOf(option, middle);
  return sign === 0 ? "about the same" : `${costRangeText(low, high, prices)} ${sign < 0 ? "less" : "more"}`;
}

function runsText({ years }: WorksOption): string {
  return years!.average.emitterVolume === 0 ? "never" : timesWords(years!.average.firingStorms, years!.years);
}

function optionsCaption(options: readonly WorksOption[]): string {
  const generous = options.find(({ kind }) => kind === "generous");
  const fits = fitsWords(aboutOf(options));
  const by = {
    silt: "the least that does what is asked with silt over its floors too", lid: `the one of those tried${fits === "" ? " that" : `${fits} and`} lets least out`, room: `the largest of those tried${fits}`,
  };
  return `${[
    ...(options.some(({ kind }) => kind === "least") ? [`Least: the cheapest of the sizes tried${fits}, whether it does what is asked or not`] : []),
    ...(generous === undefined ? [] : [`Generous: ${by[generous.by!]}`]), "All of them by the same prices",
  ].join(". ")}.`;
}

/** Nothing where the lot was not looked at. */
function fitsWords({ fits }: WorksOption): string {
  return fits === null ? "" : " that fits";
}

function linesTable({ lines, low, high }: Cost, prices: Prices, units: UnitSystem): Markup {
  return html`<details><summary>The cost item by item</summary>
<div class="scroll" role="region" aria-label="The cost item by item" tabindex="0"><table>
<thead><tr><th scope="col">item</th><th scope="col">amount</th><th scope="col">lowest</th><th scope="col">highest</th></tr></thead>
<tbody>${lines.map((line) => html`<tr><th scope="row"><bdi>${line.key === null ? plainText(line.name, 60) : ITEM_NAMES[line.key]}</bdi></th><td>${amountText(line, units)}</td><td>${threeFigures(line.low)}</td><td>${threeFigures(line.high)}</td></tr>`)}
<tr><th scope="row">in all, ${plainText(prices.currency, 12)}</th><td></td><td>${threeFigures(low)}</td><td>${threeFigures(high)}</td></tr></tbody>
</table></div></details>`;
}

const ITEM_NAMES: Readonly<Record<PriceKey, string>> = {
  dig: "digging", cartAway: "carting away spoil", stone: "stone", fabric: "fabric", pipe: "pipe, closed", perforatedPipe: "pipe, perforated", fitting: "fittings",
  settlingBox: "settling box", chamber: "chambers", emitter: "emitter", turf: "turf",
};

function amountText({ key, amount, measured }: CostLine, units: UnitSystem): string {
  if (key === null) return "once";
  switch (measured) {
    case "bulk": return bulkText(amount, units);
    case "mass": return massText(amount, units);
    case "sheet": return sheetText(amount, units);
    case "length": return lengthText(amount, units);
    case "pieces": return String(amount);
  }
}

function bandWords({ unpriced }: Cost, { about }: Prices): string {
  const left = unpriced.length === 0 ? "" : ` The file has no price of ${unpriced.map((key) => ITEM_NAMES[key]).join(", ")}, which ${unpriced.length === 1 ? "is" : "are"} no part of it.`;
  return `Amounts are those of the order list, what is bought over what is measured included. The lowest cost has every price at its lowest, the highest every one at its highest, for prices of one yard and one year rise together; each figure stands to three digits.${left} Pipes from the downpipes, permits and taxes are in it only where the prices have them.${about === "" ? "" : ` Of the prices the file says: ${plainText(about, 300)}`}`;
}
