import { passages } from "./flowLaw.ts";

const columns = passages;

/** [ground, K_c A_plan / t_c] of soil and turf over a body */
export function coverRow(ground: number, conductivity: number, planArea: number, thickness: number): number[] {
  return [ground, (conductivity * planArea) / thickness];
}

/**
 * Water pressed up through the cover (Darcy), upwards only: Q = K_c A_plan (Ha - max(ground, Hb)) / t_c.
 * Hb is the level of the water on the surface, -Infinity where it runs off.
 */
export function coverFlows(first: number, end: number): void {
  const { table, row, from, to, level, flow, byFrom, byTo } = columns;
  for (let p = first; p < end; p++) {
    const ground = table[row[p]!]!;
    const above = level[to[p]!]!;
    const head = level[from[p]!]! - Math.max(ground, above);
    const conductance = head > 0 ? table[row[p]! + 1]! : 0;
    flow[p] = conductance * Math.max(0, head);
    byFrom[p] = conductance;
    byTo[p] = above > ground ? -conductance : 0;
  }
}
