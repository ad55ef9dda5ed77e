import { expect, test } from "vitest";
import { greatestDepth } from "../../lib/rain/storms/greatestDepth.ts";
import { nestedRarity, placeRain } from "../../lib/rain/storms/placeRain.ts";
import { rainBetween } from "../../lib/rain/rainBetween.ts";
import { rainFrequency } from "../../lib/rain/storms/rainFrequency.ts";
import { tableValue } from "../../lib/rain/storms/stormCurve.ts";
import { stormEvents } from "../../lib/rain/stormEvents.ts";
import { YEAR } from "../../lib/text/unitTable.ts";
import { expectClose } from "../closeTo.ts";

// an invented town; years of rain against its table are proven in tests/prove/placeRain.test.ts
const RAINFALL = {
  unit: "in/hr", returnPeriods: ["2 year", "10 year", "100 year"], series: "annual-maximum",
  rows: {
    "5 min": [5, 7, 9], "10 min": [4, 5.6, 7.2], "15 min": [3.4, 4.8, 6.1], "30 min": [2.4, 3.5, 4.6],
    "60 min": [1.5, 2.3, 3.2], "120 min": [0.9, 1.4, 2], "6 h": [0.38, 0.59, 0.88], "24 h": [0.138, 0.21, 0.32],
  },
} as const;
const PLACE = { stormsPerYear: 85, meanDepth: "0.45 in", meanDuration: "6 h", rainfall: RAINFALL };

test("has the place's storms, depth and time, and the table's two-year depth in half of the years", () => {
  const rain = placeRain({ ...PLACE, years: 100, seed: 4 });
  const storms = stormEvents(rain, 6 * 3600);
  expectClose(storms.length / 100, 85, { relative: 0.02, because: "some 8500 gaps: three standard errors" });
  expectClose(rain.depth.reduce((sum, each) => sum + each, 0) / 100, 85 * 0.45 * 0.0254, { relative: 0.04, because: "three standard errors" });
  for (const [hours, depth] of [[1 / 12, 5 / 12], [1, 1.5], [24, 24 * 0.138]] as const) {
    const above = Array.from({ length: 100 }, (_, y) => greatestDepth(rainBetween(rain, y * YEAR, (y + 1) * YEAR), hours * 3600).depth)
      .filter((each) => each > depth * 0.0254).length;
    expect(Math.abs(above - 50)).toBeLessThan(16);
  }
});

test("a longer record begins with the shorter one, records differ, and the same call gives the same years", () => {
  const [short, long] = [placeRain({ ...PLACE, years: 2, seed: 3 }), placeRain({ ...PLACE, years: 5, seed: 3 })];
  expect(long.time.slice(0, short.time.length - 2)).toEqual(short.time.slice(0, -2));
  expect(placeRain({ ...PLACE, years: 2, seed: 3 })).toEqual(short);
  expect(placeRain({ ...PLACE, years: 2, seed: 3, record: 1 }).time[1]).not.toBe(short.time[1]);
});

test("rates of annual maxima and of partial durations are Langbein's", () => {
  const table = (series: "annual-maximum" | "partial-duration"): ReturnType<typeof rainFrequency> => rainFrequency({ ...RAINFALL, series });
  // Langbein 1949: T of annual maxima = 1/(1 - exp(-1/T of partial durations)): 1.58, 2.54 and 10.5 for 1, 2 and 10 years
  for (const [partial, annual] of [[1, 1.582], [2, 2.541], [10, 10.508]] as const) {
    expectClose(table("annual-maximum")!.rateOf(annual), table("partial-duration")!.rateOf(partial), { relative: 5e-4, because: "printed digits" });
  }
  expectClose(table("annual-maximum")!.depth(4, -Math.log(0.9), 85), 2.3 * 0.0254, { relative: 1e-9, because: "the table's ten years" });
  expectClose(table("partial-duration")!.depth(4, 0.1, 85), 2.3 * 0.0254, { relative: 1e-9, because: "the table's ten years" });
});

test("storms pass a depth at the table's rate at every duration, whatever their own", () => {
  const rain = rainFrequency(RAINFALL)!;
  const law = nestedRarity(rain, 6, 85);
  const [rare, picks] = [200, 40];
  rain.durations.forEach((duration, k) => {
    for (const rate of [0.02, 0.1, 0.7]) {
      const depth = rain.depth(k, rate, 85);
      let above = 0;
      for (let i = 0; i < rare; i++) {
        // rarities from a ten-thousandth up, in equal steps of logarithm, each counted by its width
        const rarity = 1e-4 * 60000 ** ((i + 0.5) / rare);
        for (let j = 0; j < picks; j++) {
          const { durations, depths } = law.profile(rarity, (j + 0.5) / picks);
          if (tableValue([0, ...durations], [0, ...depths], duration) > depth * (1 + 1e-9)) above += (rarity * Math.log(60000)) / rare;
        }
      }
      expectClose((above * law.perYear) / 6 / picks, rate, { relative: 0.07, because: "steps of 5.6 percent" });
    }
  });
});

test("refuses a rainfall without rates, and a place with less rain than its table", () => {
  const equation = { form: "a/(t+b)^c", intensityUnit: "mm/h", timeUnit: "min", a: 1500, b: 12, c: 0.85 } as const;
  expect(() => placeRain({ ...PLACE, rainfall: equation, years: 1, seed: 1 })).toThrow(
    "climate.rainfall: expected a table of two durations and return periods or more, or the UK's factors, got rain without rates");
  expect(() => placeRain({ ...PLACE, meanDepth: "1 mm", years: 1, seed: 1 })).toThrow(
    "climate.meanDepth: expected more rain in a year than the table's own rare storms bring, got 0.085 m a year");
});
