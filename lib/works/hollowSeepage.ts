/** [floor, 1/path, conductivity, lip, A1 / h1^(2/p), 2/p] */
export function hollowSeepageRow(
  hollow: { readonly floor: number; readonly depth: number; readonly area: number; readonly shape: number; readonly lip: number },
  conductivity: number, pathLength: number,
): number[] {
  const power = 2 / hollow.shape;
  return [hollow.floor, 1 / pathLength, conductivity, hollow.lip, hollow.area / hollow.depth ** power, power];
}

/**
 * Seepage under a hollow, negative where groundwater comes in: Q = i K A(max(H, min(G, lip))), i as in `seepageFlow`.
 *
 * @param G  groundwater level [m]; out[2] is dQ/dG
 */
export function hollowSeepageFlow(table: Float64Array, row: number, H: number, G: number, out: Float64Array): void {
  const floor = table[row]!;
  const held = Math.min(G, table[row + 3]!);
  const wet = Math.max(H, held);
  if (wet <= floor) {
    out[0] = out[1] = out[2] = 0;
    return;
  }
  const perPath = table[row + 1]!;
  const gradient = (Math.max(H, floor) - G) * perPath;
  const free = gradient < 1 && gradient > -1;
  const i = Math.max(-1, Math.min(1, gradient));
  const depth = wet - floor;
  const power = table[row + 5]!;
  const area = table[row + 4]! * (power === 1 ? depth : depth ** power);
  const spread = (power * area) / depth;
  const k = table[row + 2]!;
  out[0] = i * k * area;
  out[1] = (free && H > floor ? perPath * k * area : 0) + (H >= held ? i * k * spread : 0);
  out[2] = (free ? -perPath * k * area : 0) + (H < held && G < table[row + 3]! ? i * k * spread : 0);
}
