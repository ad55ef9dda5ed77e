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
  const power = 1 + 2 / hollow.shape;
  const measured = (hollow.area * hollow.depth) / power;
  const exponent = 1 / power;
  const rise = hollow.depth / measured ** exponent;
  const linearBelow = measured * (BOTTOM / hollow.depth) ** power;
  return {
    floor: hollow.floor,
    exponent,
    pieces: Float64Array.of(0, hollow.floor, rise, 0, 0),
    topVolume: Infinity,
    topLevel: Infinity,
    topSlope: 0,
    linearBelow,
    bottomSlope: BOTTOM / linearBelow,
    emptySlope: 1 / (hollow.area * 0.1 ** (2 / hollow.shape)),
  };
}

/** Volume [m3] of the hollow at a level [m]. */
export function hollowVolume(
  hollow: { readonly floor: number; readonly depth: number; readonly area: number; readonly shape: number }, level: number,
): number {
  const power = 1 + 2 / hollow.shape;
  const depth = Math.max(0, level - hollow.floor);
  const full = (h: number): number => ((hollow.area * hollow.depth) / power) * (h / hollow.depth) ** power;
  return depth < BOTTOM ? (depth / BOTTOM) * full(BOTTOM) : full(depth);
}
