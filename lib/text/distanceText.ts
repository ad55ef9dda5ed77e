import { displayUnits, type UnitSystem } from "./format.ts";

/**
 * A distance on a plan [m] as closely as a tape over a lawn tells it: to a tenth of a foot, or to a centimetre.
 *
 * @example distanceText(4.65, "us"); // => "15.3 ft"
 */
export function distanceText(distance: number, units: UnitSystem): string {
  const { label, size } = displayUnits(units).level;
  const finest = units === "us" ? 10 : 100;
  return `${Math.round((distance / size) * finest) / finest} ${label}`;
}
