import type { Hyetograph } from "../rain/hyetograph.ts";
import { optionReader } from "../text/optionReader.ts";
import { hydrograph, madeHydrograph, type Hydrograph } from "./hydrograph.ts";
import { mergedTimes, sameTime } from "./sumHydrographs.ts";

/**
 * How a catchment's area joins in: the shares of the area that reach the outlet within shares of the time of
 * concentration, straight between the points.
 */
export interface TimeAreaCurve {
  /** rising from 0 to 1 */
  readonly time: readonly number[];
  /** not falling, from 0 to 1 */
  readonly area: readonly number[];
}

/** Area that joins in at an even rate: the rational method. */
const EVEN_TIME_AREA: TimeAreaCurve = { time: [0, 1], area: [0, 1] };

/**
 * Hydrograph of rain that runs off an area, each part of it arriving after its own travel time. For the even curve
 *
 *   q(t) = A / tc * (P(t) - P(t - tc))
 *
 * with P the cumulative effective rain; a block storm gives the trade's trapezoid, triangle at duration tc. For a curve of
 * several straight pieces the sum over the pieces of (share of area / share of tc) times the rain in the piece's window.
 * With constant intensities q is made of straight lines, so the corners below are all of it and nothing is sampled.
 *
 * @param effective               rain that runs off (losses taken)
 * @param area                    [m2]; the rational method's C may stand in it, `area: C * A`
 * @param timeOfConcentration     [s], 0 or more; below a millisecond the flow follows the rain in jumps
 * @param curve                   default even
 * @returns                       flows whose volume is area x depth, to the rounding of the times
 * @throws InputError  when area or time are below 0, or the curve does not rise from 0 to 1 in both
 * @source  HDS-2 (FHWA-NHI-02-001, 2nd ed. 2002), section 6.4.1, time-area method; the closed form derived
 */
export function timeAreaHydrograph(
  effective: Hyetograph,
  { area, timeOfConcentration, curve = EVEN_TIME_AREA }: { area: number; timeOfConcentration: number; curve?: TimeAreaCurve },
): Hydrograph {
  checkCatchment(area, timeOfConcentration, curve);
  if (timeOfConcentration < NO_DELAY) return immediate(effective, area);
  const edges = turningEdges(effective);
  const delays = curve.time.map((share) => share * timeOfConcentration);
  const time = mergedTimes(delays.map((delay) => edges.map((edge) => edge + delay)));
  const flow = new Float64Array(time.length);
  for (let piece = 1; piece < delays.length; piece++) {
    const share = curve.area[piece]! - curve.area[piece - 1]!;
    const rate = (area * share) / (delays[piece]! - delays[piece - 1]!);
    const fallen = windowReader(effective);
    for (let i = 0; i < time.length; i++) flow[i]! += rate * fallen(time[i]! - delays[piece]!, time[i]! - delays[piece - 1]!);
  }
  // Before the first and after the last drop; rounding of the window's ends must not leave a jump there.
  flow[0] = 0;
  flow[flow.length - 1] = 0;
  return madeHydrograph(time, flow);
}

function checkCatchment(area: number, timeOfConcentration: number, { time, area: shares }: TimeAreaCurve): void {
  const read = optionReader("timeAreaHydrograph", { area, timeOfConcentration }, "The hydrograph cannot be made:");
  read.number("area", { least: 0 });
  read.number("timeOfConcentration", { least: 0 });
  const [last, count] = [time.length - 1, `${time.length} times and ${shares.length} areas`];
  if (last < 1 || shares.length !== time.length) read.problem("curve", "as many areas as times, two or more", count);
  else {
    const spans = time[0] === 0 && time[last] === 1 && shares[0] === 0 && shares[last] === 1;
    const rises = time.every((at, i) => i === 0 || (at > time[i - 1]! && shares[i]! >= shares[i - 1]!));
    if (!spans || !rises) read.problem("curve", "times that rise and areas that do not fall, both from 0 to 1", `[${time.join(", ")}] and [${shares.join(", ")}]`);
  }
  read.done();
}

/** Below this [s] the corners of a flank would be one time to a clock of years in double precision. */
const NO_DELAY = 1e-3;

function immediate({ time, depth }: Hyetograph, area: number): Hydrograph {
  const steps = { time: [] as number[], flow: [] as number[] };
  for (let i = 0; i < depth.length; i++) {
    const flow = (area * depth[i]!) / (time[i + 1]! - time[i]!);
    steps.time.push(time[i]!, time[i + 1]!);
    steps.flow.push(flow, flow);
  }
  return hydrograph(steps);
}

/** First and last edge, and those at which the intensity changes by more than rounding. */
function turningEdges({ time, depth }: Hyetograph): Float64Array {
  const edges = new Float64Array(time.length);
  edges[0] = time[0]!;
  let count = 1;
  let before = depth[0]! / (time[1]! - time[0]!);
  for (let i = 1; i < depth.length; i++) {
    const after = depth[i]! / (time[i + 1]! - time[i]!);
    if (Math.abs(after - before) > 1e-14 * Math.max(after, before)) edges[count++] = time[i]!;
    before = after;
  }
  edges[count++] = time[depth.length]!;
  return edges.subarray(0, count);
}

/**
 * Reads the depth that falls in a window whose two ends only rise. Parts of intervals are added up; the difference of two
 * cumulative depths would lose its digits late in a long record.
 */
function windowReader({ time, depth }: Hyetograph): (from: number, to: number) => number {
  let first = 0;
  return (from, to) => {
    const slack = sameTime(to);
    while (first < depth.length && time[first + 1]! <= from + slack) first++;
    let fallen = 0;
    for (let i = first; i < depth.length && time[i]! < to - slack; i++) {
      const overlap = Math.min(to, time[i + 1]!) - Math.max(from, time[i]!);
      fallen += depth[i]! * Math.min(1, overlap / (time[i + 1]! - time[i]!));
    }
    return fallen;
  };
}
