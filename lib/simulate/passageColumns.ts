import type { Passages } from "../works/flowLaw.ts";
import { LAW, OUT, type Network, type Passage } from "./network.ts";

/** level that has no say: beyond a passage that leaves the works */
export const NOWHERE: number = -Infinity;

/**
 * The passages of a network as the laws want them. They run between nodes that have a level: first the bodies, then what
 * lies outside, whose level has no say, then the groundwater at each body, whose level is given. Seepage is a passage to
 * groundwater like any other.
 */
export function passageColumns({ bodies, passages, table }: Network): Passages {
  const outside = bodies.length;
  const end = ({ law, from, to }: Passage): number => {
    if (law === LAW.seepage || law === LAW.hollowSeepage) return outside + 1 + from;
    return to === OUT ? outside : to;
  };
  return {
    table: table.slice(),
    row: Int32Array.from(passages, ({ row }) => row),
    from: Int32Array.from(passages, ({ from }) => from),
    to: Int32Array.from(passages, end),
    level: new Float64Array(2 * bodies.length + 1).fill(NOWHERE),
    flow: new Float64Array(passages.length),
    byFrom: new Float64Array(passages.length),
    byTo: new Float64Array(passages.length),
  };
}

/** For each body the level below which its edges, the passages from `weir` on, have nothing to do with it [m]. */
export function wakeLevels({ bodies, passages, table }: Network): Float64Array {
  const wakes = new Float64Array(bodies.length).fill(Infinity);
  for (const { law, from, to, row } of passages) {
    if (law < LAW.weir) continue;
    for (const body of to === OUT ? [from] : [from, to]) wakes[body] = Math.min(wakes[body]!, table[row]!);
  }
  return wakes;
}
