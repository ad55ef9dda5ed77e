import fc from "fast-check";
import { describe, test } from "vitest";
import { gaussLegendre } from "../../lib/numerics/gaussLegendre.ts";
import { loadLikelihood } from "../../lib/dips/faultFit.ts";
import { expectClose } from "../closeTo.ts";

describe("the likelihood of dips under a load that is not known exactly", () => {
  const miss = fc.double({ min: -4, max: 4, noNaN: true });
  const slope = fc.double({ min: -8, max: 8, noNaN: true });
  const dip = fc.record({ miss, less: slope, more: slope });

  test("is the integral over the load, done by quadrature on either side", () => {
    fc.assert(fc.property(fc.array(dip, { minLength: 1, maxLength: 4 }), fc.double({ min: 0.05, max: 0.5, noNaN: true }), (dips, error) => {
      const found = loadLikelihood(dips.map((each) => each.miss), [dips.map(({ less }) => less), dips.map(({ more }) => more)], error);
      // 400 pieces of eight points each over 12 standard deviations of the load on either side
      const sides = ([-1, 1] as const).map((sign) => {
        const squares = (y: number): number => dips.reduce((sum, { miss: r, less, more }) => (
          sum + (r - y * (sign < 0 ? less : more)) ** 2), (y / error) ** 2);
        const density = (y: number): number => Math.exp(-squares(y) / 2) / (error * Math.sqrt(2 * Math.PI));
        const moment = (of: (y: number) => number): number => {
          let sum = 0;
          for (let i = 0; i < 400; i++) {
            sum += gaussLegendre((y) => of(sign * y) * density(sign * y), (12 * error * i) / 400, (12 * error * (i + 1)) / 400);
          }
          return sum;
        };
        const all = moment(() => 1);
        const mean = moment((y) => y) / all;
        return { all, mean, spread: Math.sqrt(moment((y) => (y - mean) ** 2) / all) };
      });
      const all = sides[0]!.all + sides[1]!.all;
      const digits = { absolute: 1e-6, because: "differences of nearly equal numbers far out on a normal curve" };
      expectClose(found.weight, Math.log(all), digits, "logarithm of the likelihood");
      sides.forEach((side, i) => {
        expectClose(found.sides[i]!.share, side.all / all, digits, "share of a side");
        if (side.all / all < 1e-6) return;
        expectClose(found.sides[i]!.mean, side.mean, digits, "mean of a side");
        expectClose(found.sides[i]!.spread, side.spread, { absolute: 1e-5, because: "a root of a small difference" }, "spread of a side");
      });
    }), { seed: 17, numRuns: 60 });
  });
});
