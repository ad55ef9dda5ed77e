import { YEAR } from "../../lib/units/year.ts";
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { hyetograph } from "../../lib/rain/hyetograph.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { often } from "../../lib/study/often.ts";
import { oftenCases } from "../../lib/study/oftenCases.ts";
import { columnOf } from "../../lib/study/runStudy.ts";
import { timeAbove } from "../../lib/study/timeAbove.ts";
import { expectClose } from "../closeTo.ts";

const site = readSite(readFileSync(new URL("../../data/linden-row.json", import.meta.url), "utf8"));
const CLIMATE = { stormsPerYear: 80, meanDepth: "12 mm", meanDuration: "6 h" };

test("a record of one year is what simulate says of it", async () => {
  const hours = 366 * 24;
  // an invented year: a wet day every fortnight, one of them heavy
  const rain = hyetograph({
    time: Array.from({ length: hours + 1 }, (_, h) => h * 3600),
    depth: Array.from({ length: hours }, (_, h) => (h % 336 < 10 ? (h > 4000 && h < 4400 ? 0.012 : 0.003) : 0)),
  });
  const result = await often(site, { records: [rain] });
  const run = simulate(site, rain, { until: rain.time.at(-1)! });
  const { table, average, longestWet } = result;
  const years = run.until / YEAR;
  expectClose(average.emitterVolume * years, run.ledger.emitter, { absolute: 1e-4, because: "years have a coarser tolerance" });
  expectClose(average.inflow * years, run.ledger.inflow, { relative: 1e-12, because: "the same inflow" });
  expectClose(columnOf(table, "peak 1")[0]!, run.peaks["chamberBank"]!.level, { absolute: 1e-4, because: "peaks of a record are within 0.1 mm" });
  const wetLevel = Math.max(site.chamberBank.floor, run.level("chamberBank", 0)) + 0.01;
  expectClose(average.wet * run.until, timeAbove(run, "chamberBank", wetLevel), { relative: 0.01, because: "the last drops fall by straight pieces of a step" });
  expect(result.stormVolume).toHaveLength(1);
  expectClose(result.stormVolume[0]!.returnPeriod, 1.12 / 0.56, { relative: 1e-12, because: "Gringorten, one year" });
  expect(longestWet).toBeGreaterThan(10 * 3600);
  expect(longestWet).toBeLessThan(336 * 3600);
});

test("water that stands for the whole of a record is one wet spell", async () => {
  const rain = hyetograph({ time: [0, 40 * 86400], depth: [4.4] });
  const { average, longestWet } = await often(site, { records: [rain] });
  expect(average.wet).toBeGreaterThan(0.99);
  expectClose(longestWet, average.wet * 40 * 86400, { relative: 1e-9, because: "one spell" });
  expect(average.aboveHalf).toBeGreaterThan(0.9);
});

test("in slower soil the emitter never lets out less, and the pit is never dry for longer", async () => {
  const { soils, table } = await often(site, { climate: CLIMATE, years: 3, soils: 5, conductivityWithin: 5 });
  const [volumes, wet] = [columnOf(table, "emitterVolume"), columnOf(table, "wet")];
  for (let j = 1; j < 5; j++) {
    expect(soils[j]!.conductivityFactor).toBeGreaterThan(soils[j - 1]!.conductivityFactor);
    expect(volumes[j]!).toBeLessThanOrEqual(volumes[j - 1]! + 1e-6);
    expect(wet[j]!).toBeLessThanOrEqual(wet[j - 1]!);
  }
  expect(soils[2]!.conductivityFactor).toBe(1);
});

test("says all that is wrong with its options", () => {
  expect(() => oftenCases({ kind: "often", site, options: { years: 0.5, soils: 4, hours: 2 } as never })).toThrow([
    "The years cannot be run:",
    "  often.records: expected records or a climate, got neither",
    "  often.years: expected a number of 1 or more and of 1000 or less, got 0.5",
    "  often.soils: expected 1, or a conductivityWithin above 1 for the soils to lie in, got 4",
    "  often.hours: expected no such key (known here: records, climate, years, count, seed, soils, conductivityWithin), got 2",
  ].join("\n"));
});
