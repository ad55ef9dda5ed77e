import type { Run } from "./run.ts";

/**
 * The first time in a run at which something is reached, found on the dense output to a millisecond.
 *
 * @param over   0 or more where it is reached, less where not; at a time [s]
 * @param since  before it, it is known not to be reached [s]
 * @returns      [s]; null where it never is. What is reached for less than a quarter of a step, and by none of the bodies'
 *               peaks, can be missed
 */
export function firstOver(
  { times, peaks, until }: Pick<Run, "times" | "peaks" | "until">, over: (time: number) => number, since: number = 0,
): number | null {
  let before = 0;
  for (const time of looks(times, [...Object.values(peaks).map(({ time }) => time), until].sort((a, b) => a - b))) {
    if (time >= since && over(time) >= 0) return time === 0 ? 0 : border(before, time, over);
    before = time;
  }
  return null;
}

/** The quarters of every step and some more times, rising; made one by one, as the first may do. */
function* looks(times: Float64Array, more: readonly number[]): Generator<number> {
  let next = 0;
  for (let i = 0; i < times.length; i++) {
    const from = times[i]!;
    const step = (times[i + 1] ?? from) - from;
    for (let quarter = 0; quarter < (step > 0 ? 4 : 1); quarter++) {
      const time = from + (quarter * step) / 4;
      while (next < more.length && more[next]! <= time) yield more[next++]!;
      yield time;
    }
  }
  while (next < more.length) yield more[next++]!;
}

/** Between a time at which it is not reached and a later one at which it is. */
function border(low: number, high: number, over: (time: number) => number): number {
  while (high - low > 1e-3) {
    const middle = (low + high) / 2;
    if (middle <= low || middle >= high) break;
    if (over(middle) >= 0) high = middle;
    else low = middle;
  }
  return high;
}
