import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  arcCosine, arcSine, arSinh, exponential, exponentialLess1, logarithm, logarithmOf1Plus, power, sineAndCosine,
} from "../../lib/numerics/powers.ts";
import { shareOf } from "../share.ts";

// Held against the engine's own, which is within a unit in the last place of the truth; that engines agree on ours to the last digit is
// proved in Chromium (tests/browser/digits.test.ts).

/** How many units in its last place a value is off. */
function units(value: number, expected: number): number {
  if (value === expected) return 0;
  return Math.abs(value - expected) / 2 ** (Math.floor(Math.log2(Math.abs(expected))) - 52);
}

const within = (least: number, most: number): fc.Arbitrary<number> => fc.double({ min: least, max: most, noNaN: true });
const notTiny = (least: number, most: number): fc.Arbitrary<number> => within(least, most).filter((x) => Math.abs(x) > 1e-300);

describe("of sums, products and square roots alone", () => {
  test.each([
    ["exponential", within(-700, 709), exponential, Math.exp, 3],
    ["exponentialLess1", notTiny(-2, 2), exponentialLess1, Math.expm1, 5],
    ["logarithm", within(1e-300, 1e300), logarithm, Math.log, 3],
    ["logarithm", within(0.3, 3), logarithm, Math.log, 3],
    ["logarithmOf1Plus", notTiny(-0.9, 5), logarithmOf1Plus, Math.log1p, 4],
    ["arcSine", notTiny(-1, 1), arcSine, Math.asin, 4],
    ["arcCosine", within(-1, 1), arcCosine, Math.acos, 4],
    ["arSinh", notTiny(0, 1e6), arSinh, Math.asinh, 5],
  ] as const)("%s", (_, drawn, own, engines, most) => {
    fc.assert(fc.property(drawn, (x) => {
      expect(units(own(x), engines(x)), String(x)).toBeLessThanOrEqual(most);
    }), { numRuns: shareOf(20_000), seed: 31 });
  });

  test("power, a root among them exactly", () => {
    fc.assert(fc.property(within(1e-6, 1e6), within(-6, 6), (x, y) => {
      expect(units(power(x, y), x ** y), `${x}^${y}`).toBeLessThanOrEqual(6 + Math.abs(y));
      expect(power(x, 0.5)).toBe(Math.sqrt(x));
      expect(power(x, 2)).toBe(x * x);
    }), { numRuns: shareOf(20_000), seed: 32 });
  });

  test("sineAndCosine", () => {
    fc.assert(fc.property(within(-20, 20), (angle) => {
      const [sine, cosine] = sineAndCosine(angle);
      expect(Math.abs(sine - Math.sin(angle))).toBeLessThan(1e-15);
      expect(Math.abs(cosine - Math.cos(angle))).toBeLessThan(1e-15);
    }), { numRuns: shareOf(20_000), seed: 33 });
  });

  test("at the ends of what a number holds", () => {
    expect([exponential(0), exponential(1000), exponential(-1000), exponential(NaN)]).toEqual([1, Infinity, 0, NaN]);
    expect([1, 0, -1, Infinity, 5e-324].map(logarithm)).toEqual([0, -Infinity, NaN, Infinity, Math.log(5e-324)]);
    expect([power(0, 1.5), power(0, 0), power(0, -0.5), power(Infinity, 1.5), power(Infinity, -1.5), power(-2, 3), power(-2, 1.5)])
      .toEqual([0, 1, Infinity, Infinity, 0, -8, NaN]);
    expect([1, -1].map(arcSine)).toEqual([Math.PI / 2, -Math.PI / 2]);
    expect([-1, 1, 0].map(arcCosine)).toEqual([Math.PI, 0, Math.PI / 2]);
  });
});
