import { leastOf } from "../../lib/numerics/extremes.ts";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { leastCost, type Inequality } from "../../lib/numerics/linearProgram.ts";
import { shareOf } from "../share.ts";

describe("the least cost under linear inequalities", () => {
  test("a textbook corner: most 3x + 5y where x <= 4, 2y <= 12, 3x + 2y <= 18 is 36 at (2, 6)", () => {
    // Hillier & Lieberman, Introduction to Operations Research, the first example of linear programming; from memory, checked by hand:
    // the corners are (0,0) 0, (4,0) 12, (4,3) 27, (2,6) 36, (0,6) 30
    const found = leastCost({ x: -3, y: -5 }, [
      { of: { x: -1 }, least: -4 },
      { of: { y: -2 }, least: -12 },
      { of: { x: -3, y: -2 }, least: -18 },
      { of: { x: 1 }, least: 0 },
      { of: { y: 1 }, least: 0 },
    ]);
    expect(found).toMatchObject({ kind: "least" });
    if (found.kind !== "least") return;
    expect(found.cost).toBeCloseTo(-36, 12);
    expect([found.at["x"], found.at["y"]].map((each) => Number(each!.toFixed(12)))).toEqual([2, 6]);
  });

  test("unknowns below 0, a cost without end, a chain that bites its own tail", () => {
    const low = leastCost({ x: 1 }, [{ of: { x: 1 }, least: -7 }]);
    expect(low).toEqual({ kind: "least", at: { x: -7 }, cost: -7 });
    expect(leastCost({ x: -1 }, [{ of: { x: 1 }, least: 0 }])).toEqual({ kind: "endless" });
    // a over b by 2, b over c by 2, c over a by -3: the sum of all three says 0 >= 1
    const chain: Inequality[] = [
      { of: { a: 1, b: -1 }, least: 2 },
      { of: { b: 1, c: -1 }, least: 2 },
      { of: { c: 1, a: -1 }, least: -3 },
      { of: { a: 1 }, least: -50 },
    ];
    expect(leastCost({}, chain)).toEqual({ kind: "impossible", weights: [1, 1, 1, 0] });
  });

  test("against every corner of random small programs, and a proof wherever nothing is allowed", () => {
    const row = fc.record({
      x: fc.integer({ min: -4, max: 4 }),
      y: fc.integer({ min: -4, max: 4 }),
      least: fc.integer({ min: -9, max: 9 }),
    });
    let impossible = 0;
    fc.assert(
      fc.property(
        fc.array(row, { minLength: 1, maxLength: 6 }),
        fc.integer({ min: -3, max: 3 }),
        fc.integer({ min: -3, max: 3 }),
        (drawn, cx, cy) => {
          // inside a box, so that a least exists wherever anything is allowed
          const rows: Inequality[] = [
            ...drawn.map(({ x, y, least }) => ({ of: { x, y }, least })),
            { of: { x: 1 }, least: -20 },
            { of: { x: -1 }, least: -20 },
            { of: { y: 1 }, least: -20 },
            { of: { y: -1 }, least: -20 },
          ];
          const found = leastCost({ x: cx, y: cy }, rows);
          const corners = cornersOf(rows);
          if (found.kind === "impossible") {
            impossible++;
            expect(corners).toEqual([]);
            const sum = (of: (row: Inequality) => number): number => rows.reduce((all, each, i) => all + found.weights[i]! * of(each), 0);
            expect(found.weights.every((weight) => weight >= 0)).toBe(true);
            expect(Math.abs(sum(({ of }) => of["x"] ?? 0))).toBeLessThan(1e-9);
            expect(Math.abs(sum(({ of }) => of["y"] ?? 0))).toBeLessThan(1e-9);
            expect(sum(({ least }) => least)).toBeGreaterThan(1e-9);
            return;
          }
          expect(found.kind).toBe("least");
          if (found.kind !== "least") return;
          expect(found.cost).toBeCloseTo(leastOf([...corners.map(([x, y]) => cx * x + cy * y)]), 8);
        },
      ),
      { numRuns: shareOf(4000), seed: 23 },
    );
    expect(impossible).toBeGreaterThan(10);
  });
});

/** All crossings of two edges that every row allows. */
function cornersOf(rows: readonly Inequality[]): [number, number][] {
  const lines = rows.map(({ of, least }) => [of["x"] ?? 0, of["y"] ?? 0, least] as const);
  return lines.flatMap(([a, b, c], i) =>
    lines.slice(i + 1).flatMap(([d, e, f]): [number, number][] => {
      const det = a * e - b * d;
      if (det === 0) return [];
      const [x, y] = [(c * e - b * f) / det, (a * f - c * d) / det];
      return lines.every(([p, q, r]) => p * x + q * y >= r - 1e-9) ? [[x, y]] : [];
    }),
  );
}
