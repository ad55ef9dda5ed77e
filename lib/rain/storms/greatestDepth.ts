import { cumulativeDepth } from "../cumulativeDepth.ts";
import type { Hyetograph } from "../hyetograph.ts";
import { tableValue } from "./stormCurve.ts";
import { YEAR } from "../../text/unitTable.ts";
import { rainBetween } from "../rainBetween.ts";

/**
 * The most rain in any stretch of a length, to hold a storm against a town's table. As the rain is even inside an interval,
 * the richest stretch starts or ends at an edge, and all of them are looked at.
 *
 * @param rain      storm or record
 * @param duration  [s], more than 0
 * @returns         depth [m] and the stretch's first moment [s]; the first of equal ones
 * @throws RangeError  when the duration is not more than 0
 * @example greatestDepth(hyetograph({ time: [0, 60, 120, 180], depth: [0.001, 0.004, 0.003] }), 120).depth; // => 0.007
 */
export function greatestDepth(rain: Hyetograph, duration: number): { readonly depth: number; readonly start: number } {
  if (!(duration > 0)) throw new RangeError(`duration: expected above 0 s, got ${duration}`);
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

/**
 * The most rain of each whole year in any stretch of a length, wherever in the year it lies.
 *
 * @param rain       a record
 * @param durations  [s], each above 0
 * @param years      whole years from the record's first moment; one that the record does not fill has what it has
 * @returns          by duration, then year [m]
 */
export function annualMaxima(rain: Hyetograph, durations: readonly number[], years: number): number[][] {
  const start = rain.time[0]!;
  const each = Array.from({ length: years }, (_, y) => {
    const year = rainBetween(rain, start + y * YEAR, start + (y + 1) * YEAR);
    return durations.map((duration) => greatestDepth(year, duration).depth);
  });
  return durations.map((_, k) => each.map((row) => row[k]!));
}
