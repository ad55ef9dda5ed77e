import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { seriesLevel } from "../../lib/ground/seriesLevel.ts";
import { conductivityAt, conductivityBetween, soilProfile } from "../../lib/ground/soilProfile.ts";
import { waterViscosityRatio } from "../../lib/ground/waterViscosity.ts";
import { expectClose } from "../closeTo.ts";

describe("a soil profile", () => {
  const soil = soilProfile([{ top: 50, conductivity: 6 }, { top: 47, conductivity: 20 }, { top: 45, conductivity: 2 }], 2);

  test("divides conductivities by the factor of safety, and gives a border to the layer below it", () => {
    expect([60, 50, 47.1, 47, 46, 45, 0].map((level) => conductivityAt(soil, level))).toEqual([3, 3, 3, 10, 10, 1, 1]);
  });

  test("adds up conductivity over height, layer by layer (by hand)", () => {
    expectClose(conductivityBetween(soil, 44, 48), 1 * 1 + 10 * 2 + 3 * 1, { relative: 1e-15, because: "round-off" });
    expect(conductivityBetween(soil, 46, 46)).toBe(0);
  });

  test("adds up in parts to the whole", () => {
    const level = fc.double({ min: 40, max: 55, noNaN: true });
    fc.assert(fc.property(level, level, level, (one, two, three) => {
      const a = Math.min(one, two, three);
      const c = Math.max(one, two, three);
      const b = one + two + three - a - c;
      const parts = conductivityBetween(soil, a, b) + conductivityBetween(soil, b, c);
      expectClose(parts, conductivityBetween(soil, a, c), { relative: 1e-12, absolute: 1e-12, because: "round-off" });
    }), { seed: 31 });
  });
});

describe("a groundwater series", () => {
  const series = { time: [100, 200, 400], level: [5, 7, 6] };

  test("is straight between its points and constant outside them", () => {
    expect([-50, 100, 150, 200, 300, 400, 9999].map((time) => seriesLevel(series, time))).toEqual([5, 5, 6, 7, 6.5, 6, 6]);
  });

  test("of one point is a fixed level, and none is far below", () => {
    expect(seriesLevel({ time: [0], level: [4.2] }, 1e6)).toBe(4.2);
    expect(seriesLevel(null, 0)).toBe(-Infinity);
  });
});

describe("the viscosity of water", () => {
  // common tables (from memory): 1.787 mPa s at 0 degC, 1.519 at 5, 1.307 at 10, 1.0016 at 20, 0.7972 at 30
  test.each([[0, 1.787], [5, 1.519], [10, 1.307], [20, 1.0016], [30, 0.7972]])("at %d degC is %f mPa s", (temperature, viscosity) => {
    expectClose(waterViscosityRatio(temperature), viscosity / 1.0016, { relative: 4e-3, because: "tables differ in their fourth digit" });
  });
});
