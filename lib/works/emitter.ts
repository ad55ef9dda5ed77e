import { GRAVITY } from "./gravity.ts";
import { WEIR } from "./weir.ts";

/** [crest or fixed tailwater, whichever is higher; 1.7 pi D; 0.6 pi/4 D^2 sqrt(2g)] */
export function emitterRow(crest: number, tailwater: number | null, diameter: number): number[] {
  return [
    Math.max(crest, tailwater ?? -Infinity),
    WEIR * Math.PI * diameter,
    0.6 * (Math.PI / 4) * diameter ** 2 * Math.sqrt(2 * GRAVITY),
  ];
}

/** Levels at which the flow of a row has a corner: the sill, and where the weir round it becomes an orifice [m]. */
export function emitterCorners(table: Float64Array, row: number): number[] {
  return [table[row]!, table[row]! + table[row + 2]! / table[row + 1]!];
}
