import { GRAVITY } from "./flowLaw.ts";
import { smoothRoot, smoothRootSlope } from "./smoothRoot.ts";

/** [level it drains down to, 0.6 pi/4 d^2 sqrt(2g)] */
export function weepHoleRow(elevation: number, floor: number, diameter: number): number[] {
  return [Math.max(elevation, floor), 0.6 * (Math.PI / 4) * diameter ** 2 * Math.sqrt(2 * GRAVITY)];
}

/**
 * A small hole that drains to the soil: Q = 0.6 pi/4 d^2 sqrt(2g) x / (x^2 + e^2)^(1/4), x = max(0, Ha - z).
 *
 * @source sharp-edged orifice, coefficient 0.6, hydraulics texts
 */
export function weepHoleFlow(table: Float64Array, row: number, Ha: number, _Hb: number, out: Float64Array): void {
  const x = Math.max(0, Ha - table[row]!);
  out[0] = table[row + 1]! * smoothRoot(x);
  out[1] = x > 0 ? table[row + 1]! * smoothRootSlope(x) : 0;
  out[2] = 0;
}
