/** [low floor of the upper segment, k_s w / L_r, stone depth] */
export function stoneBorderRow(floor: number, conductivity: number, width: number, length: number, depth: number): number[] {
  return [floor, (conductivity * width) / length, depth];
}

/**
 * Flow through the stone from one segment of a trench into the next, either way round (Darcy):
 *
 *   Q = k_s w d (Ea - Eb)/L,   E = max(H, z),   d = min(max(Ea, Eb) - z, stone depth)
 */
export function stoneBorderFlow(table: Float64Array, row: number, Ha: number, Hb: number, out: Float64Array): void {
  const z = table[row]!;
  const da = Math.max(0, Ha - z);
  const db = Math.max(0, Hb - z);
  const high = Math.max(da, db);
  const d = Math.min(high, table[row + 2]!);
  const conductance = table[row + 1]! * d;
  const byDepth = high < table[row + 2]! ? table[row + 1]! * (da - db) : 0;
  out[0] = conductance * (da - db);
  out[1] = da === 0 ? 0 : conductance + (da >= db ? byDepth : 0);
  out[2] = db === 0 ? 0 : -conductance + (db > da ? byDepth : 0);
}
