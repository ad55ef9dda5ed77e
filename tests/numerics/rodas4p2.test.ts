import { describe, expect, test } from "vitest";
import { flowWeights, ORDER, STAGES, tableau } from "../../lib/numerics/rodas4p2.ts";
import { expectAllClose, expectClose } from "../closeTo.ts";
import { equalSteps, orderSeen, type Problem } from "./odeSystem.ts";

// The published coefficients are in transformed form (Hairer & Wanner II, sec. IV.7): Gamma^-1 = I/gamma - C,
// alpha = A Gamma, b = Gamma^T m. Transformed back they must meet the order conditions of Table 7.1 there (from memory).
const DIGITS = { absolute: 2e-13, because: "coefficients published to 15 digits, sums of some tens" };

describe("RODAS4P2", () => {
  const { gamma, c, a, alpha: nodes, d } = tableau;
  const inverse = matrix(STAGES, (i, j) => (i === j ? 1 / gamma : -c[i]![j]!));
  const Gamma = lowerInverse(inverse);
  const alpha = product(matrix(STAGES, (i, j) => a[i]![j] ?? 0), Gamma);
  const beta = matrix(STAGES, (i, j) => alpha[i]![j]! + Gamma[i]![j]!);
  const m = Array.from({ length: STAGES }, (_, j) => (j === STAGES - 1 ? 1 : a[STAGES - 1]![j]!));
  const b = transposed(Gamma, m);
  const nodeOf = rowSums(alpha);
  const betaOf = rowSums(beta);

  test("has rows that sum to its nodes and to its weights of df/dt", () => {
    expectAllClose(nodeOf.map((value, i) => ({ what: `alpha ${i + 1}`, value, expected: nodes[i]! })), DIGITS);
    expectAllClose(rowSums(Gamma).map((value, i) => ({ what: `d ${i + 1}`, value, expected: d[i]! })), DIGITS);
  });

  test("meets the conditions of order 1 to 4", () => {
    const chain = apply(beta, betaOf);
    expectAllClose([
      { what: "b", value: dot(b, nodeOf.map(() => 1)), expected: 1 },
      { what: "b beta", value: dot(b, betaOf), expected: 1 / 2 },
      { what: "b alpha^2", value: dot(b, nodeOf.map((a) => a ** 2)), expected: 1 / 3 },
      { what: "b beta beta", value: dot(b, chain), expected: 1 / 6 },
      { what: "b alpha^3", value: dot(b, nodeOf.map((a) => a ** 3)), expected: 1 / 4 },
      { what: "b alpha alpha beta", value: dot(b, apply(alpha, betaOf).map((x, i) => x * nodeOf[i]!)), expected: 1 / 8 },
      { what: "b beta alpha^2", value: dot(b, apply(beta, nodeOf.map((a) => a ** 2))), expected: 1 / 12 },
      { what: "b beta beta beta", value: dot(b, apply(beta, chain)), expected: 1 / 24 },
    ], DIGITS);
  });

  test("is stiffly accurate and L-stable: the last stage is the step, and R(infinity) = 1 - b B^-1 1 = 0", () => {
    expectAllClose(b.map((value, i) => ({ what: `b ${i + 1}`, value, expected: beta[STAGES - 1]![i]! })), DIGITS);
    expectClose(nodes[STAGES - 1]!, 1, DIGITS);
    expectClose(1 - dot(b, apply(lowerInverse(beta), nodes.map(() => 1))), 0, { absolute: 1e-10, because: "an inverse of entries up to 40" });
  });

  test("adds up flows with its own weights b", () => {
    expectAllClose(b.map((expected, i) => ({ what: `b ${i + 1}`, value: flowWeights[i]!, expected })), DIGITS);
  });

  test("shows its order on a forced problem", () => {
    const errors = [20, 40, 80].map((count) => Math.abs(equalSteps(FORCED, [0, 2], [2], count).end[0]! - (2 + Math.sin(2))));
    expect(orderSeen(errors[0]!, errors[1]!)).toBeGreaterThan(ORDER - 0.4);
    expect(orderSeen(errors[1]!, errors[2]!)).toBeGreaterThan(ORDER - 0.4);
  });

  test("keeps order 3 at least on a stiff forced problem (Prothero & Robinson 1974)", () => {
    for (const stiffness of [1e3, 1e6]) {
      const problem = stiffForced(stiffness);
      const errors = [20, 40, 80].map((count) => Math.abs(equalSteps(problem, [0, 2], [0], count).end[0]! - Math.sin(2)));
      // where the error is down to round-off there is no order to see
      const seen = errors[2]! < 1e-13 ? 3 : orderSeen(errors[1]!, errors[2]!);
      expect(seen).toBeGreaterThan(2.8);
      expect(errors[0]!).toBeLessThan(1e-5);
    }
  });

  test("has a dense output of order 3 at least", () => {
    const errors = [20, 40].map((count) => {
      let worst = 0;
      equalSteps(FORCED, [0, 2], [2], count, (t, y) => {
        worst = Math.max(worst, Math.abs(y[0]! - (2 + Math.sin(t))));
      });
      return worst;
    });
    expect(orderSeen(errors[0]!, errors[1]!)).toBeGreaterThan(3);
  });

  test("adds up a flow to what the state changed by, to round-off", () => {
    for (const problem of [FORCED, stiffForced(1e4)]) {
      const start = problem === FORCED ? 2 : 0;
      const { end, volume } = equalSteps(problem, [0, 2], [start], 50);
      expectClose(volume[0]!, end[0]! - start, { absolute: 1e-10, because: "round-off of flows that are 1e4 times the change" });
    }
  });

  test("estimates the error of the solution of one order less, larger than its own", () => {
    for (const count of [10, 20, 40]) {
      const h = 2 / count;
      const { end, estimate } = equalSteps(FORCED, [0, h], [2], 1);
      const own = end[0]! - (2 + Math.sin(h));
      const lower = own - estimate[0]!;
      expect(Math.abs(estimate[0]!)).toBeGreaterThan(Math.abs(own));
      expectClose(Math.abs(estimate[0]!), Math.abs(lower), { relative: 0.5, because: "the estimate differs from the lower order's error by the higher's" });
    }
  });
});

/** y = 2 + sin t, nonlinear and driven in time: without df/dt in the stages order 4 falls to 1. */
const FORCED: Problem = {
  f: (t, y) => [Math.cos(t) - (y[0]! ** 2 - (2 + Math.sin(t)) ** 2)],
  jacobian: (_t, y) => [-2 * y[0]!],
  slopeInTime: (t) => [-Math.sin(t) + 2 * (2 + Math.sin(t)) * Math.cos(t)],
};

/** y = sin t, drawn to it by a stiff spring. */
function stiffForced(stiffness: number): Problem {
  return {
    f: (t, y) => [-stiffness * (y[0]! - Math.sin(t)) + Math.cos(t)],
    jacobian: () => [-stiffness],
    slopeInTime: (t) => [stiffness * Math.cos(t) - Math.sin(t)],
  };
}

function matrix(size: number, entry: (i: number, j: number) => number): number[][] {
  return Array.from({ length: size }, (_, i) => Array.from({ length: size }, (_, j) => (j > i ? 0 : entry(i, j))));
}

function apply(a: readonly number[][], x: readonly number[]): number[] {
  return a.map((row) => dot(row, x));
}

function transposed(a: readonly number[][], x: readonly number[]): number[] {
  return x.map((_, j) => a.reduce((sum, row, i) => sum + row[j]! * x[i]!, 0));
}

function product(a: readonly number[][], b: readonly number[][]): number[][] {
  return a.map((row) => row.map((_, j) => row.reduce((sum, value, k) => sum + value * b[k]![j]!, 0)));
}

/** Inverse of a lower triangular matrix, column by column. */
function lowerInverse(a: readonly number[][]): number[][] {
  const out = a.map((row) => row.map(() => 0));
  for (let j = 0; j < a.length; j++) {
    for (let i = j; i < a.length; i++) {
      let sum = i === j ? 1 : 0;
      for (let k = j; k < i; k++) sum -= a[i]![k]! * out[k]![j]!;
      out[i]![j] = sum / a[i]![i]!;
    }
  }
  return out;
}

function rowSums(a: readonly number[][]): number[] {
  return a.map((row) => row.reduce((sum, value) => sum + value, 0));
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, value, i) => sum + value * b[i]!, 0);
}

