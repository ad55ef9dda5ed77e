import { cumulativeDepth } from "./cumulativeDepth.ts";
import type { Hyetograph } from "./hyetograph.ts";
import { separateStorms } from "./separateStorms.ts";
import { tableValue } from "./stormCurve.ts";

/** One storm of a record, in figures. */
export interface StormEvent {
  /** first and last moment of rain [s] */
  readonly start: number;
  readonly end: number;
  /** [m] */
  readonly depth: number;
  /** depth over the whole storm's duration, dry spells inside it too [m/s] */
  readonly meanIntensity: number;
  /** of the heaviest interval [m/s]; the longer the record's intervals, the flatter */
  readonly peakIntensity: number;
  /** dry spell before it [s]; for the first the record's own start */
  readonly dryBefore: number;
}

/**
 * The storms of a record, as `separateStorms` parts them, in figures.
 *
 * @param record   rain
 * @param dryTime  dry spell that parts two storms [s]
 * @returns        in order of time
 * @example stormEvents(hyetograph({ time: [0, 600, 1200], depth: [0, 0.003] }), 3600)[0].depth; // => 0.003
 */
export function stormEvents(record: Hyetograph, dryTime: number): StormEvent[] {
  let dryFrom = record.time[0]!;
  return separateStorms(record, dryTime).map(({ first, last }) => {
    const [start, end] = [record.time[first]!, record.time[last + 1]!];
    let depth = 0;
    let peakIntensity = 0;
    for (let i = first; i <= last; i++) {
      depth += record.depth[i]!;
      peakIntensity = Math.max(peakIntensity, record.depth[i]! / (record.time[i + 1]! - record.time[i]!));
    }
    const dryBefore = start - dryFrom;
    dryFrom = end;
    return { start, end, depth, meanIntensity: depth / (end - start), peakIntensity, dryBefore };
  });
}

/**
 * Cuts a stretch of a record out as rain of its own that starts at time 0.
 *
 * @param from  first moment [s]
 * @param to    last moment [s], later
 */
export function rainBetween(record: Hyetograph, from: number, to: number): Hyetograph {
  const time: number[] = [0];
  const depth: number[] = [];
  for (let i = 0; i < record.depth.length; i++) {
    const [start, end] = [Math.max(from, record.time[i]!), Math.min(to, record.time[i + 1]!)];
    if (end <= start) continue;
    if (time.length === 1 && start > from) {
      time.push(start - from);
      depth.push(0);
    }
    time.push(end - from);
    depth.push(record.depth[i]! * ((end - start) / (record.time[i + 1]! - record.time[i]!)));
  }
  if (time[time.length - 1]! < to - from) {
    time.push(to - from);
    depth.push(0);
  }
  return { time: Float64Array.from(time), depth: Float64Array.from(depth) };
}

/**
 * The most rain in any stretch of a length, to hold a storm against a town's table. As the rain is even inside an interval,
 * the richest stretch starts or ends at an edge, and all of them are looked at.
 *
 * @param rain      storm or record
 * @param duration  [s], more than 0
 * @returns         depth [m] and the stretch's first moment [s]; the first of equal ones
 * @example greatestDepth(hyetograph({ time: [0, 60, 120, 180], depth: [0.001, 0.004, 0.003] }), 120).depth; // => 0.007
 */
export function greatestDepth(rain: Hyetograph, duration: number): { readonly depth: number; readonly start: number } {
  const fallen = cumulativeDepth(rain);
  let [depth, start] = [-1, rain.time[0]!];
  const consider = (from: number, within: number): void => {
    if (within > depth * (1 + 1e-12)) [depth, start] = [within, from];
  };
  const ends = pointer(rain.time, fallen);
  const starts = pointer(rain.time, fallen);
  for (let i = 0; i < rain.time.length; i++) {
    consider(rain.time[i]! - duration, fallen[i]! - starts(rain.time[i]! - duration));
    consider(rain.time[i]!, ends(rain.time[i]! + duration) - fallen[i]!);
  }
  return { depth, start };
}

/** Reads the cumulative depth at times that only rise, without a search for each. */
function pointer(time: Float64Array, fallen: Float64Array): (at: number) => number {
  let next = 0;
  return (at) => {
    while (next < time.length && time[next]! <= at) next++;
    if (next === 0) return 0;
    if (next === time.length) return fallen[next - 1]!;
    return tableValue([time[next - 1]!, time[next]!], [fallen[next - 1]!, fallen[next]!], at);
  };
}
