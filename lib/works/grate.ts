import { GRAVITY, rest, passages } from "./flowLaw.ts";
import { smoothRoot, smoothRootSlope } from "./smoothRoot.ts";
import { WEIR } from "./weir.ts";

const columns = passages;

/** [level, 1.7 perimeter, 0.6 area sqrt(2g)] */
export function grateRow(level: number, perimeter: number, area: number): number[] {
  return [level, WEIR * perimeter, 0.6 * area * Math.sqrt(2 * GRAVITY)];
}

/**
 * A grate between two waters, either way round: E = max(H, z), d = max(Ea, Eb) - z, x = Ea - Eb,
 *
 *   Q = min(1.7 P d, 0.6 A sqrt(2g)) x / (x^2 + e^2)^(1/4)
 */
export function grateFlows(first: number, end: number): void {
  const { table, row, from, to, level, flow, byFrom, byTo } = columns;
  for (let p = first; p < end; p++) {
    const r = row[p]!;
    const z = table[r]!;
    const overA = level[from[p]!]! - z;
    const overB = level[to[p]!]! - z;
    const da = Math.max(0, overA);
    const db = Math.max(0, overB);
    const d = Math.max(da, db);
    if (d === 0) {
      rest(p);
      continue;
    }
    const weir = table[r + 1]! * d;
    const asWeir = weir <= table[r + 2]!;
    const c = asWeir ? weir : table[r + 2]!;
    const root = smoothRoot(da - db);
    const byHead = c * smoothRootSlope(da - db);
    const byDepth = asWeir ? table[r + 1]! * root : 0;
    flow[p] = c * root;
    // at the edge itself the slopes upwards, as over any shared edge
    byFrom[p] = overA < 0 ? 0 : byHead + (da >= db ? byDepth : 0);
    byTo[p] = overB < 0 ? 0 : -byHead + (db > da ? byDepth : 0);
  }
}
