import { firstAfter } from "../numerics/firstAfter.ts";
import { straightCorners } from "../numerics/straightCorners.ts";

/** A water table in time: straight lines between the points, constant outside. */
export interface TimedLevel {
  readonly time: readonly number[];
  readonly level: readonly number[];
}

/** Level of a series at a time [m]; -Infinity, far below, if there is no series. */
export function seriesLevel(series: TimedLevel | null, time: number): number {
  if (series === null) return -Infinity;
  const { time: times, level } = series;
  const i = firstAfter(times, time);
  if (i === 0) return level[0]!;
  if (i === times.length) return level[i - 1]!;
  const share = (time - times[i - 1]!) / (times[i]! - times[i - 1]!);
  return level[i - 1]! + share * (level[i]! - level[i - 1]!);
}

/** how far a dropped point may lie off the line, as a share of the levels: some roundings */
const ROUNDING = 1e-14;

/** The same water table without the points that lie on a straight line between their neighbours. */
export function straightLevels({ time, level }: TimedLevel): TimedLevel {
  const slack = ROUNDING * level.reduce((most, z) => Math.max(most, Math.abs(z)), 1);
  const kept = straightCorners(time, level, slack);
  return { time: kept.map((i) => time[i]!), level: kept.map((i) => level[i]!) };
}
