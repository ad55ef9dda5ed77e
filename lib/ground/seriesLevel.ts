/** A water table in time: straight lines between the points, constant outside. */
export interface TimedLevel {
  readonly time: readonly number[];
  readonly level: readonly number[];
}

/** Level of a series at a time [m]; -Infinity, far below, where there is none. */
export function seriesLevel(series: TimedLevel | null, time: number): number {
  if (series === null) return -Infinity;
  const { time: times, level } = series;
  let i = 0;
  while (i < times.length && times[i]! <= time) i++;
  if (i === 0) return level[0]!;
  if (i === times.length) return level[i - 1]!;
  const share = (time - times[i - 1]!) / (times[i]! - times[i - 1]!);
  return level[i - 1]! + share * (level[i]! - level[i - 1]!);
}
