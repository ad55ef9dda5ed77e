import type { RosenbrockMethod } from "./rosenbrockMethod.ts";
import type { System } from "./system.ts";

/**
 * Everything one step reads and writes, laid out flat and made once a run. After `step` the accepted or refused trial
 * stands in `end`, `stage` and `volume`; `start` and what belongs to it stay until the step is taken over.
 */
export interface StepWork {
  /** states at the start and at the end of the step [size] */
  readonly start: Float64Array;
  readonly end: Float64Array;
  /** f and q at the start of the step, and at its end once `rates` was called there */
  readonly startRate: Float64Array;
  readonly startFlow: Float64Array;
  readonly endRate: Float64Array;
  readonly endFlow: Float64Array;
  /** df/dy [size x size] and df/dt [size] at the start */
  readonly jacobian: Float64Array;
  readonly timeSlope: Float64Array;
  /** the factors L and U of I/(h gamma) - J [size x size], the diagonal of U inverted */
  readonly factors: Float64Array;
  /** k_i [stages x size] */
  readonly k: Float64Array;
  /** what each flow brought during the step [flows] */
  readonly volume: Float64Array;
  /** dense output: c_r of the step [denseRows x size] */
  readonly dense: Float64Array;
  readonly argument: Float64Array;
  readonly stageRate: Float64Array;
  readonly stageFlow: Float64Array;
  readonly direction: Float64Array;
}

export function stepWork(size: number, flows: number, method: RosenbrockMethod): StepWork {
  return {
    start: new Float64Array(size),
    end: new Float64Array(size),
    startRate: new Float64Array(size),
    startFlow: new Float64Array(flows),
    endRate: new Float64Array(size),
    endFlow: new Float64Array(flows),
    jacobian: new Float64Array(size * size),
    timeSlope: new Float64Array(size),
    factors: new Float64Array(size * size),
    k: new Float64Array(method.stages * size),
    volume: new Float64Array(flows),
    dense: new Float64Array(method.denseRows * size),
    argument: new Float64Array(size),
    stageRate: new Float64Array(size),
    stageFlow: new Float64Array(flows),
    direction: new Float64Array(size),
  };
}

/**
 * One trial step of length h from `work.start` at `time`, by the equations above `RosenbrockMethod`. `startRate`,
 * `startFlow`, `jacobian` and `timeSlope` must belong to the start. Writes `end`, `k` and `volume`.
 */
export function step(system: System, method: RosenbrockMethod, work: StepWork, time: number, h: number): void {
  const { size, flows } = system;
  const { stages, A, C, alpha, b, d } = method;
  const { start, end, k, argument, volume, stageRate, stageFlow, timeSlope } = work;

  factorise(work.jacobian, 1 / (h * method.gamma), work.factors, size);
  for (let p = 0; p < flows; p++) volume[p] = b[0]! * work.startFlow[p]!;
  firstStage(work.startRate, timeSlope, h * d[0]!, k, size);
  substitute(work.factors, k, 0, size);

  for (let i = 1; i < stages; i++) {
    combine(start, A, i * stages, i, k, argument, size);
    system.rates(time + alpha[i]! * h, argument, stageRate, stageFlow);
    stageRightSide(stageRate, timeSlope, h * d[i]!, C, i * stages, i, 1 / h, k, size);
    substitute(work.factors, k, i * size, size);
    const weight = b[i]!;
    for (let p = 0; p < flows; p++) volume[p]! += weight * stageFlow[p]!;
  }

  // stiffly accurate: the last stage's argument plus the last k is the end of the step
  for (let n = 0, last = (stages - 1) * size; n < size; n++) end[n] = argument[n]! + k[last + n]!;

  if (flows > 0) {
    for (let p = 0; p < flows; p++) volume[p]! *= h;
    weightedSum(b, stages, k, work.direction, size);
    system.addFlowSlopes(work.direction, h * method.bd, h, volume);
  }
}

/** Coefficients of the dense output of the step just made, c_r = sum_j H_rj k_j. */
export function denseOutput(method: RosenbrockMethod, work: StepWork, size: number): void {
  const { stages, H, denseRows } = method;
  const { dense, k } = work;
  for (let r = 0; r < denseRows; r++) {
    for (let n = 0; n < size; n++) {
      let sum = 0;
      for (let j = 0; j < stages; j++) sum += H[r * stages + j]! * k[j * size + n]!;
      dense[r * size + n] = sum;
    }
  }
}

/** The state at a share u of the step just made. */
export function denseState(work: StepWork, denseRows: number, u: number, out: Float64Array): void {
  const size = out.length;
  for (let n = 0; n < size; n++) {
    let inner = 0;
    for (let r = denseRows - 1; r >= 0; r--) inner = work.dense[r * size + n]! + u * inner;
    out[n] = (1 - u) * work.start[n]! + u * (work.end[n]! + (1 - u) * inner);
  }
}

/**
 * LU of I/(h gamma) - J without pivoting. Water that leaves a body reaches another or is gone, and flows rise with the
 * level they come from, so the matrix is diagonally dominant by columns and every pivot is safe. Zeros are passed over:
 * bodies in a row or on a tree fill in next to nothing.
 */
function factorise(jacobian: Float64Array, diagonal: number, factors: Float64Array, size: number): void {
  for (let i = 0; i < size * size; i++) factors[i] = -jacobian[i]!;
  for (let i = 0; i < size; i++) factors[i * size + i]! += diagonal;
  for (let c = 0; c < size; c++) {
    const pivot = 1 / factors[c * size + c]!;
    factors[c * size + c] = pivot;
    for (let r = c + 1; r < size; r++) {
      if (factors[r * size + c] === 0) continue;
      const factor = factors[r * size + c]! * pivot;
      factors[r * size + c] = factor;
      for (let m = c + 1; m < size; m++) factors[r * size + m]! -= factor * factors[c * size + m]!;
    }
  }
}

/** Solves in place for one k: forward, then backward. */
function substitute(factors: Float64Array, k: Float64Array, at: number, size: number): void {
  for (let r = 1; r < size; r++) {
    let sum = k[at + r]!;
    for (let m = 0; m < r; m++) sum -= factors[r * size + m]! * k[at + m]!;
    k[at + r] = sum;
  }
  for (let r = size - 1; r >= 0; r--) {
    let sum = k[at + r]!;
    for (let m = r + 1; m < size; m++) sum -= factors[r * size + m]! * k[at + m]!;
    k[at + r] = sum * factors[r * size + r]!;
  }
}

function firstStage(rate: Float64Array, timeSlope: Float64Array, hd: number, k: Float64Array, size: number): void {
  for (let n = 0; n < size; n++) k[n] = rate[n]! + hd * timeSlope[n]!;
}

/** argument = start + sum_{j<i} A_ij k_j */
function combine(
  start: Float64Array, A: Float64Array, row: number, count: number, k: Float64Array, out: Float64Array, size: number,
): void {
  for (let n = 0; n < size; n++) {
    let sum = start[n]!;
    for (let j = 0; j < count; j++) sum += A[row + j]! * k[j * size + n]!;
    out[n] = sum;
  }
}

/** k_i = rate + h d_i df/dt + sum_{j<i} (C_ij / h) k_j, before the solve */
function stageRightSide(
  rate: Float64Array, timeSlope: Float64Array, hd: number,
  C: Float64Array, row: number, i: number, perH: number, k: Float64Array, size: number,
): void {
  for (let n = 0; n < size; n++) {
    let sum = 0;
    for (let j = 0; j < i; j++) sum += C[row + j]! * k[j * size + n]!;
    k[i * size + n] = rate[n]! + hd * timeSlope[n]! + sum * perH;
  }
}

function weightedSum(weights: Float64Array, count: number, k: Float64Array, out: Float64Array, size: number): void {
  for (let n = 0; n < size; n++) {
    let sum = 0;
    for (let j = 0; j < count; j++) sum += weights[j]! * k[j * size + n]!;
    out[n] = sum;
  }
}
