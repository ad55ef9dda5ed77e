/** The most states a system may have. */
export const MOST_STATES = 512;
/** The most flows that may be added up beside them. */
export const MOST_FLOWS = 8192;
/** Rows of coefficients of the dense output. */
export const DENSE_ROWS = 2;

/**
 * Everything one step reads and writes. After `step` the accepted or refused trial stands in `end`, `dense` and `volume`;
 * `start` and what belongs to it stay until the step is taken over. Only the first `size` of each array count.
 *
 * There is one of it, made with this module and used by one integration after the other, never by two at a time. Whoever is in
 * a hurry makes it a constant of their own module and takes the arrays from that at the top of a function: the engine then knows
 * where they are, and a step takes a third less time than with arrays handed from function to function.
 */
export interface StepWork {
  /** number of states */
  size: number;
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
  /** k_i of the stages; the last is the embedded error [size] */
  readonly k1: Float64Array;
  readonly k2: Float64Array;
  readonly k3: Float64Array;
  readonly k4: Float64Array;
  readonly k5: Float64Array;
  readonly k6: Float64Array;
  /** what each flow brought during the step [flows] */
  readonly volume: Float64Array;
  /** dense output: e_r of the step [DENSE_ROWS x size] */
  readonly dense: Float64Array;
  /** the corners next above and next below the states' start [size] */
  readonly above: Float64Array;
  readonly below: Float64Array;
  /** of the system: what an error is weighed against, what no state may fall below, and what none falls below by itself [size] */
  readonly scale: Float64Array;
  readonly lowest: Float64Array;
  readonly keeps: Float64Array;
  readonly argument: Float64Array;
  readonly stageRate: Float64Array;
  readonly defect: Float64Array;
  readonly direction: Float64Array;
}

export const stepWork: StepWork = {
  size: 0,
  h: 0,
  start: states(),
  end: states(),
  startRate: states(),
  endRate: states(),
  jacobian: new Float64Array(MOST_STATES * MOST_STATES),
  timeSlope: states(),
  factors: new Float64Array(MOST_STATES * MOST_STATES),
  k1: states(),
  k2: states(),
  k3: states(),
  k4: states(),
  k5: states(),
  k6: states(),
  volume: new Float64Array(MOST_FLOWS),
  dense: new Float64Array(DENSE_ROWS * MOST_STATES),
  above: states(),
  below: states(),
  scale: states(),
  lowest: states(),
  keeps: states(),
  argument: states(),
  stageRate: states(),
  defect: states(),
  direction: states(),
};

function states(): Float64Array {
  return new Float64Array(MOST_STATES);
}
