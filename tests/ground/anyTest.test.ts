import fc from "fast-check";
import { expect, test } from "vitest";
import { fitFallingHead, type FallingHeadLaw, type Fill } from "../../lib/ground/test/fallingHead.ts";
import { soilTest, type SoilTest } from "../../lib/ground/test/soilTest.ts";
import { InputError } from "../../lib/text/problem.ts";
import { shareOf } from "../share.ts";

const number = (min: number, max: number): fc.Arbitrary<number> => fc.double({ min, max, noNaN: true });
const length = fc.oneof(number(1e-4, 1e3), fc.constantFrom(0.001, 0.0254, 0.3, 100, 1000)).map((metres) => `${metres} m`);
const time = fc.oneof(number(0, 1e10), fc.integer({ min: 0, max: 10_000 })).map((seconds) => `${seconds} s`);

/** Readings as wild as a person could write them. */
const reading = fc.tuple(number(0, 1e5), fc.oneof(number(0, 1000), number(0, 1)));
const fill = fc.array(reading, { minLength: 2, maxLength: 9 }).map((readings) => ({
  time: readings.map(([seconds]) => seconds).sort((a, b) => a - b).map((seconds) => `${seconds} s`),
  depth: readings.map(([, depth]) => `${depth} m`),
}));
const fills = fc.array(fill, { minLength: 1, maxLength: 3 });

const anyTest = fc.oneof(
  fc.record({ kind: fc.constant("percolationHole"), diameter: length, waterDepth: length, minutesPerInch: number(1e-4, 1e8) }),
  fc.record({ kind: fc.constant("percolationHole"), diameter: length, fills, stonePorosity: fc.constantFrom(0.005, 0.01, 1) }),
  fc.record({ kind: fc.constant("trialPit"), length, width: length, fills }),
  fc.record({ kind: fc.constant("trialPit"), length, width: length, waterDepth: length, time75to25: time }),
  fc.record({ kind: fc.constant("trialPit"), length, width: length, waterDepth: length, time75to25: fc.constant("never"), watched: time }),
  fc.record({ kind: fc.constant("borehole"), diameter: length, openLength: fc.oneof(length, fc.constant("0 m")), fills }),
  fc.record({
    kind: fc.constant("constantHead"), diameter: length, waterDepth: length, sorptiveNumber_perCm: number(1e-5, 1000),
    flow: fc.array(number(1e-14, 11).map((flow) => `${flow} m^3/s`), { minLength: 1 }),
  }),
);

function notFinite(value: unknown, path: string): string[] {
  if (typeof value === "number") return Number.isFinite(value) ? [] : [path];
  if (typeof value !== "object" || value === null) return [];
  return Object.entries(value).flatMap(([key, inner]) => notFinite(inner, `${path}.${key}`));
}

test("whatever was read in the ground, a test gives finite numbers or an InputError", () => {
  let results = 0;
  fc.assert(fc.property(anyTest, (given) => {
    try {
      expect(notFinite(soilTest(given as SoilTest), "result")).toEqual([]);
      results += 1;
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
    }
  }), { seed: 71, numRuns: shareOf(10_000) });
  // Else the generator would no longer reach what it is for.
  expect(results).toBeGreaterThan(shareOf(1000));
});

test("a fit of any readings, falling or not, settles where no other conductivity leaves less over", () => {
  const depths = fc.array(number(0.001, 1), { minLength: 3, maxLength: 8 });
  fc.assert(fc.property(depths, number(0.001, 0.5), (given, offset) => {
    const fill = { time: Float64Array.from(given, (_, i) => 60 * i), depth: Float64Array.from(given) };
    const law = { offset, rate: 10 };
    const fit = fitFallingHead(fill, law);
    const best = leftOver(fill, law, fit.hydraulicConductivity);
    for (const share of [-1e-3, 1e-3]) {
      const other = leftOver(fill, law, fit.hydraulicConductivity + share / (law.rate * 60 * given.length));
      expect(best).toBeLessThanOrEqual(other * (1 + 1e-9) + 1e-25);
    }
  }), { seed: 72, numRuns: shareOf(10_000) });
});

/** Sum of the residuals' squares of a conductivity and the start that suits it best. */
function leftOver({ time, depth }: Fill, { offset, rate }: FallingHeadLaw, conductivity: number): number {
  const curve = Array.from(time, (moment) => Math.exp(-conductivity * rate * moment));
  const square = curve.reduce((sum, share) => sum + share * share, 0);
  const start = curve.reduce((sum, share, i) => sum + share * (depth[i]! + offset), 0) / square;
  return curve.reduce((sum, share, i) => sum + (depth[i]! + offset - start * share) ** 2, 0);
}
