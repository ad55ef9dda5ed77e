import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { basinArea, basinCapture, idealCapture } from "../../lib/works/basinCapture.ts";
import { settlingVelocity } from "../../lib/works/settlingVelocity.ts";
import { sumpFilling } from "../../lib/works/sumpFilling.ts";
import { expectClose } from "../closeTo.ts";

const FOOT = 0.3048;

describe("a settling basin", () => {
  // 1 - (1 + w A/(n Q))^-n at w = Q/A: 1/2, 1 - (3/4)^3, 1 - 1/e (derived)
  test.each([[1, 0.5], [3, 0.578125], [Infinity, 0.6321206]])("of n = %d holds %d of the grains that sink at Q/A", (basins, share) => {
    expectClose(basinCapture({ settling: 0.004, planArea: 0.25, flow: 0.001, basins }), share, { absolute: 5e-8, because: "seven digits" });
  });

  test("that is ideal holds w A/Q of them, and all from Q/A on (read)", () => {
    expect([0.001, 0.004, 0.005].map((settling) => idealCapture({ settling, planArea: 0.25, flow: 0.001 }))).toEqual([0.25, 1, 1]);
  });

  // As = -(Qo/W) ln(1 - E), E = 0.9, Qo = WQv in 24 h: 0.066 WQv for W = 0.0004 ft/s and 0.0081 WQv for 0.0033 ft/s, in feet; a
  // published pair, from memory, which the formula gives as 0.066626 and 0.0080758
  test.each([[0.0004, 0.066626, 0.066], [0.0033, 0.0080758, 0.0081]])("for 90 percent at %d ft/s needs %d sq ft a cubic foot", (
    speed_ft_s, share, published,
  ) => {
    const volume = FOOT ** 3;
    const area = basinArea(0.9, volume / 86_400, speed_ft_s * FOOT) / FOOT ** 2;
    expectClose(area, share, { relative: 1e-5, because: "five digits" });
    expectClose(area, published, { relative: 0.01, because: "printed to two figures" });
  });

  const basin = fc.record({
    diameter: fc.double({ min: 1e-6, max: 2e-3, noNaN: true }), planArea: fc.double({ min: 0.05, max: 20, noNaN: true }),
    flow: fc.double({ min: 1e-5, max: 0.1, noNaN: true }), basins: fc.double({ min: 1, max: 50, noNaN: true }),
  });

  test("holds more of larger grains, in a larger area, at a smaller flow and with more basins; never more than an ideal one", () => {
    fc.assert(fc.property(basin, ({ diameter, planArea, flow, basins }) => {
      const settling = settlingVelocity({ diameter });
      const share = basinCapture({ settling, planArea, flow, basins });
      const least = share - 1e-15;
      const larger = settlingVelocity({ diameter: 1.2 * diameter });
      expect(basinCapture({ settling: larger, planArea, flow, basins })).toBeGreaterThanOrEqual(least);
      expect(basinCapture({ settling, planArea: 1.2 * planArea, flow, basins })).toBeGreaterThanOrEqual(least);
      expect(basinCapture({ settling, planArea, flow: flow / 1.2, basins })).toBeGreaterThanOrEqual(least);
      expect(basinCapture({ settling, planArea, flow, basins: 1.2 * basins })).toBeGreaterThanOrEqual(least);
      expect(share).toBeLessThanOrEqual(idealCapture({ settling, planArea, flow }) + 1e-15);
      expect(share).toBeGreaterThan(0);
    }));
  });

  test("in plug flow is the inverse of its area", () => {
    fc.assert(fc.property(fc.double({ min: 0, max: 0.999, noNaN: true }), (share) => {
      const planArea = basinArea(share, 0.002, 0.01) + 1e-12;
      expectClose(basinCapture({ settling: 0.01, planArea, flow: 0.002, basins: Infinity }), share, { absolute: 1e-9, because: "round-off and the area added" });
    }));
  });

  test("holds all where nothing flows, none of what does not sink, and says what it cannot be", () => {
    expect([basinCapture({ settling: 0.01, planArea: 1, flow: 0 }), basinCapture({ settling: 0, planArea: 1, flow: 0 })]).toEqual([1, 0]);
    expect(() => basinCapture({ settling: 0.01, planArea: 0, flow: 1 })).toThrow("planArea: expected more than 0 m2, got 0");
    expect(() => basinCapture({ settling: -1, planArea: 1, flow: 1 })).toThrow("settling: expected 0 m/s or more, got -1");
    expect(() => basinCapture({ settling: 1, planArea: 1, flow: NaN })).toThrow("flow: expected 0 m3/s or more, got NaN");
    expect(() => basinCapture({ settling: 1, planArea: 1, flow: 1, basins: 0.5 })).toThrow("basins: expected 1 or more, got 0.5");
    expect(() => basinArea(1, 1, 1)).toThrow("capture: expected a share of 0 or more and below 1, got 1");
  });
});

describe("a sump", () => {
  const sump = { volume: 0.2, limit: 0.5, settled: 1e-9, washed: 1e-8 };

  test("fills evenly to its limit, then ever slower", () => {
    expect(sumpFilling(sump, 0, 5e7)).toBe(0.05);
    expectClose(sumpFilling(sump, 0, 1e8), 0.1, { absolute: 1e-15, because: "round-off" });
    // above it u' = s - (s/(volume/2) + r) u with u(0) = 0: after a time t, u = s/k (1 - exp(-k t)), k = 2e-8 (by hand)
    expectClose(sumpFilling(sump, 0, 1.5e8), 0.1 + 0.05 * (1 - Math.exp(-1)), { absolute: 1e-12, because: "round-off" });
    expectClose(sumpFilling(sump, 0, 1e12), 0.15, { absolute: 1e-12, because: "at rest" });
  });

  const filling = fc.record({
    volume: fc.double({ min: 0, max: 1, noNaN: true }), limit: fc.double({ min: 0.05, max: 0.95, noNaN: true }),
    settled: fc.double({ min: 0, max: 1e-7, noNaN: true }), washed: fc.double({ min: 0, max: 1e-6, noNaN: true }),
  });
  const time = fc.double({ min: 0, max: 1e9, noNaN: true });

  test("goes on where it stopped, stays within its room, and never holds less for having held more", () => {
    const share = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(fc.property(filling, time, time, share, share, (given, first, then, a, b) => {
      const [low, high] = [Math.min(a, b) * given.volume, Math.max(a, b) * given.volume];
      const whole = sumpFilling(given, low, first + then);
      const halfway = sumpFilling(given, low, first);
      expect(halfway).toBeLessThanOrEqual(given.volume);
      expectClose(sumpFilling(given, halfway, then), whole, { absolute: 1e-12, because: "round-off" });
      expect(sumpFilling(given, high, first)).toBeGreaterThanOrEqual(halfway - 1e-15);
      expect(halfway - low).toBeLessThanOrEqual(given.settled * first * (1 + 1e-12) + 1e-15);
    }));
  });

  test("says what it cannot be", () => {
    expect(() => sumpFilling({ ...sump, limit: 1 }, 0, 1)).toThrow("limit: expected a share above 0 and below 1, got 1");
    expect(() => sumpFilling(sump, 0.3, 1)).toThrow("held: expected 0 to 0.2 m3, got 0.3");
    expect(() => sumpFilling(sump, 0, NaN)).toThrow("time: expected 0 or more, got NaN");
  });
});
