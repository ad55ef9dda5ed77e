import { straightCorners } from "../numerics/straightCorners.ts";
import { hydrograph, type Hydrograph } from "./hydrograph.ts";

/** Share of the peak flow by which a dropped corner may lie off the line: some roundings, no approximation. */
const ROUNDING = 1e-13;

/**
 * The same hydrograph without the points that lie on a straight line between their neighbours.
 *
 * @returns  every dropped corner lies within 1e-13 of the peak flow from the line that replaces it
 */
export function straightened({ time, flow }: Hydrograph): Hydrograph {
  const peak = flow.reduce((most, q) => Math.max(most, Math.abs(q)), 0);
  const kept = straightCorners(time, flow, ROUNDING * peak);
  return hydrograph({ time: kept.map((i) => time[i]!), flow: kept.map((i) => flow[i]!) });
}
