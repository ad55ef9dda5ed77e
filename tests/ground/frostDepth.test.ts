import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { cakeShare } from "../../lib/ground/cakeShare.ts";
import { frostDepth } from "../../lib/ground/frostDepth.ts";
import { expectClose } from "../closeTo.ts";

describe("the depth of frost", () => {
  test("is Stefan's, by hand: 500 degree days, 2 W/m/K, 15 percent of 1600 kg/m3 of water to freeze", () => {
    // L = 334 000 x 0.15 x 1600 = 80.16 MJ/m3; 2 x 2 x 500 x 86 400 = 172.8e6; sqrt(172.8/80.16) = 1.46822 m (by hand)
    const winter = { freezingIndex: 500 * 86_400, conductivity: 2, dryDensity: 1600, moisture: 0.15 };
    expectClose(frostDepth(winter), 1.46822, { absolute: 1e-5, because: "six digits" });
    expectClose(frostDepth({ ...winter, surfaceFactor: 0.25 }), 1.46822 / 2, { absolute: 1e-5, because: "the root of a quarter" });
    expect(frostDepth({ ...winter, freezingIndex: 0 })).toBe(0);
  });

  test("is deeper in a colder winter and in drier soil", () => {
    const winter = fc.record({
      freezingIndex: fc.double({ min: 1e5, max: 1e9, noNaN: true }), conductivity: fc.double({ min: 0.2, max: 5, noNaN: true }),
      dryDensity: fc.double({ min: 500, max: 2200, noNaN: true }), moisture: fc.double({ min: 0.02, max: 1, noNaN: true }),
    });
    fc.assert(fc.property(winter, (given) => {
      const depth = frostDepth(given);
      expect(frostDepth({ ...given, freezingIndex: 1.1 * given.freezingIndex })).toBeGreaterThan(depth);
      expect(frostDepth({ ...given, moisture: given.moisture / 1.1 })).toBeGreaterThan(depth);
    }));
  });

  test("says what a winter cannot be", () => {
    expect(() => frostDepth({ freezingIndex: -1, conductivity: 1, dryDensity: 1600, moisture: 0.2 })).toThrow("freezingIndex: expected 0 or more, got -1");
    expect(() => frostDepth({ freezingIndex: 1, conductivity: 1, dryDensity: 1600, moisture: 0 })).toThrow("moisture: expected more than 0, got 0");
  });
});

describe("a cake on the floor", () => {
  const clean = { settled: 0, density: 600, conductivity: 1e-8, soilConductivity: 3e-6, path: 2 };

  test("of a hand sum: 10 mm of it in series with 2 m of soil", () => {
    // soil 2/3e-6 = 666 667 s, cake 0.01/1e-8 = 1 000 000 s, together 1 666 667 s: 0.4 (by hand)
    expectClose(cakeShare({ ...clean, settled: 6 }), 0.4, { relative: 1e-12, because: "round-off" });
    expect(cakeShare(clean)).toBe(1);
  });

  test("never raises what the floor takes, whatever lies on it, and faster soil never takes less through it", () => {
    const cake = fc.record({
      settled: fc.double({ min: 0, max: 1e3, noNaN: true }), density: fc.double({ min: 50, max: 2000, noNaN: true }),
      conductivity: fc.double({ min: 1e-12, max: 1e-3, noNaN: true }), soilConductivity: fc.double({ min: 0, max: 1e-2, noNaN: true }),
      path: fc.double({ min: 0.1, max: 20, noNaN: true }),
    });
    fc.assert(fc.property(cake, fc.double({ min: 0, max: 100, noNaN: true }), (given, more) => {
      const share = cakeShare(given);
      expect(share).toBeGreaterThan(0);
      expect(share).toBeLessThanOrEqual(1);
      expect(cakeShare({ ...given, settled: given.settled + more })).toBeLessThanOrEqual(share);
      const faster = { ...given, soilConductivity: given.soilConductivity * 1.5 };
      expect(cakeShare(faster) * faster.soilConductivity).toBeGreaterThanOrEqual(share * given.soilConductivity * (1 - 1e-12));
    }));
  });

  test("says what it cannot be", () => {
    expect(() => cakeShare({ ...clean, settled: -1 })).toThrow("settled: expected 0 or more, got -1");
    expect(() => cakeShare({ ...clean, path: 0 })).toThrow("path: expected more than 0, got 0");
  });
});
