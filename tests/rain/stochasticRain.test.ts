import { YEAR } from "../../lib/text/unitTable.ts";
import { expect, test } from "vitest";
import { hyetograph } from "../../lib/rain/hyetograph.ts";
import { climateOf, stochasticRain, type Climate } from "../../lib/rain/storms/stochasticRain.ts";
import { stormEvents } from "../../lib/rain/stormEvents.ts";
import { expectClose } from "../closeTo.ts";

const CLIMATE: Climate = { stormsPerYear: 80, meanDepth: "12 mm", meanDuration: "6 h" };

test("has the averages of its climate", () => {
  const rain = stochasticRain({ ...CLIMATE, years: 200, seed: 3 });
  const storms = stormEvents(rain, 1);
  expectClose(storms.length / 200, 80, { relative: 0.03, because: "16 000 exponential gaps: four standard errors" });
  expectClose(rain.depth.reduce((sum, each) => sum + each, 0) / 200, 0.96, {
    relative: 0.06, because: "depths scatter by sqrt(3) of their mean: four standard errors",
  });
  expect(rain.time.at(-1)).toBe(200 * YEAR);
});

// 2 sqrt(x) K1(2 sqrt(x)) by scipy 1.17.1, special.k1
test.each([[0.25, 0.6019072301972346], [1, 0.2797317636330449], [4, 0.04993399554907371]])(
  "a share of the storms is deeper than %d times the mean as Eagleson's formula says", (times, share) => {
    const storms = stormEvents(stochasticRain({ ...CLIMATE, years: 300, seed: 8 }), 1e-3);
    const deeper = storms.filter(({ depth }) => depth > times * 0.012).length / storms.length;
    expectClose(deeper, share, { absolute: 0.013, because: "24 000 storms: four standard errors" });
  },
);

test("a longer record begins with the shorter one, and records of one seed differ", () => {
  const [short, long] = [stochasticRain({ ...CLIMATE, years: 2, seed: 3 }), stochasticRain({ ...CLIMATE, years: 5, seed: 3 })];
  expect(long.time.slice(0, short.time.length - 2)).toEqual(short.time.slice(0, -2));
  expect(stochasticRain({ ...CLIMATE, years: 2, seed: 3, record: 1 }).time[1]).not.toBe(short.time[1]);
});

test("the climate of a record is that of its storms", () => {
  const year = hyetograph({ time: [0, 3600, 10 * 3600, 13 * 3600, YEAR / 2], depth: [0.01, 0, 0.02, 0] });
  const { stormsPerYear, meanDepth, meanDuration } = climateOf(year);
  expectClose(stormsPerYear, 4, { absolute: 1e-12, because: "two storms in half a year" });
  expect([meanDepth, meanDuration]).toEqual(["15 mm", "2 h"]);
  expect(() => climateOf(hyetograph({ time: [0, 1], depth: [1] }))).toThrow("climateOf: expected a record of two storms or more, got 1");
});

test("says all that is wrong with a climate", () => {
  expect(() => stochasticRain({ stormsPerYear: 2000, meanDepth: "12", meanDuration: "6 h", years: 0, seed: 1 })).toThrow([
    "The rain cannot be made:",
    '  climate.meanDepth: expected a length such as "2.5 ft", "18 in" or "0.75 m", got "12", without a unit',
    "  climate.years: expected a number above 0 and of 1000 or less, got 0",
    '  climate.meanDuration: expected storms that leave a dry spell between them: stormsPerYear x meanDuration below a year, got "6 h"',
  ].join("\n"));
});
