import { power } from "../numerics/powers.ts";
import { BOTTOM, type StorageTable } from "./storageTable.ts";

/**
 * Storage of a hollow of the lot whose area grows as a power of depth, from one measured puddle of depth h1 and area A1:
 *
 *   A(h) = A1 (h/h1)^(2/p),   V(h) = A1 h1/(1 + 2/p) (h/h1)^(1 + 2/p),   h = k V^(1/(1 + 2/p)) exactly
 *
 * @source Hayashi & van der Kamp, J. Hydrology 237, 2000
 */
export function hollowStorage(
  hollow: { readonly floor: number; readonly depth: number; readonly area: number; readonly shape: number },
): StorageTable {
  const growth = 1 + 2 / hollow.shape;
  const measured = (hollow.area * hollow.depth) / growth;
  const exponent = 1 / growth;
  const rise = hollow.depth / power(measured, exponent);
  const bottom = hollowBottom(hollow);
  const linearBelow = measured * power(bottom / hollow.depth, growth);
  return {
    floor: hollow.floor,
    exponent,
    pieces: Float64Array.of(0, hollow.floor, rise, 0, 0),
    topVolume: Infinity,
    topLevel: Infinity,
    topSlope: 0,
    linearBelow,
    bottomSlope: bottom / linearBelow,
    emptySlope: 1 / (hollow.area * power(0.1, 2 / hollow.shape)),
  };
}

/** Volume [m3] of the hollow at a level [m]. */
export function hollowVolume(
  hollow: { readonly floor: number; readonly depth: number; readonly area: number; readonly shape: number }, level: number,
): number {
  const growth = 1 + 2 / hollow.shape;
  const depth = Math.max(0, level - hollow.floor);
  const full = (h: number): number => ((hollow.area * hollow.depth) / growth) * power(h / hollow.depth, growth);
  const bottom = hollowBottom(hollow);
  return depth < bottom ? (depth / bottom) * full(bottom) : full(depth);
}

/**
 * Depth [m] in which a hollow is taken as a prism: `BOTTOM`, and as far up as it has less than a quarter of a square millimetre of area
 * on average. A hollow all but a point wide would hold less there than any error that a step lets pass, and its level would swing about
 * its rest for ever. With an area that grows no faster than the square of the depth the level is off by 0.06 mm at the most.
 */
export function hollowBottom(hollow: { readonly depth: number; readonly area: number; readonly shape: number }): number {
  const growth = 1 + 2 / hollow.shape;
  return Math.max(BOTTOM, hollow.depth * power((LEAST_AREA * growth) / hollow.area, 1 / (growth - 1)));
}

/** [m2] */
const LEAST_AREA = 2.5e-7;
