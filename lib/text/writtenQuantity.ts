import type { UnitSystem } from "./format.ts";

/** What is written: a level to a hundredth of a foot or a millimetre, what a tape tells to a tenth of a foot or a centimetre. */
export type QuantityKind = "rain" | "duration" | "level" | "length" | "taped" | "area" | "conductivity";

/**
 * A quantity as a person would write it in a site file: `3.4 in`, `90 min`, `94.25 ft`, `0.8 in/hr`; in metres `86 mm`, `28.72 m`,
 * `20 mm/h`.
 *
 * @param si  in SI
 * @example writtenQuantity(13.72, "taped", "us"); // => "45 ft"
 */
export function writtenQuantity(si: number, kind: QuantityKind, units: UnitSystem): string {
  const us = units === "us";
  switch (kind) {
    case "rain": return us ? `${trimmed(si / 0.0254, 2)} in` : `${trimmed(si * 1000, 1)} mm`;
    case "duration": return si < 7200 ? `${trimmed(si / 60, 1)} min` : `${trimmed(si / 3600, 2)} h`;
    case "level": return us ? `${trimmed(si / 0.3048, 2)} ft` : `${trimmed(si, 3)} m`;
    case "length": return us ? `${trimmed(si / 0.3048, 2)} ft` : `${trimmed(si, 2)} m`;
    case "taped": return us ? `${trimmed(si / 0.3048, 1)} ft` : `${trimmed(si, 2)} m`;
    case "area": return us ? `${trimmed(si / 0.3048 ** 2, 0)} sq ft` : `${trimmed(si, 1)} m^2`;
    case "conductivity": return us ? `${figures(si / (0.0254 / 3600))} in/hr` : `${figures(si * 3.6e6)} mm/h`;
  }
}

function trimmed(number: number, decimals: number): string {
  return String(Number(number.toFixed(decimals)));
}

function figures(number: number): string {
  return String(Number(Number(number.toPrecision(3)).toFixed(5)));
}
