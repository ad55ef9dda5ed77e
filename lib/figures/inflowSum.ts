import { hydrograph, type Hydrograph } from "../runoff/hydrograph.ts";
import { sumHydrographs } from "../runoff/sumHydrographs.ts";

/** A polyline of flow [m3/s] against time [s]; two points at one time are a jump. */
export interface FlowLine {
  readonly time: readonly number[];
  readonly flow: readonly number[];
}

/** The sum of hydrographs, exact: at every time that one of them has a point, with both sides of its jumps, at its ends too. */
export function inflowSum(inflows: readonly Hydrograph[]): FlowLine {
  if (inflows.length === 0) return { time: [], flow: [] };
  // a part that is nothing has no corner of its own, and makes a sum of what may be a single hydrograph
  const nothing = hydrograph({ time: [inflows[0]!.time[0]!], flow: [0] });
  const { time, flow } = sumHydrographs([...inflows, nothing]);
  return { time: Array.from(time), flow: Array.from(flow) };
}
