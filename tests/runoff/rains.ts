import fc from "fast-check";
import { cumulativeDepth } from "../../lib/rain/cumulativeDepth.ts";
import { hyetograph, type Hyetograph } from "../../lib/rain/hyetograph.ts";

/** Numbers with three decimals: what people type, without denormals that no rain gauge knows. */
export function thousandths(min: number, max: number): fc.Arbitrary<number> {
  return fc.integer({ min: Math.round(1000 * min), max: Math.round(1000 * max) }).map((n) => n / 1000);
}

/** Rain of 1 to 30 intervals of 1 to 90 minutes, some dry, up to 30 mm each. */
export const rains: fc.Arbitrary<Hyetograph> = fc
  .array(fc.record({ minutes: fc.integer({ min: 1, max: 90 }), mm: fc.oneof(fc.constant(0), thousandths(0, 30)) }), {
    minLength: 1,
    maxLength: 30,
  })
  .map((intervals) => {
    const time = [0];
    for (const { minutes } of intervals) time.push(time[time.length - 1]! + minutes * 60);
    return hyetograph({ time, depth: intervals.map(({ mm }) => mm / 1000) });
  });

/** Rain and the same rain with one of its intervals split in two. */
export const splitRains: fc.Arbitrary<{ whole: Hyetograph; split: Hyetograph; at: number }> = fc
  .record({ whole: rains, pick: fc.nat(), share: thousandths(0.05, 0.95) })
  .map(({ whole, pick, share }) => {
    const k = pick % whole.depth.length;
    const time = [...whole.time];
    const depth = [...whole.depth];
    time.splice(k + 1, 0, time[k]! + share * (time[k + 1]! - time[k]!));
    depth.splice(k, 1, share * depth[k]!, depth[k]! - share * depth[k]!);
    return { whole, split: hyetograph({ time, depth }), at: k + 1 };
  });

/** Rain of the intervals that have ended by a time. */
export function fallenBy(rain: Hyetograph, time: number): number {
  return rain.depth.reduce((sum, depth, i) => (rain.time[i + 1]! <= time ? sum + depth : sum), 0);
}

export function totalDepth(rain: Hyetograph): number {
  return cumulativeDepth(rain)[rain.depth.length]!;
}
