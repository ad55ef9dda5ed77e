import { displayUnits, threeFigures, type UnitSystem } from "./format.ts";

/**
 * A diameter or a height as it is bought [m], to three figures: `4 in`, `29.5 in`, `110 mm`.
 *
 * @example sizeText(0.1016, "us"); // => "4 in"
 */
export function sizeText(size: number, units: UnitSystem): string {
  const { label, size: unit } = displayUnits(units).depth;
  return `${threeFigures(size / unit)} ${label}`;
}
