import type { PercolationHoleResult, SoilTestResult } from "./soilTestResult.ts";
import type { Band } from "./withinSiteBand.ts";

/** Which of the two figures of a percolation hole a site goes by. */
export type ConductivityFrom = "lower" | "hole";

/**
 * The conductivity that a test gives a site, and the band around it. A percolation hole has two figures, and the lower is taken unless
 * the hole's own law is asked for; every other test has one.
 *
 * @returns  [m/s]
 * @example usedConductivity(
 *   percolationHole({ diameter: "6 in", waterDepth: "12 in", minutesPerInch: 10 }), "lower",
 * ).conductivity; // => 1.523e-6
 */
export function usedConductivity(
  result: SoilTestResult | PercolationHoleResult, from: ConductivityFrom,
): { readonly conductivity: number; readonly band: Band } {
  const { hydraulicConductivity, siteBand } = result;
  if (from === "hole" || !("fieldSaturated" in result)) return { conductivity: hydraulicConductivity, band: siteBand };
  const { fieldSaturated, fieldSaturatedBand } = result;
  // A hole that did not drain has 0 for both; the lower band then says what could have gone unseen.
  const lower = fieldSaturated < hydraulicConductivity || (hydraulicConductivity === 0 && fieldSaturatedBand.high < siteBand.high);
  return lower
    ? { conductivity: fieldSaturated, band: fieldSaturatedBand }
    : { conductivity: hydraulicConductivity, band: siteBand };
}
