import { GRAVITY, rest, passages } from "./flowLaw.ts";
import { smoothRoot, smoothRootSlope } from "./smoothRoot.ts";

const columns = passages;

/** [inside invert at the low end, 0.6 a L sqrt(2g), inside diameter] */
export function slitsRow(invert: number, openArea: number, length: number, diameter: number): number[] {
  return [invert, 0.6 * openArea * length * Math.sqrt(2 * GRAVITY), diameter];
}

/**
 * Flow through the slits of a pipe into the stone round it, either way round; the share f of the slits under water is
 * that of the circumference.
 *
 *   Q = 0.6 a L f sqrt(2g) x / (x^2 + e^2)^(1/4),   f = acos(1 - 2y/D)/pi,   y = min(max(Ea, Eb) - z, D)
 */
export function slitsFlows(first: number, end: number): void {
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
    const diameter = table[r + 2]!;
    const share = d < diameter ? Math.acos(1 - (2 * d) / diameter) / Math.PI : 1;
    const shareSlope = d < diameter ? 1 / (Math.PI * Math.sqrt(d * (diameter - d))) : 0;
    const c = table[r + 1]!;
    const root = smoothRoot(da - db);
    const byHead = c * share * smoothRootSlope(da - db);
    const byDepth = c * shareSlope * root;
    flow[p] = c * share * root;
    // at the crest itself the slopes upwards, as over any shared edge
    byFrom[p] = overA < 0 ? 0 : byHead + (da >= db ? byDepth : 0);
    byTo[p] = overB < 0 ? 0 : -byHead + (db > da ? byDepth : 0);
  }
}
