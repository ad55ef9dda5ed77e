import { passages } from "./flowLaw.ts";

const columns = passages;

/** [low floor of the upper segment, k_s w / L_r, stone depth] */
export function stoneBorderRow(floor: number, conductivity: number, width: number, length: number, depth: number): number[] {
  return [floor, (conductivity * width) / length, depth];
}

/**
 * Flow through the stone from one segment of a trench into the next, either way round (Darcy):
 *
 *   Q = k_s w d (Ea - Eb)/L,   E = max(H, z),   d = min(max(Ea, Eb) - z, stone depth)
 */
export function stoneBorderFlows(first: number, end: number): void {
  const { table, row, from, to, level, flow, byFrom, byTo } = columns;
  for (let p = first; p < end; p++) {
    const r = row[p]!;
    const z = table[r]!;
    const overA = level[from[p]!]! - z;
    const overB = level[to[p]!]! - z;
    const da = Math.max(0, overA);
    const db = Math.max(0, overB);
    const high = Math.max(da, db);
    const d = Math.min(high, table[r + 2]!);
    const conductance = table[r + 1]! * d;
    const byDepth = high < table[r + 2]! ? table[r + 1]! * (da - db) : 0;
    flow[p] = conductance * (da - db);
    // at the crest itself the slopes upwards, as over any shared edge
    byFrom[p] = overA < 0 ? 0 : conductance + (da >= db ? byDepth : 0);
    byTo[p] = overB < 0 ? 0 : -conductance + (db > da ? byDepth : 0);
  }
}
