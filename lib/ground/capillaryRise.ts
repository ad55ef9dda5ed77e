import { describe } from "../text/describe.ts";
import { nearest } from "../text/nearest.ts";
import { InputError } from "../text/problem.ts";

/** Sediments with a published rise, from the coarsest. */
export type CapillarySediment = (typeof ROWS)[number][0];

/**
 * How high water rises above the water table in the pores of a sediment: lowest and highest published figure [m], and
 * whether their source doubts them.
 *
 * The heights for silt hold for an even pore size and are flagged as too large by the page they were read on; a soil's cracks
 * and roots break the rise. Clay has none here: in tight clay it can pass the mound's own rise, elsewhere it is small beside it.
 *
 * @throws InputError  when the sediment is not in the table
 * @source  Heath, USGS Water-Supply Paper 2220, and Fetter, Applied Hydrogeology, table 6.1, both as quoted on a poster of 2012
 * @example capillaryRise("fine sand"); // => { low: 0.4, high: 0.5, doubted: false }
 */
export function capillaryRise(sediment: string): { readonly low: number; readonly high: number; readonly doubted: boolean } {
  const row = ROWS.find(([known]) => known === sediment);
  if (row !== undefined) return { low: row[1] / 1000, high: row[2] / 1000, doubted: row[0].endsWith("silt") };
  const names = ROWS.map(([name]) => name);
  const meant = typeof sediment === "string" ? nearest(sediment.toLowerCase(), names) : null;
  throw new InputError("The capillary rise is not known:", [{
    where: "capillaryRise",
    expected: `one of ${names.map((name) => `"${name}"`).join(", ")}`,
    got: `${describe(sediment)}${meant === null ? "" : ` (did you mean "${meant}"?)`}`,
  }]);
}

/**
 * Capillary rise in a pore of water at room temperature:
 *
 *   h = 0.15 cm2 / r
 *
 * @param poreRadius  r, above 0 [m]
 * @returns  [m]
 * @throws RangeError  when the radius is not above 0
 * @source  gives all rows of Fetter's table 6.1 (its first two pore radii stand ten times too large on the page read)
 * @example poreRise(1e-4); // => 0.15
 */
export function poreRise(poreRadius: number): number {
  if (!(poreRadius > 0)) throw new RangeError(`poreRadius: expected above 0 m, got ${poreRadius}`);
  return 15e-6 / poreRadius;
}

/**
 * What is left of a pit's sideways wicking at a distance from its wet side, as a share:
 *
 *   exp(-alpha* x/2)
 *
 * the leading term of steady seepage from a line at the line's own level. alpha* is the sorptive number: 36 per metre in coarse
 * sand, 12 in most structured soils, 4 in fine ones without structure, 1 in compacted clay. So it is a hundredth at 0.26 m
 * in coarse sand, 0.8 m, 2.3 m, and 9 m in the clay: an order of size, to be held against the mound's own rise.
 *
 * @param distance        x, 0 or more [m]
 * @param sorptiveNumber  alpha*, above 0 [1/m]
 * @throws RangeError  when either is out of range
 * @source  quasi-linear flow, Philip 1968, from memory: exp(alpha* z/2) K0(alpha* r/2), derived from it for z = 0
 * @example wickingShare(0.5, 12); // => 0.0498
 */
export function wickingShare(distance: number, sorptiveNumber: number): number {
  if (!(distance >= 0)) throw new RangeError(`distance: expected 0 m or more, got ${distance}`);
  if (!(sorptiveNumber > 0)) throw new RangeError(`sorptiveNumber: expected above 0 1/m, got ${sorptiveNumber}`);
  return Math.exp((-sorptiveNumber * distance) / 2);
}

// sediment, lowest and highest published rise in mm
const ROWS = [
  ["fine gravel", 15, 15],
  ["very coarse sand", 40, 40],
  ["coarse sand", 125, 150],
  ["medium sand", 250, 250],
  ["fine sand", 400, 500],
  ["very fine sand", 1000, 1000],
  ["silt", 1000, 1000],
  ["coarse silt", 3000, 3000],
  ["fine silt", 7500, 7500],
] as const;
