import { YEAR } from "../../lib/text/unitTable.ts";
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { oftenAnswer } from "../../lib/figures/exceedanceFigure.ts";
import { hyetograph } from "../../lib/rain/hyetograph.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { asMeasured } from "../../lib/study/ensembleCases.ts";
import { often } from "../../lib/study/often.ts";
import { onceIn } from "../../lib/study/onceIn.ts";
import { oftenCases, type OftenOptions } from "../../lib/study/oftenCases.ts";
import { columnOf } from "../../lib/study/runStudy.ts";
import { size } from "../../lib/study/size.ts";
import { sweep } from "../../lib/study/sweep.ts";
import { timeAbove } from "../../lib/study/placement.ts";
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
  const tested = asMeasured(site);
  const run = simulate(tested, rain, { until: rain.time.at(-1)! });
  const { table, average, longestWet, byRule } = result;
  const years = run.until / YEAR;
  expectClose(average.emitterVolume * years, run.ledger.emitter, { absolute: 1e-4, because: "years have a coarser tolerance" });
  expectClose(average.inflow * years, run.ledger.inflow, { relative: 1e-12, because: "the same inflow" });
  expectClose(columnOf(table, "peak 1")[0]!, run.peaks["chamberBank"]!.level, { absolute: 1e-4, because: "peaks of a record are within 0.1 mm" });
  // the rule of design divides the soil by the file's factor of safety, here 2, and stands beside, in no average
  const ruled = simulate(site, rain, { until: rain.time.at(-1)! });
  expect([columnOf(table, "conductivityFactor"), columnOf(table, "byRule")].map((column) => [...column])).toEqual([[1, 0.5], [0, 1]]);
  expectClose(byRule!.emitterVolume * years, ruled.ledger.emitter, { absolute: 1e-4, because: "years have a coarser tolerance" });
  expect(byRule!.emitterVolume).toBeGreaterThan(average.emitterVolume);
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
    "  often.hours: expected no such key (known here: records, climate, years, count, seed, soils, conductivityWithin, rainfall), got 2",
  ].join("\n"));
});

const UK = { m5_60: "20 mm", r: 0.4 } as const;

test("a climate with a table has the table's extremes, told side by side with bands that mostly hold them", async () => {
  const asked = { climate: { stormsPerYear: 150, meanDepth: "4.6 mm", meanDuration: "4 h" }, years: 60, seed: 5 };
  const { rain, once, years } = await often(site, { ...asked, rainfall: UK });
  expect([rain.from, rain.notes, years]).toEqual(["table", [], 60]);
  expect(once.map((each) => each.years)).toEqual([2, 5, 10]);
  expect(new Set(rain.beside.map(({ duration }) => duration / 60))).toEqual(new Set([5, 10, 15, 30, 60, 120, 240, 360, 600, 1440]));
  // the UK's factors for 2 and 10 years: M5-60 of 20 mm times Z2 0.81 and 1.24
  const hour = rain.beside.filter(({ duration }) => duration === 3600);
  expectClose(hour[0]!.table, 0.0162, { relative: 1e-9, because: "Z2 as printed" });
  expectClose(hour[2]!.table, 0.0248, { relative: 1e-9, because: "Z2 as printed" });
  const held = rain.beside.filter(({ table, fell }) => fell.low <= table && table <= fell.high).length;
  expect(held / rain.beside.length).toBeGreaterThan(0.7);
  const bare = await often(site, { ...asked, years: 6 });
  expect(oftenAnswer(bare)).toContain("; there are no cloudbursts in these years, made of averages alone.");
  expect(bare.rain.notes).toEqual([
    "These years are made of three averages of the place, without a table of its rain: there are no cloudbursts in them.",
  ]);
});

test("a record says what its intervals and its length cannot tell, and its years are never asked for more than a third of themselves", async () => {
  const hours = 366 * 24;
  const rain = hyetograph({
    time: Array.from({ length: hours + 1 }, (_, h) => h * 3600), depth: Array.from({ length: hours }, (_, h) => (h % 100 < 3 ? 0.002 : 0)),
  });
  const result = await often(site, { records: [rain], rainfall: UK });
  expect(result.once).toEqual([]);
  expect(result.rain).toEqual({ from: "record", beside: [], notes: [
    "The record tells its rain by intervals of 60 min: cloudbursts within them are evened out, so that a lid opens less often here, and lets out less, than in truth.",
    "A record of less than ten years tells averages; of what comes once in several years it tells little.",
  ] });
});

test("the band of what comes once in two years is that of a median", () => {
  const years = Array.from({ length: 400 }, (_, y) => [(y * 0.6180339887) % 1]);
  const [half] = onceIn(years, [2]);
  // the median of n uniform values scatters by 0.5/sqrt(n): 90 of 100 within 1.645 of it
  expectClose(half!.value, 0.5, { absolute: 0.005, because: "an even row" });
  expectClose(half!.high - half!.low, 2 * 1.645 * 0.5 / 20, { relative: 0.15, because: "400 resamples" });
});

test("about ten years, years of rain, a sweep of storms and a size say the same of the demo, within the band printed", async () => {
  const lane = readSite(readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8"));
  const { rainfall, often: years } = lane.studies!;
  const { byRule, tableStorms } = await often(lane, { ...years, rainfall, soils: 1, conductivityWithin: 1 } as OftenOptions);
  const band = byRule!.once.find((each) => each.years === 10)!.stormVolume;
  const within = (volume: number): void => {
    expect(volume).toBeGreaterThan(band.low);
    expect(volume).toBeLessThan(band.high);
  };
  const swept = await sweep(lane, { rainfall: rainfall as never, returnPeriods: ["10 year"], durations: ["5 min", "15 min", "30 min", "1 h", "2 h", "6 h", "24 h"] });
  const worst = swept.designs[0]!.rows[0]!.critical.emitterVolume!;
  within(worst.value);
  const one = tableStorms.find((each) => each.years === 10)!;
  // the table's durations are those swept and one more, so that the worst is one storm
  expect([worst.duration, one.even.emittedIn]).toEqual(["24 h", 86400]);
  expectClose(one.even.emitted, worst.value, { relative: 0.002, because: "a sweep has the coarser tolerance of studies" });
  within(one.nested.emitted);
  // a size asked of every duration of ten years, from empty and after the table's 2-year day, decides by the longest
  const asked = { storm: { returnPeriod: "10 year" }, emitterVolumeAtMost: "100 m^3" } as const;
  const { asDrawn } = await size(lane, { rainfall: rainfall as never, criteria: [asked], steps: { chambers: [4] } });
  const { duration, dayBefore } = asDrawn.decided[0]!;
  expect([duration, dayBefore !== null]).toEqual(["24 h", true]);
  within(asDrawn.reached[0]!);
}, 60_000);
