/**
 * Everything one step reads and writes, laid out flat and made once a run. After `step` the accepted or refused trial
 * stands in `end`, `dense` and `volume`; `start` and what belongs to it stay until the step is taken over.
 */
export interface StepWork {
  /** number of states */
  readonly size: number;
  /** length of the trial step */
  h: number;
  /** states at the start and at the end of the step [size] */
  readonly start: Float64Array;
  readonly end: Float64Array;
  /** f at the start of the step, and at its end once `rates` was called there */
  readonly startRate: Float64Array;
  readonly endRate: Float64Array;
  /** df/dy [size x size] and df/dt [size] at the start */
  readonly jacobian: Float64Array;
  readonly timeSlope: Float64Array;
  /** the factors L and U of I/(h gamma) - J [size x size] */
  readonly factors: Float64Array;
  /** k_i of each state [size x stages] */
  readonly k: Float64Array;
  /** what each flow brought during the step [flows] */
  readonly volume: Float64Array;
  /** dense output: e_r of the step [denseRows x size] */
  readonly dense: Float64Array;
  readonly argument: Float64Array;
  readonly stageRate: Float64Array;
  /** right side of a stage's equations, then its k [size] */
  readonly rightSide: Float64Array;
  readonly defect: Float64Array;
  readonly direction: Float64Array;
}

export function stepWork(size: number, flows: number, stages: number, denseRows: number): StepWork {
  return {
    size,
    h: 0,
    start: new Float64Array(size),
    end: new Float64Array(size),
    startRate: new Float64Array(size),
    endRate: new Float64Array(size),
    jacobian: new Float64Array(size * size),
    timeSlope: new Float64Array(size),
    factors: new Float64Array(size * size),
    k: new Float64Array(stages * size),
    volume: new Float64Array(flows),
    dense: new Float64Array(denseRows * size),
    argument: new Float64Array(size),
    stageRate: new Float64Array(size),
    rightSide: new Float64Array(size),
    defect: new Float64Array(size),
    direction: new Float64Array(size),
  };
}

/** For a handful of numbers a loop is several times faster than TypedArray.set. */
export function copy(from: Float64Array, to: Float64Array): void {
  for (let i = 0; i < from.length; i++) to[i] = from[i]!;
}
