import { rest, passages } from "./flowLaw.ts";
import { smoothRoot, smoothRootSlope } from "./smoothRoot.ts";

const columns = passages;

/** coefficient of a broad-crested weir in SI; sqrt(g) (2/3)^1.5 = 1.705 rounded as the trade does */
export const WEIR = 1.7;

/** [level, 1.7 x length] of an edge water spills over */
export function weirRow(level: number, length: number): number[] {
  return [level, WEIR * length];
}

/**
 * Free spill over an edge: Q = 1.7 P (Ha - z)^1.5, nothing below it; what lies beyond the edge has no say.
 *
 * @source broad-crested weir, SI; FHWA-NHI-02-001 gives the ideal 1.7049
 */
export function weirFlows(first: number, end: number): void {
  const { table, row, from, level, flow, byFrom, byTo } = columns;
  for (let p = first; p < end; p++) {
    const head = level[from[p]!]! - table[row[p]!]!;
    if (head <= 0) {
      rest(p);
      continue;
    }
    const root = table[row[p]! + 1]! * Math.sqrt(head);
    flow[p] = root * head;
    byFrom[p] = 1.5 * root;
    byTo[p] = 0;
  }
}

/** [lower end, higher end, 1.7 x 0.8 x length/rise, 1.7 x width at the lower end and at the higher] of a ground that slopes */
export function slopedWeirRow(
  { high, low }: { readonly high: number; readonly low: number }, length: number,
  { atHigh, atLow }: { readonly atHigh: number; readonly atLow: number },
): number[] {
  const [foot, head] = [Math.min(high, low), Math.max(high, low)];
  const [atFoot, atHead] = low <= high ? [atLow, atHigh] : [atHigh, atLow];
  return [foot, head, (0.8 * WEIR * length) / (head - foot), WEIR * atFoot, WEIR * atHead];
}

/**
 * Free spill over the edge of a rectangle whose two long sides slope from z_h down to z_l, its ends level:
 *
 *   Q = 1.7 (2 x 0.4 L (a^2.5 - b^2.5)/(z_h - z_l) + w_l a^1.5 + w_h b^1.5),   a = max(0, Ha - z_l),  b = max(0, Ha - z_h)
 *
 * which is 1.7 times the integral of max(0, Ha - z)^1.5 along the edge.
 *
 * @source  as `weirFlows`, summed along the edge
 */
export function slopedWeirFlows(first: number, end: number): void {
  const { table, row, from, level, flow, byFrom, byTo } = columns;
  for (let p = first; p < end; p++) {
    const r = row[p]!;
    const a = level[from[p]!]! - table[r]!;
    if (a <= 0) {
      rest(p);
      continue;
    }
    const b = Math.max(0, level[from[p]!]! - table[r + 1]!);
    const [rootA, rootB] = [Math.sqrt(a), Math.sqrt(b)];
    const sides = table[r + 2]!;
    flow[p] = sides * (a * a * rootA - b * b * rootB) + table[r + 3]! * a * rootA + table[r + 4]! * b * rootB;
    byFrom[p] = 2.5 * sides * (a * rootA - b * rootB) + 1.5 * (table[r + 3]! * rootA + table[r + 4]! * rootB);
    byTo[p] = 0;
  }
}

/**
 * An edge with water on both sides, either way round: E = max(H, z), d = max(Ea, Eb) - z, x = Ea - Eb,
 *
 *   Q = 1.7 P d x / (x^2 + e^2)^(1/4)
 */
export function sharedWeirFlows(first: number, end: number): void {
  const { table, row, from, to, level, flow, byFrom, byTo } = columns;
  for (let p = first; p < end; p++) {
    const z = table[row[p]!]!;
    const overA = level[from[p]!]! - z;
    const overB = level[to[p]!]! - z;
    const da = Math.max(0, overA);
    const db = Math.max(0, overB);
    const d = Math.max(da, db);
    if (d === 0) {
      rest(p);
      continue;
    }
    const c = table[row[p]! + 1]!;
    const root = smoothRoot(da - db);
    const byHead = c * d * smoothRootSlope(da - db);
    flow[p] = c * d * root;
    // at the edge itself the slope upwards: an empty hollow whose floor is the edge fills from there
    byFrom[p] = overA < 0 ? 0 : byHead + (da >= db ? c * root : 0);
    byTo[p] = overB < 0 ? 0 : -byHead + (db > da ? c * root : 0);
  }
}
