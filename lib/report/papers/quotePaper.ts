import type { CostLine } from "../../plan/cost.ts";
import { deepest } from "../../plan/hole.ts";
import { takeOff } from "../../plan/takeOff.ts";
import { isBelow } from "../../site/judge.ts";
import type { Site } from "../../site/site.ts";
import { sameWorks, type WorksOption } from "../../study/worksOptions.ts";
import { shoreFrom } from "./crewPaper.ts";
import { designWords, holeDepth, holeWords } from "./words.ts";
import type { PriceKey, Prices } from "../../site/prices.ts";
import { chamberCount } from "../../study/resized.ts";
import { readMass, type UnitSystem } from "../../text/format.ts";
import { plainText } from "../../text/plainText.ts";
import { unitNamed } from "../../text/unitTable.ts";
import { html, type Markup } from "../markup.ts";
import { aboutOf, differenceOf } from "../moneyPart.ts";
import { blank, rows, type Sheet } from "./paperFrame.ts";
import type { PhraseKey } from "./phrases.ts";
import type { Reader } from "./reader.ts";

/**
 * The quote: up to three designs side by side with what each costs and does in the years, and the one asked for item by item.
 *
 * @param options  as `worksOptions` gives them
 * @param drawn    the file's own works, of which its other papers are
 */
export function quotePaper(options: readonly WorksOption[], prices: Prices, drawn: Site, reader: Reader): Sheet[] {
  const { say } = reader;
  return [
    { title: say(options.length === 1 ? "quote1.titleOne" : "quote1.title"), body: optionsSheet(options, prices, drawn, reader) },
    { title: say("quote2.title"), body: itemSheet(aboutOf(options), prices, reader) },
  ];
}

function optionsSheet(options: readonly WorksOption[], prices: Prices, drawn: Site, reader: Reader): Markup {
  const { say, tape, bulk, water, figure } = reader;
  const middle = aboutOf(options);
  const { years } = middle;
  const money = moneyOf(prices, reader);
  const storms = (count: number): string => (count === 0 ? say("quote.never") : say("quote.stormsYear", { n: figure(count < 1 ? Math.round(100 * count) / 100 : Math.round(10 * count) / 10) }));
  const row = (key: PhraseKey, cell: (option: WorksOption) => string, isBold = false): (string | Markup)[] => (
    [say(key), ...options.map((option) => (isBold ? html`<b>${cell(option)}</b>` : cell(option)))]);
  const lines = [
    row("quote.cost", ({ cost }) => money(cost.low, cost.high), true),
    ...(options.length === 1 ? [] : [row("quote.difference", (option) => differenceWords(option, middle, reader, money))]),
    row("quote.chambers", ({ site }) => String(chamberCount(site))),
    row("hole.pit", ({ site: { chamberBank: pit } }) => say("quote.size", { long: tape(pit.length), wide: tape(pit.width), deep: tape(pit.ground - pit.floor) })),
    ...(middle.site.overflowTrench === null ? [] : [row("hole.trench", ({ site: { overflowTrench: trench } }) => `${tape(trench!.length)} × ${tape(trench!.width)}`)]),
    row("quote.dig", ({ dug }) => bulk(dug)),
    ...(middle.missed === null ? [] : [row("quote.asked", ({ missed }) => (missed!.count === 0 ? say("quote.doesAll") : say("quote.misses", { n: missed!.count, of: missed!.of })))]),
    ...(years === null ? [] : [
      ...(middle.site.emitter === null ? [] : [
        row("quote.lidRuns", (option) => storms(option.years!.average.firingStorms), true), row("quote.letsOut", (option) => water(option.years!.average.emitterVolume)),
      ]),
      row("quote.elsewhere", (option) => storms(option.years!.average.spillStorms)),
    ]),
  ];
  return html`${rows(["", ...options.map(({ kind }) => say(`quote.kind.${kind}`))], lines, { label: say("quote1.title") })}
<ul>${options.filter(({ kind }) => kind !== "drawn").map((option) => html`<li>${whatWords(option, reader)}</li>`)}</ul>
${options.every(({ kind }) => kind === "drawn") ? null : html`<p>${say(middle.fits === null ? "quote.roomUnknown" : "quote.roomy")}</p>`}
<p>${say("quote.band")} ${unpricedWords(middle, reader)}</p>
<p>${years === null ? say("quote.noYears") : say("quote.years", { years: figure(Math.round(100 * years.years) / 100) })}</p>
${prices.about === "" ? null : html`<p>${say("quote.about")} ${plainText(prices.about, 300)}</p>`}
${shoringWords(middle, reader)}
<p>${sameWorks(middle.site, drawn) ? say("quote.drawn", { kind: say(`quote.kind.${middle.kind}`) }) : say("quote.sized", { drawn: designWords(drawn, reader) })}</p>
<div class="box"><p>${say("quote.from")}: ${blank(34)}</p><p>${say("quote.holds")}: ${blank(34)}</p><p>${say("quote.chosen")}: ${blank(34)}</p><p>${say("quote.sign")}: ${blank(34)}</p></div>
<p class="soft">${say("quote.decide")}</p>`;
}

function moneyOf({ currency }: Prices, { figure, say }: Reader): (low: number, high: number) => string {
  return (low, high) => {
    const [from, to] = [figure(low), figure(high)];
    return `${from === to ? to : say("quote.span", { from, to })} ${plainText(currency, 12)}`;
  };
}

function differenceWords(option: WorksOption, middle: WorksOption, { say }: Reader, money: (low: number, high: number) => string): string {
  if (option === middle) return "–";
  const { sign, low, high } = differenceOf(option, middle);
  return sign === 0 ? say("quote.same") : say(sign < 0 ? "quote.less" : "quote.more", { money: money(low, high) });
}

function whatWords({ kind, by }: WorksOption, { say }: Reader): Markup {
  const key = kind === "generous" ? `quote.what.${by!}` as const : kind === "least" ? "quote.what.least" : "quote.what.asked";
  return html`<b>${say(`quote.kind.${kind}`)}:</b> ${say(key)}`;
}

/** Holes that have to be shored or laid back, which no unit price counts. */
function shoringWords({ site }: WorksOption, reader: Reader): Markup | null {
  const list = takeOff(site);
  const depth = shoreFrom({ list });
  const deep = list.dig.holes.filter((hole) => !isBelow(deepest(hole), depth));
  return deep.length === 0 ? null : html`<p>${reader.say("quote.shoring", {
    depth: reader.length(depth), holes: deep.map((hole) => `${holeWords(site, hole.name, hole.kind, reader)} (${holeDepth(hole, reader)})`).join(", "),
  })}</p>`;
}

function unpricedWords({ cost: { unpriced } }: WorksOption, { say }: Reader): string {
  return unpriced.length === 0 ? "" : say("quote.unpriced", { what: unpriced.map((key) => say(ITEMS[key])).join(", ") });
}

function itemSheet({ cost: { lines, low, high } }: WorksOption, prices: Prices, reader: Reader): Markup {
  const { say, figure } = reader;
  const span = (from: number, to: number): string => (figure(from) === figure(to) ? figure(to) : say("quote.span", { from: figure(from), to: figure(to) }));
  const table = lines.map((line) => {
    const amount = amountText(line, reader);
    return [
      line.key === null ? html`<bdi>${plainText(line.name, 60)}</bdi>` : say(ITEMS[line.key]), amount,
      line.key === null ? "" : span((line.price.from * line.amount) / shownOf(line, reader.units), (line.price.to * line.amount) / shownOf(line, reader.units)),
      figure(line.low), figure(line.high),
    ];
  });
  return html`${rows([say("quote.head.item"), say("quote.head.amount"), say("quote.head.each"), say("quote.head.low"), say("quote.head.high")],
    [...table, [html`<b>${say("quote.total", { currency: plainText(prices.currency, 12) })}</b>`, "", "", html`<b>${figure(low)}</b>`, html`<b>${figure(high)}</b>`]],
    { label: say("quote2.title"), kind: "figures" })}
<p>${say("quote.digits")}</p>
<p>${say("buy.not")}</p>`;
}

const ITEMS: Readonly<Record<PriceKey, PhraseKey>> = {
  dig: "quote.item.dig", cartAway: "quote.item.cartAway", stone: "quote.item.stone", fabric: "buy.fabric", pipe: "buy.pipeSolid", perforatedPipe: "buy.pipePerforated",
  fitting: "quote.item.fitting", settlingBox: "buy.box", chamber: "buy.chamber", emitter: "buy.emitter", turf: "quote.item.turf",
};

function amountText({ key, amount, measured }: CostLine, { bulk, mass, sheet, length, say }: Reader): string {
  if (key === null) return say("quote.once");
  switch (measured) {
    case "bulk": return bulk(amount);
    case "mass": return mass(amount);
    case "sheet": return sheet(amount);
    case "length": return length(amount);
    case "pieces": return String(amount);
  }
}

/** An amount in the unit that it is shown in, of which the price for each is told. */
function shownOf({ amount, measured }: CostLine, units: UnitSystem): number {
  const named = (us: string, si: string): number => {
    const { numerator, denominator } = unitNamed(units === "us" ? us : si)!;
    return (amount * denominator) / numerator;
  };
  switch (measured) {
    case "bulk": return named("cu yd", "m³");
    case "sheet": return named("sq yd", "m²");
    case "length": return named("ft", "m");
    case "mass": {
      const one = readMass(units === "us" ? "1 ton" : "1 t");
      return amount / ("value" in one ? one.value : NaN);
    }
    case "pieces": return amount;
  }
}
