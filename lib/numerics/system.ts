/**
 * A set of ordinary differential equations y' = f(t, y) with flows to be added up beside them, as the stepper sees it.
 * Arrays are written in place; nothing is allocated during a run.
 */
export interface System {
  /** number of states */
  readonly size: number;
  /** number of flows whose volumes are added up */
  readonly flows: number;
  /** what counts as a large error of each state: the tolerance is relative to this plus the state itself */
  readonly scale: Float64Array;
  /** a step that ends with a state below this is refused */
  readonly lowest: Float64Array;
  /** writes f(t, y) and the flows q(t, y) */
  rates(time: number, state: Float64Array, rate: Float64Array, flow: Float64Array): void;
  /** writes df/dy (size x size, row by row) and df/dt at the last call of `rates`, and keeps dq/dy and dq/dt there */
  linearise(jacobian: Float64Array, timeSlope: Float64Array): void;
  /** adds dq/dy . direction + timeWeight * dq/dt, as last kept by `linearise`, times h to the volumes */
  addFlowSlopes(direction: Float64Array, timeWeight: number, h: number, volume: Float64Array): void;
  /** negative while nothing happens; the step ends where it reaches 0 */
  event(time: number, state: Float64Array): number;
}
