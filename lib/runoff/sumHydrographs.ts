import { hydrograph, type Hydrograph } from "./hydrograph.ts";

/**
 * Several hydrographs flowing together: straight lines between all their corners.
 *
 * @param parts  one or more; times that differ by no more than their rounding count as one
 * @returns      their sum, straight corners kept (`straightened` drops them)
 */
export function sumHydrographs(parts: readonly Hydrograph[]): Hydrograph {
  if (parts.length === 1) return parts[0]!;
  const readers = parts.map(sideReader);
  const time: number[] = [];
  const flow: number[] = [];
  for (const at of mergedTimes(parts.map((part) => part.time))) {
    let before = 0;
    let after = 0;
    for (const read of readers) {
      const sides = read(at);
      before += sides.before;
      after += sides.after;
    }
    time.push(at);
    flow.push(before);
    if (after !== before) {
      time.push(at);
      flow.push(after);
    }
  }
  return hydrograph({ time, flow });
}

/**
 * All different times of several rising lists, in order. Sums such as 300 s + 420 s and 720 s may differ in the last
 * digit; two corners so near would only make the solver take a step of nothing between them.
 */
export function mergedTimes(lists: readonly ArrayLike<number>[]): number[] {
  const merged: number[] = [];
  const next = new Int32Array(lists.length);
  let last = -Infinity;
  for (;;) {
    let at = Infinity;
    for (let n = 0; n < lists.length; n++) {
      const list = lists[n]!;
      // what is no later than the last time taken has been merged with it
      while (next[n]! < list.length && list[next[n]!]! <= last + sameTime(last)) next[n]!++;
      if (next[n]! < list.length && list[next[n]!]! < at) at = list[next[n]!]!;
    }
    if (at === Infinity) return merged;
    merged.push(at);
    last = at;
  }
}

/** Times nearer than this are one and the same [s]: some roundings of a sum, and more than the shortest step a run may take. */
export function sameTime(time: number): number {
  return 64 * Number.EPSILON * Math.max(1, Math.abs(time));
}

/** Reads a hydrograph at times that only rise: its flow just before and just after each. */
function sideReader({ time, flow }: Hydrograph): (at: number) => { before: number; after: number } {
  const last = time.length - 1;
  let next = 0; // first point that lies after `at`
  return (at) => {
    const slack = sameTime(at);
    const first = next;
    while (next <= last && time[next]! <= at + slack) next++;
    const onPoint = next > 0 && time[next - 1]! >= at - slack;
    if (onPoint) {
      let arrival = next - 1;
      while (arrival > first && time[arrival - 1]! >= at - slack) arrival--;
      return { before: arrival === 0 ? 0 : flow[arrival]!, after: next > last ? 0 : flow[next - 1]! };
    }
    if (next === 0 || next > last) return { before: 0, after: 0 };
    const share = (at - time[next - 1]!) / (time[next]! - time[next - 1]!);
    const between = flow[next - 1]! + share * (flow[next]! - flow[next - 1]!);
    return { before: between, after: between };
  };
}
