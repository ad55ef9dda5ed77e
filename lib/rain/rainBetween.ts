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
    record.depth.forEach((depth, i) => {
      const [start, end] = [Math.max(from, record.time[i]!), Math.min(to, record.time[i + 1]!)];
      if (end > start) take(start - from, end - from, depth * ((end - start) / (record.time[i + 1]! - record.time[i]!)));
    });
  });
}
