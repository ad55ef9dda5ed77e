import type { PlanRaster } from "../plan/planRaster.ts";
import type { PlanPoint } from "../plane/planShape.ts";

/**
 * The outlines of a raster's filled cells as closed rings: what is filled lies to the left of each, so that the ring round a
 * hole runs the other way and stays a hole when both are filled as one path.
 */
export function rasterOutline(raster: PlanRaster): PlanPoint[][] {
  const next = edgesFrom(raster);
  const rings: PlanPoint[][] = [];
  for (const start of next.keys()) {
    while (next.get(start)!.length > 0) rings.push(ringFrom(start, next, raster));
  }
  return rings;
}

/** Each side between a filled cell and one that is not, by the grid corner it begins at. */
function edgesFrom({ columns, rows, filled }: PlanRaster): Map<number, number[]> {
  const across = columns + 1;
  const next = new Map<number, number[]>();
  const isFilled = (column: number, row: number): boolean =>
    column >= 0 && column < columns && row >= 0 && row < rows && filled[row * columns + column] === 1;
  const add = (from: number, to: number): void => {
    next.set(from, [...next.get(from) ?? [], to]);
  };
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      if (!isFilled(column, row)) continue;
      const corner = row * across + column;
      if (!isFilled(column, row - 1)) add(corner, corner + 1);
      if (!isFilled(column + 1, row)) add(corner + 1, corner + 1 + across);
      if (!isFilled(column, row + 1)) add(corner + 1 + across, corner + across);
      if (!isFilled(column - 1, row)) add(corner + across, corner);
    }
  }
  return next;
}

/** Follows sides from a corner back to it, keeping only the corners at which they turn. */
function ringFrom(start: number, next: Map<number, number[]>, { corner, step, columns }: PlanRaster): PlanPoint[] {
  const across = columns + 1;
  const corners: number[] = [];
  let at = start;
  let heading = 0;
  do {
    const to = next.get(at)!.pop()!;
    if (to - at !== heading) corners.push(at);
    heading = to - at;
    at = to;
  } while (at !== start);
  return corners.map((each): PlanPoint => [corner[0] + (each % across) * step, corner[1] + Math.floor(each / across) * step]);
}
