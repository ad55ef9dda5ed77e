import { displayUnits, type UnitSystem } from "../units/format.ts";

/**
 * A height of water, or what is to spare below an edge, as closely as it is known: to a tenth of an inch or millimetre
 * below ten of them, whole from there on. Only elevations are written in feet or metres.
 *
 * @param height  [m], 0 or more
 */
export function heightText(height: number, units: UnitSystem): string {
  const { label, size } = displayUnits(units).depth;
  const shown = height / size;
  return `${shown < 9.95 ? Math.round(shown * 10) / 10 : Math.round(shown)} ${label}`;
}
