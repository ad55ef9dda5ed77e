import { normalQuantile } from "../numerics/normalQuantile.ts";

/**
 * Factors on a soil's conductivity at the middles of equal shares of what is likely, log-normal, from the tightest to the most open.
 *
 * @param soils   1 or more; the middle one of an odd number is 1
 * @param within  the factor within which 95 of 100 lie, 1 or more
 * @example soilFactors(3, 3); // => [0.581429, 1, 1.719899]
 */
export function soilFactors(soils: number, within: number): number[] {
  return Array.from({ length: soils }, (_, j) => within ** (normalQuantile((j + 0.5) / soils) / normalQuantile(0.975)));
}
