import { rest, passages } from "./flowLaw.ts";

const columns = passages;

/** [floor, 1/path, conductivity, lip, A1 / h1^(2/p), 2/p] */
export function hollowSeepageRow(
  hollow: { readonly floor: number; readonly depth: number; readonly area: number; readonly shape: number; readonly lip: number },
  conductivity: number, pathLength: number,
): number[] {
  const power = 2 / hollow.shape;
  return [hollow.floor, 1 / pathLength, conductivity, hollow.lip, hollow.area / hollow.depth ** power, power];
}

/**
 * Seepage under a hollow, negative where groundwater comes in: Q = i K A(max(H, min(G, lip))), i as in `seepageFlows`.
 * It runs to a node whose level is the groundwater's, G.
 */
export function hollowSeepageFlows(first: number, end: number): void {
  const { table, row, from, to, level, flow, byFrom, byTo } = columns;
  for (let p = first; p < end; p++) {
    const r = row[p]!;
    const H = level[from[p]!]!;
    const G = level[to[p]!]!;
    const floor = table[r]!;
    const held = Math.min(G, table[r + 3]!);
    const wet = Math.max(H, held);
    if (wet <= floor) {
      rest(p);
      continue;
    }
    const perPath = table[r + 1]!;
    const gradient = (Math.max(H, floor) - G) * perPath;
    const free = gradient < 1 && gradient > -1;
    const i = Math.max(-1, Math.min(1, gradient));
    const depth = wet - floor;
    const power = table[r + 5]!;
    const area = table[r + 4]! * (power === 1 ? depth : depth ** power);
    const spread = (power * area) / depth;
    const k = table[r + 2]!;
    flow[p] = i * k * area;
    byFrom[p] = (free && H > floor ? perPath * k * area : 0) + (H >= held ? i * k * spread : 0);
    byTo[p] = (free ? -perPath * k * area : 0) + (H < held && G < table[r + 3]! ? i * k * spread : 0);
  }
}

/** Multiplies the conductivity of a row. */
export function scaleHollowSeepage(table: Float64Array, row: number, factor: number): void {
  table[row + 2]! *= factor;
}
