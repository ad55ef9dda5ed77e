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

/** most lines that one takes the place of, so that a year of even flow is not fitted again and again */
const MOST_LINES = 64;

/**
 * A hydrograph of fewer lines for runs by the thousand, which have to land on every corner. Each line has the volume and the middle of
 * time of the lines it takes the place of, between the same two times, and what has run in meanwhile is never off by more than `allowed`.
 *
 * @param hydrograph  none of its flows is gathered with one of another sign
 * @param allowed     [m3]; 0 gathers nothing
 */
export function gathered({ time, flow }: Hydrograph, allowed: number): Hydrograph {
  if (allowed === 0 || time.length < 3) return { time, flow };
  const [newTime, newFlow] = [new Float64Array(2 * time.length), new Float64Array(2 * time.length)];
  let n = 0;
  const add = (at: number, q: number): void => {
    if (n > 0 && newTime[n - 1] === at && newFlow[n - 1] === q) return;
    newTime[n] = at;
    newFlow[n++] = q;
  };
  for (let first = 0; first + 1 < time.length;) {
    let [last, start, end] = [first + 1, flow[first]!, flow[first + 1]!];
    // moments of the flow about the first point: its volume, and that times the time
    let [volume, moment] = [0, 0];
    for (let next = first + 1; next < time.length && next - first <= MOST_LINES; next++) {
      const [before, step] = [time[next - 1]! - time[first]!, time[next]! - time[next - 1]!];
      // a jump stays where it is, and so does a change of sign
      if (step === 0 || flow[next - 1]! * flow[next]! < 0 || flow[first]! * flow[next]! < 0) break;
      const brought = (step * (flow[next - 1]! + flow[next]!)) / 2;
      volume += brought;
      moment += before * brought + (step * step * (flow[next - 1]! + 2 * flow[next]!)) / 6;
      if (next === first + 1) continue;
      const span = time[next]! - time[first]!;
      const slope = (12 * (moment - (volume * span) / 2)) / (span * span * span);
      const [a, b] = [volume / span - (slope * span) / 2, volume / span + (slope * span) / 2];
      if (a * volume < 0 || b * volume < 0 || !staysWithin(time, flow, first, next, a, slope, allowed)) break;
      [last, start, end] = [next, a, b];
    }
    add(time[first]!, start);
    add(time[last]!, end);
    first = last;
  }
  return madeHydrograph(newTime.slice(0, n), newFlow.slice(0, n));
}

/** Whether what the line a + slope (t - first) has brought by any time in between is within `allowed` of what the flow has. */
function staysWithin(
  time: Float64Array, flow: Float64Array, first: number, last: number, a: number, slope: number, allowed: number,
): boolean {
  // the line's lead in volume, and in flow at both ends of each of the lines it takes the place of
  let [lead, before] = [0, a - flow[first]!];
  for (let i = first + 1; i <= last; i++) {
    const step = time[i]! - time[i - 1]!;
    const after = a + slope * (time[i]! - time[first]!) - flow[i]!;
    // where the flows cross, the lead is greatest
    if (before * after < 0 && Math.abs(lead + (step * before * before) / (2 * (before - after))) > allowed) return false;
    lead += (step * (before + after)) / 2;
    if (i < last && Math.abs(lead) > allowed) return false;
    before = after;
  }
  return true;
}
