import { GRAVITY, rest, passages } from "./flowLaw.ts";
import { WEIR } from "./weir.ts";

const columns = passages;

/** [crest or fixed tailwater, whichever is higher; 1.7 pi D; 0.6 pi/4 D^2 sqrt(2g)] */
export function emitterRow(crest: number, tailwater: number | null, diameter: number): number[] {
  return [
    Math.max(crest, tailwater ?? -Infinity),
    WEIR * Math.PI * diameter,
    0.6 * (Math.PI / 4) * diameter ** 2 * Math.sqrt(2 * GRAVITY),
  ];
}

/** The level the emitter's head is measured from: its crest, its tailwater, or the water it stands in. */
export function emitterSill(row: number, Hb: number): number {
  const { table } = columns;
  return Math.max(table[row]!, Hb);
}

/**
 * Flow of the open emitter under head h over its sill: a weir round its edge or an orifice, whichever passes less; a
 * check valve, nothing comes back.
 *
 *   Q = min(1.7 pi D h^1.5, 0.6 pi/4 D^2 sqrt(2 g h))
 *
 * Hb is the level of the water it discharges into, -Infinity where that has no say.
 */
export function emitterFlows(first: number, end: number): void {
  const { table, row, from, to, level, flow, byFrom, byTo } = columns;
  for (let p = first; p < end; p++) {
    const sill = emitterSill(row[p]!, level[to[p]!]!);
    const head = level[from[p]!]! - sill;
    if (head <= 0) {
      rest(p);
      continue;
    }
    const root = Math.sqrt(head);
    const weir = table[row[p]! + 1]! * root;
    const orifice = table[row[p]! + 2]!;
    const asWeir = weir * head <= orifice * root;
    const slope = asWeir ? 1.5 * weir : (0.5 * orifice) / root;
    flow[p] = asWeir ? weir * head : orifice * root;
    byFrom[p] = slope;
    byTo[p] = sill > table[row[p]!]! ? -slope : 0;
  }
}

/** Flow of the open emitter of a row under a head over its sill [m3/s]. */
export function emitterFlow(row: number, head: number): number {
  const { table } = columns;
  if (head <= 0) return 0;
  const root = Math.sqrt(head);
  return Math.min(table[row + 1]! * root * head, table[row + 2]! * root);
}

/** Levels at which the flow of a row has a corner: the sill, and where the weir round it becomes an orifice [m]. */
export function emitterCorners(table: Float64Array, row: number): number[] {
  return [table[row]!, table[row]! + table[row + 2]! / table[row + 1]!];
}
