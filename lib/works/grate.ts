import { GRAVITY } from "./gravity.ts";
import { WEIR } from "./weir.ts";

/** [level, 1.7 perimeter, 0.6 area sqrt(2g)] */
export function grateRow(level: number, perimeter: number, area: number): number[] {
  return [level, WEIR * perimeter, 0.6 * area * Math.sqrt(2 * GRAVITY)];
}
