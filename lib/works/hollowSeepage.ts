import { BOTTOM } from "./storageTable.ts";

/** [floor, 1/path, conductivity, lip, A1 / h1^(2/p), 2/p, depth below which volume and area are straight lines] */
export function hollowSeepageRow(
  hollow: { readonly floor: number; readonly depth: number; readonly area: number; readonly shape: number; readonly lip: number },
  conductivity: number, pathLength: number,
): number[] {
  const power = 2 / hollow.shape;
  return [hollow.floor, 1 / pathLength, conductivity, hollow.lip, hollow.area / hollow.depth ** power, power, BOTTOM];
}

/** Multiplies the conductivity of a row. */
export function scaleHollowSeepage(table: Float64Array, row: number, factor: number): void {
  table[row + 2]! *= factor;
}
