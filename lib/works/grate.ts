import { GRAVITY } from "./flowLaw.ts";
import { smoothRoot, smoothRootSlope } from "./smoothRoot.ts";
import { WEIR } from "./weir.ts";

/** [level, 1.7 perimeter, 0.6 area sqrt(2g)] */
export function grateRow(level: number, perimeter: number, area: number): number[] {
  return [level, WEIR * perimeter, 0.6 * area * Math.sqrt(2 * GRAVITY)];
}

/**
 * A grate between two waters, either way round: E = max(H, z), d = max(Ea, Eb) - z, x = Ea - Eb,
 *
 *   Q = min(1.7 P d, 0.6 A sqrt(2g)) x / (x^2 + e^2)^(1/4)
 */
export function grateFlow(table: Float64Array, row: number, Ha: number, Hb: number, out: Float64Array): void {
  const z = table[row]!;
  const da = Math.max(0, Ha - z);
  const db = Math.max(0, Hb - z);
  const d = Math.max(da, db);
  if (d === 0) {
    out[0] = out[1] = out[2] = 0;
    return;
  }
  const weir = table[row + 1]! * d;
  const asWeir = weir <= table[row + 2]!;
  const c = asWeir ? weir : table[row + 2]!;
  const root = smoothRoot(da - db);
  const byHead = c * smoothRootSlope(da - db);
  const byDepth = asWeir ? table[row + 1]! * root : 0;
  out[0] = c * root;
  out[1] = da === 0 ? 0 : byHead + (da >= db ? byDepth : 0);
  out[2] = db === 0 ? 0 : -byHead + (db > da ? byDepth : 0);
}
