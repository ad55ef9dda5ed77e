import { straightCorners } from "../numerics/straightCorners.ts";
import { madeHydrograph, type Hydrograph } from "./hydrograph.ts";

/** Share of the peak flow by which a dropped corner may lie off the line: some roundings, no approximation. */
const ROUNDING = 1e-13;

/**
 * The same hydrograph without the points that lie on a straight line between their neighbours.
 *
 * @returns  every dropped corner lies within 1e-13 of the peak flow from the line that replaces it
 */
export function straightened({ time, flow }: Hydrograph): Hydrograph {
  let peak = 0;
  for (let i = 0; i < flow.length; i++) peak = Math.max(peak, Math.abs(flow[i]!));
  const kept = straightCorners(time, flow, ROUNDING * peak);
  const [keptTime, keptFlow] = [new Float64Array(kept.length), new Float64Array(kept.length)];
  for (let n = 0; n < kept.length; n++) {
    keptTime[n] = time[kept[n]!]!;
    keptFlow[n] = flow[kept[n]!]!;
  }
  return madeHydrograph(keptTime, keptFlow);
}
