import { denseTop, denseValue } from "./denseOutput.ts";
import { factorise, substitute } from "./lu.ts";
import { stepWork } from "./stepWork.ts";
import type { System } from "./system.ts";

const work = stepWork;

/**
 * RODAS4P2, a stiffly accurate and L-stable Rosenbrock method of order 4 in 6 stages for y' = f(t, y), in the transformed
 * form of Hairer & Wanner, Solving Ordinary Differential Equations II, 2nd ed. 1996, sec. IV.7, where no product of the
 * Jacobian J and a vector is needed:
 *
 *   (I/(h gamma) - J) k_i = f(t + alpha_i h, y + sum_j a_ij k_j) + sum_j (c_ij/h) k_j + h d_i df/dt      i = 1 .. 6
 *   y1 = y + sum_j a_6j k_j + k_6,         error estimate k_6
 *
 * and between the ends of a step the cubic of `denseOutput` with e_r = sum_j h_rj k_j.
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
 * One trial step of length h from `start` at `time`. `startRate`, `jacobian` and `timeSlope` must belong to the start,
 * and `linearise` must have been called there. Writes `end`, `k1` to `k6`, `dense` and `volume`; k6 is the embedded error.
 */
export function step(system: System, time: number, h: number): void {
  const { size, start, startRate, timeSlope, argument, stageRate, k1, k2, k3, k4, k5, k6 } = work;
  const perH = 1 / h;
  work.h = h;
  factorise(perH / gamma);
  system.beginSums(b1);

  for (let n = 0; n < size; n++) k1[n] = startRate[n]! + h * d1 * timeSlope[n]!;
  substitute(k1);

  for (let n = 0; n < size; n++) argument[n] = start[n]! + a21 * k1[n]!;
  system.rates(time + alpha2 * h, argument, stageRate, b2);
  for (let n = 0; n < size; n++) k2[n] = stageRate[n]! + perH * c21 * k1[n]! + h * d2 * timeSlope[n]!;
  substitute(k2);

  for (let n = 0; n < size; n++) argument[n] = start[n]! + a31 * k1[n]! + a32 * k2[n]!;
  system.rates(time + alpha3 * h, argument, stageRate, b3);
  for (let n = 0; n < size; n++) k3[n] = stageRate[n]! + perH * (c31 * k1[n]! + c32 * k2[n]!) + h * d3 * timeSlope[n]!;
  substitute(k3);

  for (let n = 0; n < size; n++) argument[n] = start[n]! + a41 * k1[n]! + a42 * k2[n]! + a43 * k3[n]!;
  system.rates(time + alpha4 * h, argument, stageRate, b4);
  for (let n = 0; n < size; n++) {
    k4[n] = stageRate[n]! + perH * (c41 * k1[n]! + c42 * k2[n]! + c43 * k3[n]!) + h * d4 * timeSlope[n]!;
  }
  substitute(k4);

  for (let n = 0; n < size; n++) argument[n] = start[n]! + a51 * k1[n]! + a52 * k2[n]! + a53 * k3[n]! + a54 * k4[n]!;
  system.rates(time + h, argument, stageRate, b5);
  for (let n = 0; n < size; n++) k5[n] = stageRate[n]! + perH * (c51 * k1[n]! + c52 * k2[n]! + c53 * k3[n]! + c54 * k4[n]!);
  substitute(k5);

  for (let n = 0; n < size; n++) argument[n]! += k5[n]!;
  system.rates(time + h, argument, stageRate, b6);
  for (let n = 0; n < size; n++) {
    k6[n] = stageRate[n]! + perH * (c61 * k1[n]! + c62 * k2[n]! + c63 * k3[n]! + c64 * k4[n]! + c65 * k5[n]!);
  }
  substitute(k6);

  finish();
  system.endSums(h * bd, h);
}

/** After the last stage: the step's end, the dense output's coefficients and sum_i b_i k_i. */
function finish(): void {
  const { size, argument, end, k1, k2, k3, k4, k5, k6, dense, direction } = work;
  for (let n = 0; n < size; n++) {
    end[n] = argument[n]! + k6[n]!;
    dense[n] = h11 * k1[n]! + h12 * k2[n]! + h13 * k3[n]! + h14 * k4[n]! + h15 * k5[n]!;
    dense[size + n] = h21 * k1[n]! + h22 * k2[n]! + h23 * k3[n]! + h24 * k4[n]! + h25 * k5[n]!;
    direction[n] = b1 * k1[n]! + b2 * k2[n]! + b3 * k3[n]! + b4 * k4[n]! + b5 * k5[n]! + b6 * k6[n]!;
  }
}

/**
 * The defect at the end of the step just made: what f says there against the slope of the dense output, in the units of
 * the states. Filtered by the step's own matrix, (I - h gamma J)^-1, so that a stiff state, which corrects itself, does
 * not cry wolf. Written to `defect`.
 */
export function endDefect(): void {
  const { size, h, start, end, endRate, dense, defect } = work;
  for (let n = 0; n < size; n++) {
    const slope = end[n]! - start[n]! - dense[n]! - dense[size + n]!;
    defect[n] = (h * endRate[n]! - slope) / (h * gamma);
  }
  substitute(defect);
}

/** The state at a share u of the step just made. */
export function denseState(u: number, out: Float64Array): void {
  for (let n = 0; n < work.size; n++) out[n] = denseComponent(n, u);
}

/** One component of `denseState`. */
export function denseComponent(n: number, u: number): number {
  const { size, start, end, dense } = work;
  return denseValue(start[n]!, end[n]!, dense[n]!, dense[size + n]!, u);
}

/** Where inside the step just made one component has a top, as a share of it; 0 where it has none. */
export function topComponent(n: number): number {
  const { size, start, end, dense } = work;
  return denseTop(start[n]!, end[n]!, dense[n]!, dense[size + n]!);
}
