/**
 * A set of ordinary differential equations y' = f(t, y) with flows q(t, y) to be added up beside them, as the stepper sees
 * it. It reads and writes the arrays of `stepWork`; nothing is allocated during a run. The system keeps the sums of its flows itself: it
 * knows which of them are at rest.
 */
export interface System {
  /** number of states */
  readonly size: number;
  /** number of flows whose volumes are added up */
  readonly flows: number;
  /** what counts as a large error of each state: the tolerance is relative to this plus the state itself */
  readonly scale: Float64Array;
  /** the same for what flows through the system as a whole */
  readonly flowScale: number;
  /** a step that ends with a state below this is refused */
  readonly lowest: Float64Array;
  /** a state that nothing takes from below this does not fall there: a step in which it does is refused */
  readonly keeps: Float64Array;
  /** flows that never run backwards: a step in which one brings less than nothing is refused */
  readonly oneWay: Int32Array;
  /** for each state the values at which f has a corner, rising; a step is cut so as not to span one */
  readonly corners: readonly Float64Array[];
  /** writes f(t, y), and adds `weight` times the flows there to the sums of the step under way */
  rates(time: number, state: Float64Array, rate: Float64Array, weight: number): void;
  /**
   * Writes df/dy and df/dt at the start of the step, where `rates` was called last, to `jacobian` and `timeSlope`, and keeps
   * the flows, dq/dy and dq/dt there.
   */
  linearise(): void;
  /** begins the sums of a step anew with `weight` times the flows kept by `linearise` */
  beginSums(weight: number): void;
  /** writes to `volume` what each flow brought: h (its sum + dq/dy . direction + timeWeight dq/dt), the slopes those kept */
  endSums(timeWeight: number, h: number): void;
  /**
   * Whether sum |y'| can only fall for as long as f does not change in time, as in any set of vessels that drain into one
   * another: then it times the time left bounds what is still to come
   */
  settles(): boolean;
  /** negative while nothing happens; the step ends where it reaches 0 */
  event(time: number, state: Float64Array): number;
}
