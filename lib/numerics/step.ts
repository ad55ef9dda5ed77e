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
  /** f at the start of the step, and at its end once `rates` was called there */
  readonly startRate: Float64Array;
  readonly endRate: Float64Array;
  /** df/dy [size x size] and df/dt [size] at the start */
  readonly jacobian: Float64Array;
  readonly timeSlope: Float64Array;
  /** the factors L and U of I/(h gamma) - J [size x size], the diagonal of U inverted */
  readonly factors: Float64Array;
  /** k_i of each state [size x stages] */
  readonly k: Float64Array;
  /** what each flow brought during the step [flows] */
  readonly volume: Float64Array;
  /** dense output: c_r of the step [denseRows x size] */
  readonly dense: Float64Array;
  readonly argument: Float64Array;
  readonly stageRate: Float64Array;
  /** right side of a stage's equations, then its k [size] */
  readonly rightSide: Float64Array;
  readonly defect: Float64Array;
  readonly direction: Float64Array;
}

export function stepWork(size: number, flows: number, method: RosenbrockMethod): StepWork {
  return {
    start: new Float64Array(size),
    end: new Float64Array(size),
    startRate: new Float64Array(size),
    endRate: new Float64Array(size),
    jacobian: new Float64Array(size * size),
    timeSlope: new Float64Array(size),
    factors: new Float64Array(size * size),
    k: new Float64Array(method.stages * size),
    volume: new Float64Array(flows),
    dense: new Float64Array(method.denseRows * size),
    argument: new Float64Array(size),
    stageRate: new Float64Array(size),
    rightSide: new Float64Array(size),
    defect: new Float64Array(size),
    direction: new Float64Array(size),
  };
}

/**
 * One trial step of length h from `work.start` at `time`, by the equations above `RosenbrockMethod`. `startRate`,
 * `jacobian` and `timeSlope` must belong to the start, and `linearise` must have been called there. Writes `end`, `k` and `volume`.
 */
export function step(system: System, method: RosenbrockMethod, work: StepWork, time: number, h: number): void {
  const { size } = system;
  const { stages, alpha, b } = method;
  const { end, argument, rightSide } = work;

  factorise(work.jacobian, 1 / (h * method.gamma), work.factors, size);
  system.beginSums(b[0]!);
  for (let n = 0; n < size; n++) rightSide[n] = 0;
  solveStage(method, work, 0, h, work.startRate, size);

  for (let i = 1; i < stages; i++) {
    combineStages(method, work, i, 1 / h, size);
    system.rates(time + alpha[i]! * h, argument, work.stageRate, b[i]!);
    solveStage(method, work, i, h, work.stageRate, size);
  }

  // stiffly accurate: the last stage's argument plus the last k is the end of the step
  for (let n = 0; n < size; n++) end[n] = argument[n]! + rightSide[n]!;
  for (let n = 0; n < size; n++) work.direction[n] = stageSum(b, 0, stages, work.k, n * stages);
  system.endSums(work.direction, h * method.bd, h, work.volume);
}

/** Before stage i: its argument, start + sum_j A_ij k_j, and the part of its right side that is known, sum_j (C_ij/h) k_j. */
function combineStages({ stages, A, C }: RosenbrockMethod, work: StepWork, i: number, perH: number, size: number): void {
  const { k, start, argument, rightSide } = work;
  const row = i * stages;
  for (let n = 0; n < size; n++) {
    const first = n * stages;
    let bySum = 0;
    let cSum = 0;
    for (let j = 0; j < i; j++) {
      const kj = k[first + j]!;
      bySum += A[row + j]! * kj;
      cSum += C[row + j]! * kj;
    }
    argument[n] = start[n]! + bySum;
    rightSide[n] = cSum * perH;
  }
}

/** Solves for k_i, which `rightSide` then holds too. */
function solveStage({ stages, d }: RosenbrockMethod, work: StepWork, i: number, h: number, rate: Float64Array, size: number): void {
  const { factors, k, rightSide, timeSlope } = work;
  const hd = h * d[i]!;
  for (let n = 0; n < size; n++) rightSide[n]! += rate[n]! + hd * timeSlope[n]!;
  substitute(factors, rightSide, size);
  for (let n = 0; n < size; n++) k[n * stages + i] = rightSide[n]!;
}

/** Solves L U x = b in place: forward, then backward. */
function substitute(factors: Float64Array, x: Float64Array, size: number): void {
  for (let n = 1; n < size; n++) {
    let sum = x[n]!;
    for (let m = 0; m < n; m++) sum -= factors[n * size + m]! * x[m]!;
    x[n] = sum;
  }
  for (let n = size - 1; n >= 0; n--) {
    let sum = x[n]!;
    for (let m = n + 1; m < size; m++) sum -= factors[n * size + m]! * x[m]!;
    x[n] = sum * factors[n * size + n]!;
  }
}

/**
 * The defect at the end of the step just made: what f says there against the slope of the dense output, in the units of
 * the states. Filtered by the step's own matrix, (I - h gamma J)^-1, so that a stiff state, which corrects itself, does
 * not cry wolf. Written to `defect`.
 */
export function endDefect({ gamma, denseRows }: RosenbrockMethod, work: StepWork, h: number, size: number): void {
  const { start, end, dense, endRate, defect, factors } = work;
  for (let n = 0; n < size; n++) {
    let slope = end[n]! - start[n]!;
    for (let r = 0; r < denseRows; r++) slope -= dense[r * size + n]!;
    defect[n] = (h * endRate[n]! - slope) / (h * gamma);
  }
  substitute(factors, defect, size);
}

function stageSum(weights: Float64Array, row: number, count: number, k: Float64Array, first: number): number {
  let sum = 0;
  for (let j = 0; j < count; j++) sum += weights[row + j]! * k[first + j]!;
  return sum;
}

/** For a handful of numbers a loop is several times faster than TypedArray.set. */
export function copy(from: Float64Array, to: Float64Array): void {
  for (let i = 0; i < from.length; i++) to[i] = from[i]!;
}

/** Coefficients of the dense output of the step just made, c_r = sum_j H_rj k_j. */
export function denseOutput({ stages, H, denseRows }: RosenbrockMethod, { dense, k }: StepWork, size: number): void {
  for (let r = 0; r < denseRows; r++) {
    for (let n = 0; n < size; n++) dense[r * size + n] = stageSum(H, r * stages, stages, k, n * stages);
  }
}

/** The state at a share u of the step just made. */
export function denseState(work: StepWork, denseRows: number, u: number, out: Float64Array): void {
  for (let n = 0; n < out.length; n++) out[n] = denseComponent(work, denseRows, out.length, n, u);
}

/** One component of `denseState`. */
export function denseComponent({ start, end, dense }: StepWork, denseRows: number, size: number, n: number, u: number): number {
  let inner = 0;
  for (let r = denseRows - 1; r >= 0; r--) inner = dense[r * size + n]! + u * inner;
  return start[n]! + u * (end[n]! - start[n]! + (1 - u) * inner);
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
