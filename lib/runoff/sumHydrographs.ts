import { madeHydrograph, type Hydrograph } from "./hydrograph.ts";

/**
 * Several hydrographs flowing together: straight lines between all their corners.
 *
 * @param parts  one or more; times that differ by no more than their rounding count as one
 * @returns      their sum, straight corners kept (`straightened` drops them)
 */
export function sumHydrographs(parts: readonly Hydrograph[]): Hydrograph {
  if (parts.length === 1) return parts[0]!;
  const merged = mergedTimes(parts.map((part) => part.time));
  const [before, after] = [new Float64Array(merged.length), new Float64Array(merged.length)];
  for (const part of parts) addSides(part, merged, before, after);
  let jumps = 0;
  for (let i = 0; i < merged.length; i++) if (after[i] !== before[i]) jumps++;
  const [time, flow] = [new Float64Array(merged.length + jumps), new Float64Array(merged.length + jumps)];
  for (let i = 0, point = 0; i < merged.length; i++) {
    time[point] = merged[i]!;
    flow[point++] = before[i]!;
    if (after[i] === before[i]) continue;
    time[point] = merged[i]!;
    flow[point++] = after[i]!;
  }
  return madeHydrograph(time, flow);
}

/**
 * All different times of several rising lists, in order. Sums such as 300 s + 420 s and 720 s may differ in the last
 * digit; two corners so near would only make the solver take a step of nothing between them.
 */
export function mergedTimes(lists: readonly Float64Array[]): Float64Array {
  const merged = new Float64Array(lists.reduce((sum, list) => sum + list.length, 0));
  const next = new Int32Array(lists.length);
  let [count, taken] = [0, -Infinity];
  for (;;) {
    let at = Infinity;
    for (let n = 0; n < lists.length; n++) {
      const list = lists[n]!;
      let i = next[n]!;
      // what is no later than the last time taken has been merged with it
      while (i < list.length && list[i]! <= taken) i++;
      next[n] = i;
      if (i < list.length && list[i]! < at) at = list[i]!;
    }
    if (at === Infinity) return merged.slice(0, count);
    merged[count++] = at;
    taken = at + sameTime(at);
  }
}

/** Times nearer than this are one and the same [s]: some roundings of a sum, and more than the shortest step a run may take. */
export function sameTime(time: number): number {
  return 64 * Number.EPSILON * Math.max(1, Math.abs(time));
}

/** Adds a hydrograph's flows just before and just after each of some rising times. */
function addSides({ time, flow }: Hydrograph, times: Float64Array, before: Float64Array, after: Float64Array): void {
  const last = time.length - 1;
  let next = 0; // first point that lies after `at`
  for (let n = 0; n < times.length; n++) {
    const at = times[n]!;
    const slack = sameTime(at);
    const first = next;
    while (next <= last && time[next]! <= at + slack) next++;
    if (next > 0 && time[next - 1]! >= at - slack) {
      let arrival = next - 1;
      while (arrival > first && time[arrival - 1]! >= at - slack) arrival--;
      if (arrival > 0) before[n]! += flow[arrival]!;
      if (next <= last) after[n]! += flow[next - 1]!;
    } else if (next > 0 && next <= last) {
      const share = (at - time[next - 1]!) / (time[next]! - time[next - 1]!);
      const between = flow[next - 1]! + share * (flow[next]! - flow[next - 1]!);
      before[n]! += between;
      after[n]! += between;
    }
  }
}
