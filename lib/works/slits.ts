import { GRAVITY } from "./gravity.ts";

/** [inside invert at the low end, 0.6 a L sqrt(2g), inside diameter] */
export function slitsRow(invert: number, openArea: number, length: number, diameter: number): number[] {
  return [invert, 0.6 * openArea * length * Math.sqrt(2 * GRAVITY), diameter];
}
