import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { hyetograph } from "../../lib/rain/hyetograph.ts";
import { snowmelt } from "../../lib/rain/snowmelt.ts";
import { rains, thousandths, totalDepth } from "../runoff/rains.ts";

const DAY = 86400;

describe("snowmelt by degree-day", () => {
  test("keeps snow until it thaws, and melts 4 mm a day and degree (derived)", () => {
    const precipitation = hyetograph({ time: [0, DAY, 2 * DAY, 3 * DAY], depth: [0.02, 0.005, 0] });
    const { water, snow } = snowmelt({ precipitation, temperature: [-3, 2, 2] });
    [0, 0.02, 0.012, 0.004].forEach((depth, i) => expect(snow[i]).toBeCloseTo(depth, 15));
    [0, 0.013, 0.008].forEach((depth, i) => expect(water.depth[i]).toBeCloseTo(depth, 15));
  });

  test("ends when the snow is gone, at that moment", () => {
    const precipitation = hyetograph({ time: [0, DAY], depth: [0] });
    const { water } = snowmelt({ precipitation, temperature: [10], snowAtStart: "10 mm", meltRate: "4 mm/day" });
    expect([...water.time]).toEqual([0, DAY / 4, DAY]);
    expect([...water.depth]).toEqual([0.01, 0]);
  });

  test("loses no water and makes none", () => {
    const cases = rains.chain((precipitation) => {
      const count = precipitation.depth.length;
      return fc.record({
        precipitation: fc.constant(precipitation),
        temperature: fc.array(thousandths(-15, 15), { minLength: count, maxLength: count }),
        start_mm: thousandths(0, 80),
      });
    });
    fc.assert(
      fc.property(cases, ({ precipitation, temperature, start_mm }) => {
        const { water, snow } = snowmelt({ precipitation, temperature, snowAtStart: `${start_mm} mm` });
        const given = totalDepth(precipitation) + start_mm / 1000;
        expect(Math.abs(totalDepth(water) + snow[snow.length - 1]! - given)).toBeLessThanOrEqual(1e-13 * given);
        expect(Math.min(...snow)).toBeGreaterThanOrEqual(0);
      }),
    );
  });

  test("asks for a temperature for each interval", () => {
    const precipitation = hyetograph({ time: [0, 1, 2], depth: [0, 0] });
    expect(() => snowmelt({ precipitation, temperature: [1], meltRate: "4 mm" })).toThrow(
      [
        "The snowmelt cannot be computed:",
        'snowmelt.meltRate: expected a speed such as "0.5 in/hr" or "12 mm/h", got "4 mm", a length',
        "snowmelt.temperature: expected one for each interval (2), got 1",
      ].join("\n  "),
    );
    expect(() => snowmelt({ precipitation, temperature: [1, NaN] })).toThrow("snowmelt.temperature[1]: expected a temperature in degC, got NaN");
  });
});
