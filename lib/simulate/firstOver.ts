import type { Run } from "./run.ts";

/**
 * The first time in a run at which something is reached, found on the dense output to a millisecond.
 *
 * @param over  0 or more where it is reached, less where not; at a time [s]
 * @returns     [s]; null where it never is. What is reached for less than a quarter of a step, and by none of the bodies'
 *              peaks, can be missed
 */
export function firstOver({ times, peaks, until }: Pick<Run, "times" | "peaks" | "until">, over: (time: number) => number): number | null {
  const tops = Object.values(peaks).map(({ time }) => time);
  const looks = [...quarters(times), ...tops, until].sort((a, b) => a - b);
  let before = 0;
  for (const time of looks) {
    if (over(time) >= 0) return time === 0 ? 0 : border(before, time, over);
    before = time;
  }
  return null;
}

function quarters(times: Float64Array): number[] {
  return Array.from(times).flatMap((time, i) => {
    const step = (times[i + 1] ?? time) - time;
    return step > 0 ? [time, time + step / 4, time + step / 2, time + (3 * step) / 4] : [time];
  });
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
