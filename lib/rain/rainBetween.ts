import { dryBetween } from "./dryBetween.ts";
import type { Hyetograph } from "./hyetograph.ts";

/**
 * Cuts a stretch of a record out as rain of its own that starts at time 0; where the record has nothing it is dry.
 *
 * @param from  first moment [s]
 * @param to    last moment [s], later
 * @throws RangeError  when it is not later
 * @example rainBetween(hyetograph({ time: [0, 600, 1200], depth: [0.001, 0.004] }), 900, 1500).depth; // => [0.002, 0]
 */
export function rainBetween(record: Hyetograph, from: number, to: number): Hyetograph {
  if (!(to > from && Number.isFinite(to - from))) throw new RangeError(`to: expected later than ${from} s, got ${to}`);
  return dryBetween(0, to - from, (take) => {
    eachBetween(record, from, to, (start, end, depth) => { take(start - from, end - from, depth); });
  });
}

/**
 * What falls in a stretch of a record, [m].
 *
 * @example depthBetween(hyetograph({ time: [0, 600, 1200], depth: [0.001, 0.004] }), 900, 1500); // => 0.002
 */
export function depthBetween(record: Hyetograph, from: number, to: number): number {
  let sum = 0;
  eachBetween(record, from, to, (_, __, depth) => { sum += depth; });
  return sum;
}

/** The intervals of a record that lie in a stretch, those at its ends cut; rain is even within each. */
function eachBetween(
  { time, depth }: Hyetograph, from: number, to: number, take: (start: number, end: number, depth: number) => void,
): void {
  for (let i = 0; i < depth.length; i++) {
    const [start, end] = [Math.max(from, time[i]!), Math.min(to, time[i + 1]!)];
    if (end > start) take(start, end, depth[i]! * ((end - start) / (time[i + 1]! - time[i]!)));
  }
}
