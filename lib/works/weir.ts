import { smoothRoot, smoothRootSlope } from "./smoothRoot.ts";

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
export function weirFlow(table: Float64Array, row: number, Ha: number, _Hb: number, out: Float64Array): void {
  const head = Ha - table[row]!;
  if (head <= 0) {
    out[0] = out[1] = out[2] = 0;
    return;
  }
  const root = table[row + 1]! * Math.sqrt(head);
  out[0] = root * head;
  out[1] = 1.5 * root;
  out[2] = 0;
}

/**
 * An edge with water on both sides, either way round: E = max(H, z), d = max(Ea, Eb) - z, x = Ea - Eb,
 *
 *   Q = 1.7 P d x / (x^2 + e^2)^(1/4)
 */
export function sharedWeirFlow(table: Float64Array, row: number, Ha: number, Hb: number, out: Float64Array): void {
  const z = table[row]!;
  const da = Math.max(0, Ha - z);
  const db = Math.max(0, Hb - z);
  const d = Math.max(da, db);
  if (d === 0) {
    out[0] = out[1] = out[2] = 0;
    return;
  }
  const c = table[row + 1]!;
  const root = smoothRoot(da - db);
  const byHead = c * d * smoothRootSlope(da - db);
  out[0] = c * d * root;
  out[1] = da === 0 ? 0 : byHead + (da >= db ? c * root : 0);
  out[2] = db === 0 ? 0 : -byHead + (db > da ? c * root : 0);
}
