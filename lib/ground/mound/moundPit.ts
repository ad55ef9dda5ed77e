import type { OptionReader } from "../../text/optionReader.ts";

/** A rectangle from which water sinks, and the ground it sinks into. */
export interface MoundPit {
  /** half of its length, along x [m] */
  readonly halfLength: number;
  /** half of its width, along y [m] */
  readonly halfWidth: number;
  /** lateral, of the aquifer, 1e-12 or more [m/s] */
  readonly hydraulicConductivity: number;
  /** saturated thickness before anything sinks in [m] */
  readonly thickness: number;
  /** share of the ground's volume that the rising water fills, 0 to 1 */
  readonly specificYield: number;
}

/** A place beside or under the pit, from its centre: x along its length, y along its width [m]. */
export interface MoundPoint {
  readonly x: number;
  readonly y: number;
}

/** Reads a pit's own keys; what is wrong is kept by the reader. The bounds are far beyond any ground, and keep all numbers finite. */
export function readMoundPit(read: OptionReader): MoundPit {
  const size = { least: 1e-3, most: 1e6 };
  return {
    halfLength: read.number("halfLength", size),
    halfWidth: read.number("halfWidth", size),
    hydraulicConductivity: read.number("hydraulicConductivity", { least: 1e-12, most: 1e3 }),
    thickness: read.number("thickness", size),
    specificYield: read.number("specificYield", { least: 1e-4, most: 1 }),
  };
}

/** Reads the two keys of a place. */
export function readMoundPoint(read: OptionReader): MoundPoint {
  const offset = { least: -1e6, most: 1e6 };
  return { x: read.number("x", offset), y: read.number("y", offset) };
}
