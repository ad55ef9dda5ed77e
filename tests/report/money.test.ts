import { beforeAll, describe, expect, test } from "vitest";
import { costOf } from "../../lib/plan/cost.ts";
import { takeOff } from "../../lib/plan/takeOff.ts";
import { moneyPart } from "../../lib/report/moneyPart.ts";
import { languages } from "../../lib/report/papers/phrases.ts";
import { quotePaper } from "../../lib/report/papers/quotePaper.ts";
import { readerOf } from "../../lib/report/papers/reader.ts";
import type { Prices } from "../../lib/site/prices.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { often, type HowOften } from "../../lib/study/often.ts";
import type { OftenOptions } from "../../lib/study/oftenCases.ts";
import { size, type Sizing } from "../../lib/study/size.ts";
import type { SizeOptions } from "../../lib/study/sizeCases.ts";
import { sameWorks, worksOptions, type WorksOption } from "../../lib/study/worksOptions.ts";
import { threeFigures } from "../../lib/text/format.ts";
import { demo } from "../site/siteFiles.ts";

const lane = readSite(demo("copperbeech-lane"));
const prices = lane.prices as Prices;
const { rainfall } = lane.studies!;
const asked = { rainfall, ...lane.studies!.size, steps: { chambers: [2, 4, 5], pitWidth: ["8 ft", "10 ft"], trenchLength: ["30 ft", "45 ft"] } } as unknown as SizeOptions;
const years = { rainfall, ...lane.studies!.often, years: 4, soils: 1, conductivityWithin: 1 } as unknown as OftenOptions;

function textOf(markup: string): string {
  return markup.replace(/<[^>]*>/g, " ").replace(/&#(\d+);/g, (_, code: string) => String.fromCharCode(Number(code))).replace(/\u00a0/g, " ").replace(/\s+/g, " ");
}

let sizing: Sizing;
let options: readonly WorksOption[];
const runs = async (site: typeof lane): Promise<HowOften> => often(site, years);

beforeAll(async () => {
  sizing = await size(lane, asked);
  options = await worksOptions(sizing, sizing.best!.site, prices, runs);
}, 60_000);

describe("three designs by the prices of a yard", () => {
  test("are the least that fits, the one asked for, and one that does more", () => {
    expect(options.map(({ kind }) => kind)).toEqual(["least", "asked", "generous"]);
    const [least, middle, generous] = options as [WorksOption, WorksOption, WorksOption];
    expect(middle.site).toBe(sizing.best!.site);
    expect(middle.missed).toEqual({ count: 0, of: 4 });
    expect([least.cost.middle < middle.cost.middle, middle.cost.middle < generous.cost.middle]).toEqual([true, true]);
    // nothing cheaper was tried that fits
    const cheaper = sizing.designs.filter(({ fit, cost }) => fit.fits !== false && cost! < least.cost.middle);
    expect(cheaper).toEqual([]);
    expect(generous.years!.average.emitterVolume).toBeLessThan(middle.years!.average.emitterVolume);
  });

  test("cost what their own order lists cost, and do in the years what `often` says of each", async () => {
    for (const { site, cost, dug, years: its } of options) {
      expect(cost).toEqual(costOf(site, prices));
      expect(dug).toBe(takeOff(site).dig.volume);
      expect(its!.average).toEqual((await often(site, years)).average);
    }
  });

  test("by the prices of the file the cheapest is best, and its cost is half-way", () => {
    expect(sizing.best!.cost).toBe(costOf(sizing.best!.site, prices).middle);
  });

  test("where nothing does what is asked the design as drawn has its price", async () => {
    const none = { ...sizing, best: null, sealed: null };
    expect((await worksOptions(none, lane, prices, null)).map(({ kind, years: its }) => [kind, its])).toContainEqual(["drawn", null]);
    expect((await worksOptions(null, lane, prices, null)).map(({ kind, missed }) => [kind, missed])).toEqual([["drawn", null]]);
  });
});

describe("the page on money", () => {
  test("says the cost with its band, what less and more would cost by the same prices, and what each does", () => {
    const { answer, section } = moneyPart(options, prices);
    const [least, middle, generous] = options as [WorksOption, WorksOption, WorksOption];
    const f = threeFigures;
    const apart = (a: WorksOption, b: WorksOption): string => `${f(b.cost.low - a.cost.low)} to ${f(b.cost.high - a.cost.high)} USD`;
    expect(answer).toContain(`The design costs ${f(middle.cost.low)} to ${f(middle.cost.high)} USD, and its emitter fires in `);
    expect(answer).toContain(`; the least of those tried that fits costs ${apart(least, middle)} less`);
    expect(answer).toContain(`; the generous one costs ${apart(middle, generous)} more`);
    const text = textOf(section.markup);
    expect(options.filter(({ years: its }) => its!.average.firingStorms >= 1.05).length).toBeGreaterThan(1);
    for (const { cost, years: its } of options) {
      expect(text).toContain(`${f(cost.low)} to ${f(cost.high)} USD`);
      const { firingStorms } = its!.average;
      if (firingStorms >= 1.05) expect(text).toContain(`in ${f(Math.round(firingStorms * 10) / 10)} storms a year`);
    }
    expect(text).toContain("Invented unit prices of a yard");
    expect(text).not.toMatch(/NaN|undefined|\bnull\b/);
  });

  test("names what has no price, and says that years are missing", async () => {
    const few: Prices = { ...prices, emitter: null, turf: null };
    const { answer, section } = moneyPart(await worksOptions(null, lane, few, null), few);
    expect(answer).toMatch(/^The design as drawn costs \d+ to \d+ USD without what has no price\.$/);
    const text = textOf(section.markup);
    expect(text).toContain("The file has no price of emitter, turf, which are no part of it.");
    expect(text).toContain("the file gives no years of rain");
  });

  test("shows a hostile currency, price list and sum as text", async () => {
    const hostile = `<img src=x onerror=alert(1)>`;
    const bad: Prices = { ...prices, currency: hostile, about: hostile, lumpSums: [{ name: hostile, from: 1, to: 2 }] };
    const { section } = moneyPart(await worksOptions(null, lane, bad, null), bad);
    expect(section.markup).not.toContain("<img");
  });
});

describe("the quote", () => {
  const numbers = (text: string): string[] => (text.replace(/(\d),(?=\d)/g, "$1.").match(/\d+(?:\.\d+)?/g) ?? []).sort();
  const sheets = (language: (typeof languages)[number]): string => (
    quotePaper(options, prices, lane, readerOf(language, "us")).map(({ title, body }) => textOf(`${title} ${body.markup}`)).join("\n"));

  test("gives the same numbers in every language, those of the page", () => {
    const english = sheets("en-US");
    expect(numbers(english).length).toBeGreaterThan(60);
    for (const language of languages.slice(1)) expect(numbers(sheets(language)), language).toEqual(numbers(english));
    for (const { cost } of options) expect(english).toContain(`${threeFigures(cost.low)} to ${threeFigures(cost.high)} USD`);
    for (const { low, high } of options[1]!.cost.lines) expect(english).toContain(`${threeFigures(low)} ${threeFigures(high)}`);
  });

  test("tells a unit price in the unit of its amount: 45 to 80 for a cubic yard, 38 to 62 for a short ton", () => {
    const english = sheets("en-US");
    expect(english).toMatch(/digging [\d.]+ cu yd 45 to 80 /);
    expect(english).toMatch(/washed crushed stone [\d.]+ short tons 38 to 62 /);
  });

  test("says that its sizes are not the file's where they are not", () => {
    expect(sameWorks(lane, sizing.best!.site)).toBe(false);
    expect(sameWorks(lane, readSite(demo("copperbeech-lane")))).toBe(true);
    expect(sheets("en-US")).toContain("are not those drawn in the file");
    expect(textOf(quotePaper(options, prices, options[1]!.site, readerOf("en-US", "us"))[0]!.body.markup)).not.toContain("are not those drawn");
  });
});
