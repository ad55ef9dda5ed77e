import { describe, expect, test } from "vitest";
import { costOf, type CostLine } from "../../lib/plan/cost.ts";
import { takeOff } from "../../lib/plan/takeOff.ts";
import type { Prices } from "../../lib/site/prices.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { expectClose } from "../closeTo.ts";
import { changed, fixture, type SiteJson } from "../site/siteFiles.ts";

const PRICES = {
  currency: "EUR", dig: { per: "1 m^3", from: 40, to: 70 }, cartAway: { per: "1 t", from: 10, to: 16 }, stone: { per: "1 t", from: 25, to: 40 },
  fabric: { per: "10 m^2", from: 15, to: 25 }, pipe: { per: "1 m", from: 8, to: 12 }, perforatedPipe: { per: "1 m", from: 6, to: 9 },
  chamber: { from: 200, to: 300 }, lumpSums: [{ name: "digger", from: 300, to: 500 }],
};
const priced = (prices: SiteJson = PRICES): { readonly site: ReturnType<typeof readSite>; readonly prices: Prices } => {
  const site = readSite(changed(fixture("orchard-depot"), "prices", prices));
  return { site, prices: site.prices as Prices };
};
const line = (lines: readonly CostLine[], key: CostLine["key"]): CostLine => lines.find((each) => each.key === key)!;

// Amounts by hand as in tests/plan/takeOff.test.ts: dug 36.855938 m3; stone ordered 18.567012 + 1.05 x 0.43575 m3 at 1600 kg/m3.
describe("the cost of the orchard depot", () => {
  const { site, prices } = priced();
  const { lines, low, middle, high, unpriced, currency } = costOf(site, prices);

  test("is each amount times its price, by hand", () => {
    expectClose(line(lines, "dig").low, 40 * 36.855938, { absolute: 1e-3, because: "six digits of a sum by hand" });
    expectClose(line(lines, "dig").high, 70 * 36.855938, { absolute: 1e-3, because: "six digits of a sum by hand" });
    const tonnes = 1.6 * (18.567012 + 1.05 * 0.43575);
    expectClose(line(lines, "stone").low, 25 * tonnes, { absolute: 1e-3, because: "six digits of a sum by hand" });
    // closed pipes of 110 mm: 6.5 m from the box and 1.5 m to the trench, each 0.8 m on to a chamber (three of 1 m in a row in 2.6 m of
    // width),
    // and the standpipe, 2.25 m, off lengths of 3 m: two whole ones and rests of 2.3, 2.25 and 1.3 m on three more; the riser of 100 mm,
    // less
    // than a length
    expect(line(lines, "pipe").amount).toBe(18);
    expectClose(line(lines, "pipe").high, 12 * 18, { relative: 1e-12, because: "round-off" });
    // 18 m of trench are six lengths
    expect(line(lines, "perforatedPipe").amount).toBe(18);
    expect([line(lines, "chamber").amount, line(lines, "chamber").low, line(lines, "chamber").high]).toEqual([3, 600, 900]);
    expectClose(line(lines, "fabric").high, 2.5 * takeOff(site).lay.fabric.total, { relative: 1e-12, because: "round-off" });
  });

  test("adds up from all prices at their lowest to all at their highest, with what is paid once", () => {
    expect(currency).toBe("EUR");
    expect(lines.at(-1)).toMatchObject({ key: null, name: "digger", amount: 1, low: 300, high: 500 });
    for (const [end, sum] of [["low", low], ["high", high]] as const) {
      expectClose(lines.reduce((total, each) => total + each[end], 0), sum, { relative: 1e-12, because: "round-off" });
    }
    expectClose(middle, (low + high) / 2, { relative: 1e-12, because: "round-off" });
  });

  test("names what is ordered and has no price", () => {
    expect(unpriced).toEqual(["fitting", "settlingBox", "emitter", "turf"]);
  });

  test("is the same whatever unit a price is of: a short ton is 2000 lb, a cubic yard 27 cubic feet", () => {
    const { site: other, prices: its } = priced({
      currency: "EUR", stone: { per: "2000 lb", from: 20, to: 30 }, dig: { per: "27 ft^3", from: 10, to: 10 },
    });
    const { site: same, prices: those } = priced({ currency: "EUR", stone: { per: "1 ton", from: 20, to: 30 }, dig: { per: "1 cu yd", from: 10, to: 10 } });
    expectClose(costOf(other, its).high, costOf(same, those).high, { relative: 1e-12, because: "round-off" });
    // stone by volume is counted by volume
    const { site: third, prices: bulk } = priced({ currency: "EUR", stone: { per: "1 m^3", from: 20, to: 30 } });
    expectClose(costOf(third, bulk).low, 20 * takeOff(third).fill.ordered, { relative: 1e-12, because: "round-off" });
  });
});

test("prices that cannot be are told all at once", () => {
  expect(() => priced({ stone: { per: "1 furlong", from: 2, to: 1 }, dig: { per: "1 m^3", from: -1, to: 3 }, fitting: 4, fittings: {} })).toThrow([
    '  prices.fittings: expected a known key (did you mean "fitting"?), got an unknown key',
    "  prices.currency: expected a name of 1 to 200 characters on one line, got nothing",
    "  prices.dig.from: expected a number from 0 to 1000000000000, got -1",
    '  prices.stone.per: expected a mass from 10 kg to 100 t or a volume from 10 L to 100 m^3, such as "14 ton", "12 t" or "10 cu yd", got "1 furlong"',
    '  prices.stone.to: expected a price of 2 or more, as "from" has it, got 1',
    "  prices.fitting: expected an object { … }, got 4",
  ].join("\n"));
});
