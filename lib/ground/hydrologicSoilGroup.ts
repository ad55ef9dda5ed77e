/** A drains best, D worst. */
export type HydrologicSoilGroup = "A" | "B" | "C" | "D";

/**
 * Hydrologic soil group by the rate at which the wet soil transmits water: A above 0.30 in/h, B from 0.15, C from 0.05, D below.
 *
 * @param transmission  0 or more [m/s]
 * @throws RangeError   when it is below 0 or not a number
 * @source  TR-55 (2nd ed. 1986) appendix A
 * @example hydrologicSoilGroup(1e-6); // => "C"
 */
export function hydrologicSoilGroup(transmission: number): HydrologicSoilGroup {
  if (!(transmission >= 0)) throw new RangeError(`transmission: expected 0 m/s or more, got ${transmission}`);
  if (transmission > inchPerHour(30)) return "A";
  if (transmission >= inchPerHour(15)) return "B";
  return transmission >= inchPerHour(5) ? "C" : "D";
}

function inchPerHour(hundredths: number): number {
  return (hundredths * 254) / (1_000_000 * 3600);
}
