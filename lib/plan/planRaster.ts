import { greatestOf, leastOf } from "../numerics/extremes.ts";
import type { PlanPoint } from "../plane/planShape.ts";

/** Square cells over a part of the plan, in rows from the south-west corner on. */
export interface PlanRaster {
  /** the south-west corner of the first cell */
  readonly corner: PlanPoint;
  /** side of a cell [m] */
  readonly step: number;
  readonly columns: number;
  readonly rows: number;
  /** 1 or 0 a cell */
  readonly filled: Uint8Array;
}

/**
 * Empty cells over the bounds of some points.
 *
 * @param given  side of a cell [m]; 1/200 of the longer side where undefined
 * @throws RangeError  for a step that is not more than 0, or makes more than a million cells
 */
export function rasterOver(points: readonly PlanPoint[], given: number | undefined): PlanRaster {
  const [easts, norths] = [points.map(([east]) => east), points.map(([, north]) => north)];
  const [west, south] = [leastOf(easts), leastOf(norths)];
  const [across, up] = [greatestOf(easts) - west, greatestOf(norths) - south];
  const step = given ?? Math.max(across, up) / 200;
  const [columns, rows] = [Math.ceil(across / step), Math.ceil(up / step)];
  if (!(step > 0) || !(columns * rows <= 1e6)) {
    throw new RangeError(`step: expected more than 0 m and no more than a million cells, got ${step} m`);
  }
  return { corner: [west, south], step, columns, rows, filled: new Uint8Array(columns * rows) };
}

/**
 * The same cells, filled where their middle lies under a rectangle about any of some points.
 *
 * @param middles        of the rectangles
 * @param length         [m], along the direction
 * @param turnedDegrees  direction of the length, counted from east to north
 */
export function coveredCells(
  raster: PlanRaster, middles: readonly PlanPoint[], length: number, width: number, turnedDegrees: number,
): PlanRaster {
  const { corner, step, columns, rows } = raster;
  const angle = (turnedDegrees * Math.PI) / 180;
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const reach = (length * Math.abs(sin) + width * Math.abs(cos)) / 2;
  const columnAt = (east: number): number => (east - corner[0]) / step - 0.5;
  // Where a row's covered stretches begin (+1) and where they have ended (-1): their running sum says how many cover a cell.
  const changes = new Int32Array((columns + 1) * rows);
  for (const [east, north] of middles) {
    const first = Math.max(0, Math.ceil((north - reach - corner[1]) / step - 0.5 - ROUND_OFF));
    const last = Math.min(rows - 1, Math.floor((north + reach - corner[1]) / step - 0.5 + ROUND_OFF));
    for (let row = first; row <= last; row++) {
      const y = corner[1] + (row + 0.5) * step - north;
      const [a, b] = [stretch(cos, y * sin, length / 2), stretch(sin, -y * cos, width / 2)];
      const from = Math.max(0, Math.ceil(columnAt(east + Math.max(a.from, b.from)) - ROUND_OFF));
      const to = Math.min(columns - 1, Math.floor(columnAt(east + Math.min(a.to, b.to)) + ROUND_OFF));
      if (from > to) continue;
      changes[row * (columns + 1) + from]! += 1;
      changes[row * (columns + 1) + to + 1]! -= 1;
    }
  }
  const filled = new Uint8Array(columns * rows);
  for (let row = 0; row < rows; row++) {
    let covering = 0;
    for (let column = 0; column < columns; column++) {
      covering += changes[row * (columns + 1) + column]!;
      filled[row * columns + column] = covering > 0 ? 1 : 0;
    }
  }
  return { ...raster, filled };
}

/** of a cell */
const ROUND_OFF = 1e-9;

/** Where |slope x + offset| <= half. */
function stretch(slope: number, offset: number, half: number): { readonly from: number; readonly to: number } {
  if (Math.abs(slope) < 1e-12) return Math.abs(offset) <= half ? { from: -Infinity, to: Infinity } : { from: Infinity, to: -Infinity };
  const [a, b] = [(-half - offset) / slope, (half - offset) / slope];
  return { from: Math.min(a, b), to: Math.max(a, b) };
}
