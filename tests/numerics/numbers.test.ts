import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { errorFunction } from "../../lib/numerics/errorFunction.ts";
import { gaussLegendre } from "../../lib/numerics/gaussLegendre.ts";
import { studentQuantile } from "../../lib/numerics/studentQuantile.ts";
import { truncatedLeastSquares } from "../../lib/ground/mound/moundModes.ts";
import { expectAllClose, expectClose } from "../closeTo.ts";

describe("the error function", () => {
  // computed with the C library's erf (Python 3.11), which is right to the last bit
  test.each([
    [1e-10, 1.1283791670955126e-10], [0.1, 0.1124629160182849], [0.5, 0.5204998778130465], [1, 0.8427007929497149],
    [1.5, 0.9661051464753108], [1.999, 0.9953015566513705], [2, 0.9953222650189527], [2.5, 0.999593047982555], [3, 0.9999779095030014],
    [5, 0.9999999999984626], [7, 1], [Infinity, 1],
  ])("at %f is %f, and odd", (x, value) => {
    expectClose(errorFunction(x), value, { relative: 2e-15, because: "round-off of some dozen terms" });
    expect(errorFunction(-x)).toBe(-errorFunction(x));
  });

  test("rises", () => {
    const place = fc.double({ min: -7, max: 7, noNaN: true });
    fc.assert(fc.property(place, place, (a, b) => {
      expect(errorFunction(Math.max(a, b)) - errorFunction(Math.min(a, b))).toBeGreaterThanOrEqual(-2e-15);
    }), { seed: 51 });
  });
});

test("Gauss-Legendre's eight points are exact to degree 15 and not to 16", () => {
  const power = (degree: number): number => gaussLegendre((x) => x ** degree, 0, 1) * (degree + 1) - 1;
  for (let degree = 0; degree <= 15; degree++) expect(Math.abs(power(degree))).toBeLessThan(1e-14);
  expect(Math.abs(power(16))).toBeGreaterThan(1e-11);
});

describe("Student's quantile", () => {
  // the common tables, from memory
  test.each([
    [0.975, 1, 12.706], [0.975, 2, 4.303], [0.975, 3, 3.182], [0.975, 10, 2.228], [0.975, 30, 2.042], [0.95, 1, 6.314], [0.95, 2, 2.92],
    [0.95, 7, 1.895], [0.99, 4, 3.747], [0.995, 20, 2.845], [0.975, 1000, 1.962], [0.5, 5, 0],
  ])("at %f with %d degrees of freedom is %f", (probability, freedom, value) => {
    expectClose(studentQuantile(probability, freedom), value, { absolute: 5.1e-4, because: "digits of the table" });
  });
});

describe("truncated least squares", () => {
  const columns = [Float64Array.of(1, 1, 1, 1), Float64Array.of(0, 1, 2, 3), Float64Array.of(0, 1, 4, 9)];

  test("fits a straight line as the normal equations do (by hand)", () => {
    // of 0, 1, 1, 2 at 0, 1, 2, 3: slope 0.6, start 0.1
    const [start, slope] = truncatedLeastSquares(columns.slice(0, 2), 0)(Float64Array.of(0, 1, 1, 2));
    expectClose(start!, 0.1, { absolute: 1e-14, because: "round-off" });
    expectClose(slope!, 0.6, { absolute: 1e-14, because: "round-off" });
  });

  test("finds the coefficients a sum was made with", () => {
    const coefficient = fc.double({ min: -10, max: 10, noNaN: true });
    fc.assert(fc.property(coefficient, coefficient, coefficient, (a, b, c) => {
      const values = Float64Array.from([0, 1, 2, 3], (_, i) => a * columns[0]![i]! + b * columns[1]![i]! + c * columns[2]![i]!);
      expectAllClose(
        Array.from(truncatedLeastSquares(columns, 1e-12)(values), (value, k) => ({ what: `c${k}`, value, expected: [a, b, c][k]! })),
        { absolute: 1e-12, because: "round-off, condition below 100" },
      );
    }), { seed: 53 });
  });

  test("of two columns that are all but one keeps their coefficients small and alike", () => {
    const twin = columns[1]!.map((value, i) => value + (i % 2 === 0 ? 1e-9 : -1e-9));
    const values = Float64Array.of(0, 1, 2.001, 3);
    const cut = truncatedLeastSquares([columns[1]!, twin], 1e-5)(values);
    expect(cut[0]! + cut[1]!).toBeCloseTo(1, 3);
    expect(Math.abs(cut[0]! - cut[1]!)).toBeLessThan(1e-6);
    expect(Math.abs(truncatedLeastSquares([columns[1]!, twin], 0)(values)[0]!)).toBeGreaterThan(1e4);
  });

  test("says so where numbers are not finite", () => {
    expect(() => truncatedLeastSquares([Float64Array.of(1, NaN), Float64Array.of(0, 1)], 1e-5))
      .toThrow("truncatedLeastSquares: expected orthogonal columns after 40 sweeps, got none");
  });
});
