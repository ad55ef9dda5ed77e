import { readFileSync } from "node:fs";
import { runInNewContext } from "node:vm";
import { describe, expect, test } from "vitest";
import { newKernel } from "../../lib/simulate/kernel.ts";
import { LAW } from "../../lib/simulate/network.ts";
import { expectAllClose, expectClose } from "../closeTo.ts";
import { run, ratingRow, segmentsOf, worksOf, type Vessels } from "./vessels.ts";

// The published coefficients are in transformed form (Hairer & Wanner II, sec. IV.7): Gamma^-1 = I/gamma - C,
// alpha = A Gamma, b = Gamma^T m. Transformed back they must meet the order conditions of Table 7.1 there (from memory).
const DIGITS = { absolute: 2e-13, because: "coefficients published to 15 digits, sums of some tens" };

const [STAGES, ORDER] = [6, 4];

describe("RODAS4P2", () => {
  // as they stand in the kernel
  const source = readFileSync("lib/kernel/rodas4p2.ts", "utf8").match(/^const [^;]+;$/gm)!.join("\n").replaceAll(": f64", "");
  const names = [...source.matchAll(/(\w+) = /g)].map(([, name]) => name!);
  const constants = runInNewContext(`${source}\n({ ${names.join(", ")} });`) as Record<string, number>;
  const constant = (name: string): number => constants[name] ?? 0;
  const gamma = constant("gamma");
  const lower = (letter: string): number[][] => Array.from({ length: STAGES }, (_, i) => Array.from({ length: i }, (_, j) => constant(`${letter}${i + 1}${j + 1}`)));
  const c = lower("c");
  const a = lower("a");
  a[STAGES - 1] = [...a[STAGES - 2]!, 1];
  const nodes = [0, constant("alpha2"), constant("alpha3"), constant("alpha4"), 1, 1];
  const d = [1, 2, 3, 4, 5, 6].map((i) => constant(`d${i}`));
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
    expectAllClose(b.map((expected, i) => ({ what: `b ${i + 1}`, value: constant(`b${i + 1}`), expected })), DIGITS);
  });

  test("shows its order on a vessel that fills ever faster and runs over an edge", () => {
    const end = (count: number): number => equalSteps(FORCED, [1.2], 200, count, [1e-2, 4e-4]).at(-1)!.at(1);
    const limit = end(5120);
    const errors = [40, 80, 160].map((count) => Math.abs(end(count) - limit));
    expect(orderSeen(errors[0]!, errors[1]!)).toBeGreaterThan(ORDER - 0.4);
    expect(orderSeen(errors[1]!, errors[2]!)).toBeGreaterThan(ORDER - 0.4);
  });

  test("is exact on a stiff vessel that follows its inflow: V = (q - q'/k)/k", () => {
    for (const stiffness of [1e-1, 1e2, 1e5]) {
      const slope = 1e-6;
      const exact = (t: number): number => (1e-2 + slope * t - slope / stiffness) / stiffness;
      const steps = equalSteps(stiff(stiffness), [exact(0)], 2000, 20, [1e-2, slope]);
      expectClose(steps.at(-1)!.at(1), exact(2000), { relative: 1e-9, because: "a straight line, but for round-off" });
    }
  });

  test("damps what is stiff at once: L-stable", () => {
    const [first, second] = equalSteps(stiff(1e5), [1], 20, 2, [0, 0]);
    // R(z) falls with 1/z, and z is a million
    expect(Math.abs(first!.at(1))).toBeLessThan(2e-5);
    expect(Math.abs(second!.at(1))).toBeLessThan(4e-10);
  });

  test("has a dense output of order 3 at least", () => {
    const fine = equalSteps(FORCED, [1.2], 200, 5120, [1e-2, 4e-4]);
    const missed = (count: number): number[] => equalSteps(FORCED, [1.2], 200, count, [1e-2, 4e-4]).flatMap((step, i) => (
      [0.25, 0.5, 0.75].map((u) => Math.abs(step.at(u) - fine[(5120 / count) * (i + u) - 1]!.at(1)))));
    const errors = [20, 40].map((count) => Math.max(...missed(count)));
    expect(orderSeen(errors[0]!, errors[1]!)).toBeGreaterThan(3);
  });
});

/** A vessel of 1 m2 with a weir 1 m above its floor. */
const FORCED: Vessels = { bodies: [{ area: 1 }], passages: [{ law: LAW.weir, from: 0, row: [1, 0.2] }] };

/** V' = q(t) - k V */
function stiff(stiffness: number): Vessels {
  return { bodies: [{ area: 1 }], passages: [{ law: LAW.seepage, from: 0, row: ratingRow([[0, 0], [100, 100 * stiffness]]) }] };
}

/** Equal steps: every one a segment, and an error control that refuses none. */
function equalSteps(
  vessels: Vessels, start: readonly number[], until: number, count: number, [inflow, slope]: readonly [number, number],
): ReturnType<typeof run> {
  const h = until / count;
  const segments = segmentsOf(Array.from({ length: count }, (_, i) => [i * h, (i + 1) * h, [inflow + slope * i * h, slope]] as const));
  const steps = run(newKernel(), worksOf(vessels), segments, start, 1e12);
  return steps.filter(({ from, until: end }) => end - from > 0);
}

/** Order from errors at n and 2n steps. */
function orderSeen(coarse: number, fine: number): number {
  return Math.log2(coarse / fine);
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

