import { describe, expect, test } from "vitest";
import { normalQuantile } from "../../lib/numerics/normalQuantile.ts";
import { MOST_SOBOL, sobolDraw, sobolPoint } from "../../lib/numerics/draw.ts";
import { expectClose } from "../closeTo.ts";

// scipy 1.17.1, stats.qmc.Sobol(10, scramble=False), run here; points 4 to 9, and 1000.
const SCIPY: readonly (readonly [number, readonly number[]])[] = [
  [4, [0.375, 0.375, 0.625, 0.875, 0.375, 0.125, 0.375, 0.875, 0.875, 0.625]],
  [5, [0.875, 0.875, 0.125, 0.375, 0.875, 0.625, 0.875, 0.375, 0.375, 0.125]],
  [8, [0.1875, 0.3125, 0.9375, 0.4375, 0.5625, 0.3125, 0.4375, 0.9375, 0.9375, 0.3125]],
  [9, [0.6875, 0.8125, 0.4375, 0.9375, 0.0625, 0.8125, 0.9375, 0.4375, 0.4375, 0.8125]],
  [1000, [0.2197265625, 0.0966796875, 0.5185546875, 0.6767578125, 0.2802734375, 0.9072265625, 0.0458984375, 0.8994140625, 0.5009765625, 0.0693359375]],
];

describe("Sobol's sequence", () => {
  test.each(SCIPY)("has the point %i of scipy", (run, point) => {
    expect(point.map((_, which) => sobolPoint(run, which))).toEqual(point);
  });

  test("shifted by a seed it puts one of 64 runs into each 64th of its range, in every dimension", () => {
    for (let which = 0; which < MOST_SOBOL; which++) {
      const cells = Array.from({ length: 64 }, (_, run) => Math.floor(64 * sobolDraw(7, run, which)));
      expect(new Set(cells).size, `dimension ${which}`).toBe(64);
    }
  });

  test("differs by seed, and has only ten numbers a run", () => {
    expect(sobolDraw(1, 5, 0)).not.toBe(sobolDraw(2, 5, 0));
    expect(() => sobolDraw(1, 0, 10)).toThrow("which: expected a whole number from 0 to 9, got 10");
  });

  test("gives the mean of a smooth product far closer than chance, whose standard error would be 0.012", () => {
    let sum = 0;
    for (let run = 0; run < 1024; run++) {
      sum += [0, 1, 2, 3].reduce((product, which) => product * 2 * sobolDraw(3, run, which), 1);
    }
    expectClose(sum / 1024, 1, { absolute: 0.004, because: "a third of chance's standard error" });
  });
});

test.each([
  [1e-10, -6.361340902404056], [1e-4, -3.7190164854556804], [0.02425, -1.972961051311885], [0.3, -0.5244005127080409], [0.5, 0],
  [0.9, 1.2815515655446004], [0.975, 1.959963984540054],
])("the normal quantile at %d is that of scipy 1.17.1", (probability, quantile) => {
  expectClose(normalQuantile(probability), quantile, { absolute: 1e-6, because: "Phi is 1 + erf, which keeps 1e-16 of 1: 1e-6 of a deviate at 1e-10" });
});

test("a probability of 0 is refused", () => {
  expect(() => normalQuantile(0)).toThrow("probability: expected a number above 0 and below 1, got 0");
});
