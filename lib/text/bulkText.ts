import { threeFigures, type UnitSystem } from "./format.ts";
import { unitNamed } from "./unitTable.ts";

/**
 * A volume of earth or stone [m3] to three figures, as it is ordered: `12.3 cu yd` or `9.4 m³`. Water is `volumeText`'s.
 *
 * @example bulkText(9.4, "us"); // => "12.3 cu yd"
 */
export function bulkText(volume: number, system: UnitSystem): string {
  return ordered(volume, system === "us" ? "cu yd" : "m³");
}

/**
 * An area of what comes in rolls [m2] to three figures, fabric or turf: `48 sq yd` or `40.1 m²`.
 *
 * @example sheetText(40.1, "us"); // => "48 sq yd"
 */
export function sheetText(area: number, system: UnitSystem): string {
  return ordered(area, system === "us" ? "sq yd" : "m²");
}

function ordered(si: number, label: string): string {
  const { numerator, denominator } = unitNamed(label)!;
  return `${threeFigures((si * denominator) / numerator)} ${label}`;
}
