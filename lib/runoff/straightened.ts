import { hydrograph, type Hydrograph } from "./hydrograph.ts";

/** Share of the peak flow by which a dropped corner may lie off the line: some roundings, no approximation. */
const ROUNDING = 1e-13;

/**
 * The same hydrograph without the corners that are none: a solver stops at every corner, so one in the middle of a
 * straight line costs a step and tells nothing. First, last and jump points always stay.
 *
 * @returns  every dropped corner lies within 1e-13 of the peak flow from the line that replaces it
 */
export function straightened({ time, flow }: Hydrograph): Hydrograph {
  const slack = ROUNDING * flow.reduce((peak, q) => Math.max(peak, Math.abs(q)), 0);
  const last = time.length - 1;
  const keptTime: number[] = [];
  const keptFlow: number[] = [];
  const keep = (i: number): void => {
    keptTime.push(time[i]!);
    keptFlow.push(flow[i]!);
  };
  let from = 0;
  // Slopes of the lines out of point `from` that pass every corner dropped so far within the slack.
  let [least, most] = [-Infinity, Infinity];
  keep(0);
  for (let i = 1; i <= last; i++) {
    const slope = (flow[i]! - flow[from]!) / (time[i]! - time[from]!);
    const isJump = time[i] === time[i - 1] || (i < last && time[i] === time[i + 1]);
    if (i - 1 > from && (slope < least || slope > most)) {
      from = i - 1;
      keep(from);
      [least, most] = [-Infinity, Infinity];
    }
    if (isJump || i === last) {
      keep(i);
      from = i;
      [least, most] = [-Infinity, Infinity];
    } else {
      const reach = time[i]! - time[from]!;
      least = Math.max(least, (flow[i]! - slack - flow[from]!) / reach);
      most = Math.min(most, (flow[i]! + slack - flow[from]!) / reach);
    }
  }
  return hydrograph({ time: keptTime, flow: keptFlow });
}
