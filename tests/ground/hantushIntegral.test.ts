import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { hantushIntegral } from "../../lib/ground/mound/moundRise.ts";
import { expectClose } from "../closeTo.ts";

describe("Hantush's integral", () => {
  // adaptive quadrature, 8 digits (derived); Hantush's own table of 1967 was not found
  test.each([
    [0.1, 0.1, 0.06074196], [0.2, 0.2, 0.17337127], [0.3, 0.3, 0.30086629], [0.5, 0.5, 0.54196788],
    [1, 1, 0.89231878], [0.1, 1, 0.19889915], [0.5, 2, 0.71971696], [2, 2, 0.99847077],
  ])("S*(%f, %f) is %f", (alpha, beta, value) => {
    expectClose(hantushIntegral([alpha], [beta]), value, { absolute: 5e-9, because: "digits of the source" });
  });

  test("of several arguments is the sum over their pairs", () => {
    const pairs = [[0.3, 1], [0.3, -0.2], [-2, 1], [-2, -0.2]].map(([alpha, beta]) => hantushIntegral([alpha!], [beta!]));
    const sum = pairs.reduce((total, each) => total + each, 0);
    expectClose(hantushIntegral([0.3, -2], [1, -0.2]), sum, { absolute: 1e-11, because: "quadrature" });
  });

  test("is symmetric, odd in either argument, and between 0 and 1", () => {
    const argument = fc.double({ min: 0, max: 20, noNaN: true });
    fc.assert(fc.property(argument, argument, (alpha, beta) => {
      const value = hantushIntegral([alpha], [beta]);
      expectClose(hantushIntegral([beta], [alpha]), value, { absolute: 1e-15, because: "the same points" });
      expect(hantushIntegral([-alpha], [beta]) + value).toBe(0);
      expect(hantushIntegral([alpha], [-beta]) + value).toBe(0);
      expect(value).toBeGreaterThanOrEqual(0);
      expect(value).toBeLessThanOrEqual(1 + 1e-12);
    }), { seed: 52 });
  });
});
