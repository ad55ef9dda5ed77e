import { factorise, substitute } from "./lu.ts";
import type { StepWork } from "./stepWork.ts";
import type { System } from "./system.ts";

/**
 * RODAS4P2, a stiffly accurate and L-stable Rosenbrock method of order 4 in 6 stages for y' = f(t, y), in the transformed
 * form of Hairer & Wanner, Solving Ordinary Differential Equations II, 2nd ed. 1996, sec. IV.7, where no product of the
 * Jacobian J and a vector is needed:
 *
 *   (I/(h gamma) - J) k_i = f(t + alpha_i h, y + sum_j a_ij k_j) + sum_j (c_ij/h) k_j + h d_i df/dt      i = 1 .. 6
 *   y1 = y + sum_j a_6j k_j + k_6,         error estimate k_6
 *
 * and between the ends of a step, u from 0 to 1:
 *
 *   y(u) = (1-u) y + u (y1 + (1-u) (e1 + u e2)),         e_r = sum_j h_rj k_j
 *
 * A volume v that only adds up a flow, v' = q(t, y), is one more state. Its stages can be eliminated, which leaves
 *
 *   v1 - v = h [ sum_i b_i q_i + dq/dy . sum_i b_i k_i + h (sum_i b_i d_i) dq/dt ],    b = gamma (I - gamma C)^-T m
 *
 * with m the weights of the k_i in y1 - y: the same rule as the states, so sums of flows and changes of volume agree
 * to round-off.
 *
 * @source Steinebach, Improvement of Rosenbrock-Wanner method RODASP, in Progress in Differential-Algebraic Equations II, 2020
 */
const gamma = 0.25;

const a21 = 3;
const a31 = 0.906377755268814, a32 = -0.189707390391685;
const a41 = 3.758617027739064, a42 = 1.161741776019525, a43 = -0.849258085312803;
const a51 = 7.089566927282776, a52 = 4.573591406461604, a53 = -8.423496976860259, a54 = -0.959280113459775;
// a6j = a5j, a65 = 1

const c21 = -12;
const c31 = -6.354581592719008, c32 = 0.338972550544623;
const c41 = -8.575016317114033, c42 = -7.606483992117508, c43 = 12.22499765012482;
const c51 = -5.888975457523102, c52 = -8.15739661784182, c53 = 24.805546872612922, c54 = 12.79040151279698;
const c61 = -4.408651676063871, c62 = -6.692003137674639, c63 = 24.625568527593117, c64 = 16.627521966636085, c65 = -5.714285714285718;

const alpha2 = 0.75, alpha3 = 0.321448134013046, alpha4 = 0.519745732277726;
const d1 = 0.25, d2 = -0.5, d3 = -0.189532918363016, d4 = 0.085612108792769;

const h11 = -5.323528268423303, h12 = -10.042123754867493, h13 = 17.175254928256965, h14 = -5.079931171878093, h15 = -0.016185991706112;
const h21 = 6.984505741529879, h22 = 6.914061169603662, h23 = -0.849178943070653, h24 = 18.104410789349338, h25 = -3.516963011559032;

export const STAGES = 6;
export const ORDER = 4;
export const DENSE_ROWS = 2;

/** A method's coefficients as matrices, row by row as published. */
export interface Tableau {
  readonly gamma: number;
  readonly a: readonly (readonly number[])[];
  readonly c: readonly (readonly number[])[];
  readonly alpha: readonly number[];
  readonly d: readonly number[];
  readonly h: readonly (readonly number[])[];
}

/** For whoever wants to check them. */
export const tableau: Tableau = {
  gamma,
  a: [[], [a21], [a31, a32], [a41, a42, a43], [a51, a52, a53, a54], [a51, a52, a53, a54, 1]],
  c: [[], [c21], [c31, c32], [c41, c42, c43], [c51, c52, c53, c54], [c61, c62, c63, c64, c65]],
  alpha: [0, alpha2, alpha3, alpha4, 1, 1],
  d: [d1, d2, d3, d4, 0, 0],
  h: [[h11, h12, h13, h14, h15, 0], [h21, h22, h23, h24, h25, 0]],
};

/** Weights of a flow's stages in its volume: b = gamma (I - gamma C)^-T m by back substitution, C being strictly lower triangular. */
export const flowWeights: readonly number[] = /* @__PURE__ */ backSubstituted();

function backSubstituted(): number[] {
  const m = [...tableau.a[STAGES - 1]!, 1];
  const b: number[] = [];
  for (let j = STAGES - 1; j >= 0; j--) {
    b[j] = gamma * tableau.c.reduce((sum: number, row, i) => sum + (i > j ? row[j]! * b[i]! : 0), m[j]!);
  }
  return b;
}

const [b1, b2, b3, b4, b5, b6] = flowWeights as [number, number, number, number, number, number];
const bd = b1 * d1 + b2 * d2 + b3 * d3 + b4 * d4;

/**
 * One trial step of length h from `work.start` at `time`. `startRate`, `jacobian` and `timeSlope` must belong to the start,
 * and `linearise` must have been called there. Writes `end`, `k`, `dense` and `volume`; the embedded error stays in
 * `rightSide`.
 */
export function step(system: System, work: StepWork, time: number, h: number): void {
  const { argument, stageRate, rightSide, size } = work;
  const perH = 1 / h;
  work.h = h;
  factorise(work.jacobian, perH / gamma, work.factors, size);
  system.beginSums(b1);
  stage1(work);
  solveStage(work, 0, work.startRate, d1);

  stage2(work);
  system.rates(time + alpha2 * h, argument, stageRate, b2);
  solveStage(work, 1, stageRate, d2);

  stage3(work);
  system.rates(time + alpha3 * h, argument, stageRate, b3);
  solveStage(work, 2, stageRate, d3);

  stage4(work);
  system.rates(time + alpha4 * h, argument, stageRate, b4);
  solveStage(work, 3, stageRate, d4);

  stage5(work);
  system.rates(time + h, argument, stageRate, b5);
  solveStage(work, 4, stageRate, 0);

  stage6(work);
  system.rates(time + h, argument, stageRate, b6);
  solveStage(work, 5, stageRate, 0);

  finish(work);
  for (let n = 0; n < size; n++) work.end[n] = argument[n]! + rightSide[n]!;
  system.endSums(work.direction, h * bd, h, work.volume);
}

// Before each stage: its argument y + sum_j a_ij k_j, and of its right side what is known, sum_j (c_ij/h) k_j.

function stage1({ rightSide, size }: StepWork): void {
  for (let n = 0; n < size; n++) rightSide[n] = 0;
}

function stage2({ start, k, argument, rightSide, size, h }: StepWork): void {
  for (let n = 0; n < size; n++) {
    const k1 = k[STAGES * n]!;
    argument[n] = start[n]! + a21 * k1;
    rightSide[n] = (c21 * k1) / h;
  }
}

function stage3({ start, k, argument, rightSide, size, h }: StepWork): void {
  for (let n = 0; n < size; n++) {
    const k1 = k[STAGES * n]!;
    const k2 = k[STAGES * n + 1]!;
    argument[n] = start[n]! + a31 * k1 + a32 * k2;
    rightSide[n] = (c31 * k1 + c32 * k2) / h;
  }
}

function stage4({ start, k, argument, rightSide, size, h }: StepWork): void {
  for (let n = 0; n < size; n++) {
    const k1 = k[STAGES * n]!;
    const k2 = k[STAGES * n + 1]!;
    const k3 = k[STAGES * n + 2]!;
    argument[n] = start[n]! + a41 * k1 + a42 * k2 + a43 * k3;
    rightSide[n] = (c41 * k1 + c42 * k2 + c43 * k3) / h;
  }
}

function stage5({ start, k, argument, rightSide, size, h }: StepWork): void {
  for (let n = 0; n < size; n++) {
    const k1 = k[STAGES * n]!;
    const k2 = k[STAGES * n + 1]!;
    const k3 = k[STAGES * n + 2]!;
    const k4 = k[STAGES * n + 3]!;
    argument[n] = start[n]! + a51 * k1 + a52 * k2 + a53 * k3 + a54 * k4;
    rightSide[n] = (c51 * k1 + c52 * k2 + c53 * k3 + c54 * k4) / h;
  }
}

function stage6({ k, argument, rightSide, size, h }: StepWork): void {
  for (let n = 0; n < size; n++) {
    const k1 = k[STAGES * n]!;
    const k2 = k[STAGES * n + 1]!;
    const k3 = k[STAGES * n + 2]!;
    const k4 = k[STAGES * n + 3]!;
    const k5 = k[STAGES * n + 4]!;
    argument[n]! += k5;
    rightSide[n] = (c61 * k1 + c62 * k2 + c63 * k3 + c64 * k4 + c65 * k5) / h;
  }
}

/** After the last stage: the dense output's coefficients and sum_i b_i k_i. */
function finish({ k, dense, direction, size }: StepWork): void {
  for (let n = 0; n < size; n++) {
    const k1 = k[STAGES * n]!;
    const k2 = k[STAGES * n + 1]!;
    const k3 = k[STAGES * n + 2]!;
    const k4 = k[STAGES * n + 3]!;
    const k5 = k[STAGES * n + 4]!;
    dense[n] = h11 * k1 + h12 * k2 + h13 * k3 + h14 * k4 + h15 * k5;
    dense[size + n] = h21 * k1 + h22 * k2 + h23 * k3 + h24 * k4 + h25 * k5;
    direction[n] = b1 * k1 + b2 * k2 + b3 * k3 + b4 * k4 + b5 * k5 + b6 * k[STAGES * n + 5]!;
  }
}

/** Solves for k_i, which `rightSide` then holds too. */
function solveStage({ factors, k, rightSide, timeSlope, size, h }: StepWork, i: number, rate: Float64Array, d: number): void {
  const hd = h * d;
  for (let n = 0; n < size; n++) rightSide[n]! += rate[n]! + hd * timeSlope[n]!;
  substitute(factors, rightSide, size);
  for (let n = 0; n < size; n++) k[STAGES * n + i] = rightSide[n]!;
}

/**
 * The defect at the end of the step just made: what f says there against the slope of the dense output, in the units of
 * the states. Filtered by the step's own matrix, (I - h gamma J)^-1, so that a stiff state, which corrects itself, does
 * not cry wolf. Written to `defect`.
 */
export function endDefect({ start, end, dense, endRate, defect, factors, size, h }: StepWork): void {
  for (let n = 0; n < size; n++) {
    const slope = end[n]! - start[n]! - dense[n]! - dense[size + n]!;
    defect[n] = (h * endRate[n]! - slope) / (h * gamma);
  }
  substitute(factors, defect, size);
}

/** The state at a share u of the step just made. */
export function denseState(work: StepWork, u: number, out: Float64Array): void {
  for (let n = 0; n < out.length; n++) out[n] = denseComponent(work, n, u);
}

/** One component of `denseState`. */
export function denseComponent({ start, end, dense, size }: StepWork, n: number, u: number): number {
  return start[n]! + u * (end[n]! - start[n]! + (1 - u) * (dense[n]! + u * dense[size + n]!));
}
