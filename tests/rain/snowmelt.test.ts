import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { hyetograph } from "../../lib/rain/hyetograph.ts";
import { snowmelt } from "../../lib/rain/snowmelt.ts";
import { rains, thousandths, totalDepth } from "../runoff/rains.ts";

const DAY = 86400;

describe("snowmelt by degree-day", () => {
  test("keeps snow until it thaws, and melts 4 mm a day and degree (derived)", () => {
    const time = [0, DAY, 2 * DAY, 3 * DAY];
    const precipitation = hyetograph({ time, depth: [0.02, 0.005, 0] });
    const { water, snow } = snowmelt({ precipitation, temperature: { time, mean: [-3, 2, 2] } });
    [0, 0.02, 0.012, 0.004].forEach((depth, i) => expect(snow[i]).toBeCloseTo(depth, 15));
    [0, 0.013, 0.008].forEach((depth, i) => expect(water.depth[i]).toBeCloseTo(depth, 15));
  });

  test("ends when the snow is gone, at that moment", () => {
    const precipitation = hyetograph({ time: [0, DAY], depth: [0] });
    const { water, snow } = snowmelt({ precipitation, temperature: { time: [0, DAY], mean: [10] }, snowAtStart: "10 mm", meltRate: "4 mm/day" });
    expect([...water.time]).toEqual([0, DAY / 4, DAY]);
    expect([[...water.depth], [...snow]]).toEqual([[0.01, 0], [0.01, 0, 0]]);
  });

  test("takes temperatures at hours of their own, as a record's dry days are one interval", () => {
    const precipitation = hyetograph({ time: [0, DAY, 4 * DAY], depth: [0.03, 0] });
    const temperature = { time: [-DAY, DAY / 2, DAY, 2 * DAY, 5 * DAY], mean: [-2, 3, -1, 2] };
    const { water, snow } = snowmelt({ precipitation, temperature });
    // derived: 15 mm of snow till noon, then 15 mm of rain and 6 mm of melt, a frosty day, and 8 mm a day until 9 mm are gone
    expect([...water.time]).toEqual([0, DAY / 2, DAY, 2 * DAY, 2 * DAY + (9 / 8) * DAY, 4 * DAY]);
    [0, 0.021, 0, 0.009, 0].forEach((depth, i) => expect(water.depth[i]).toBeCloseTo(depth, 14));
    [0, 0.015, 0.009, 0.009, 0, 0].forEach((depth, i) => expect(snow[i]).toBeCloseTo(depth, 14));
  });

  test("loses no water and makes none", () => {
    const mean = fc.array(thousandths(-15, 15), { minLength: 1, maxLength: 12 });
    fc.assert(
      fc.property(rains, mean, thousandths(0, 80), (precipitation, degrees, start_mm) => {
        const [start, end] = [precipitation.time[0]!, precipitation.time[precipitation.depth.length]!];
        const time = [start, ...degrees.slice(1).map((_, i) => start + ((end - start) * (i + 1)) / degrees.length), end];
        const { water, snow } = snowmelt({ precipitation, temperature: { time, mean: degrees }, snowAtStart: `${start_mm} mm` });
        const given = totalDepth(precipitation) + start_mm / 1000;
        expect(Math.abs(totalDepth(water) + snow[snow.length - 1]! - given)).toBeLessThanOrEqual(1e-13 * given);
        expect(Math.min(...snow)).toBeGreaterThanOrEqual(0);
        expect(snow.length).toBe(water.time.length);
      }),
    );
  });

  test("asks for temperatures that cover the precipitation", () => {
    const precipitation = hyetograph({ time: [0, 1, 2], depth: [0, 0] });
    expect(() => snowmelt({ precipitation, temperature: { time: [0], mean: [1] }, meltRate: "4 mm" })).toThrow(
      [
        "The snowmelt cannot be computed:",
        'snowmelt.meltRate: expected a speed such as "0.5 in/hr" or "12 mm/h", got "4 mm", a length',
        "snowmelt.temperature: expected one edge more than means, and one mean or more, got 1 edges and 1 means",
      ].join("\n  "),
    );
    expect(() => snowmelt({ precipitation, temperature: { time: [1, 0.5, 2], mean: [1, NaN] } })).toThrow(
      [
        "The snowmelt cannot be computed:",
        "snowmelt.temperature.mean[1]: expected a temperature in degC, got NaN",
        "snowmelt.temperature.time[1]: expected later than 1 s, got 0.5 s",
        "snowmelt.temperature.time: expected all of the precipitation, 0 s to 2 s, got 1 s to 2 s",
      ].join("\n  "),
    );
  });
});
