import { greatestOf, leastOf } from "../numerics/extremes.ts";
import type { PlanPoint, PlanShape } from "../plane/planShape.ts";
import type { Site } from "../site/site.ts";
import { allHoles } from "../site/testHoles.ts";
import { lotOf } from "../site/surroundings.ts";
import { worksShapes } from "../plan/worksShapes.ts";
import type { Spot } from "./placeAround.ts";

/** The part of the plan that is drawn, and its scale: east and north have the same. */
export interface PlanFrame {
  /** of the drawing, the strip under it not counted [px] */
  readonly width: number;
  readonly height: number;
  /** pixels a metre */
  readonly scale: number;
  /** the south-west corner of the drawing */
  readonly corner: PlanPoint;
  /** a point of the plan in [px] from that corner */
  readonly spot: (point: PlanPoint) => Spot;
}

/**
 * The frame round a lot with its works, or round all that is on the plan where it has no boundary; what lies a little outside is
 * taken in, what lies far off is not.
 *
 * @param width  of the drawing [px]
 * @param most   its height at most [px]
 */
export function planFrame(site: Site, width: number, most: number): PlanFrame {
  const works = worksShapes(site)!;
  const { features } = site.surroundings!;
  const holes = allHoles(site.soil).flatMap(({ at }) => (at === null ? [] : [at]));
  const around = [...features.flatMap(({ shape }) => (shape === null ? [] : [...shape.points])), ...holes];
  const lot = lotOf(site.surroundings!)?.points ?? around;
  const base = boundsOf([...lot, ...worksPoints(works.pit, works.trench?.line ?? null, works.boxes, works.emitter)]);
  const near = NEAR * Math.max(base.east - base.west, base.north - base.south);
  const taken = boundsOf([
    [base.west, base.south], [base.east, base.north],
    ...around.map(([x, y]): PlanPoint => [
      Math.max(base.west - near, Math.min(base.east + near, x)), Math.max(base.south - near, Math.min(base.north + near, y)),
    ]),
  ]);
  const [across, up] = [taken.east - taken.west, taken.north - taken.south];
  const scale = Math.min((width - 2 * AIR) / across, (most - 2 * AIR) / up);
  const height = up * scale + 2 * AIR;
  const corner: PlanPoint = [(taken.west + taken.east) / 2 - width / 2 / scale, taken.south - AIR / scale];
  return { width, height, scale, corner, spot: ([x, y]) => [(x - corner[0]) * scale, (y - corner[1]) * scale] };
}

/** of the lot's longer side: as much is shown around it where something lies there */
const NEAR = 0.1;
// Round what is shown [px].
const AIR = 14;

function worksPoints(
  pit: PlanShape, trench: PlanShape | null, boxes: readonly PlanShape[], emitter: PlanPoint | null,
): PlanPoint[] {
  return [...pit.points, ...trench?.points ?? [], ...boxes.flatMap(({ points }) => points), ...(emitter === null ? [] : [emitter])];
}

function boundsOf(points: readonly PlanPoint[]): { west: number; east: number; south: number; north: number } {
  const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
  return { west: leastOf(xs), east: greatestOf(xs), south: leastOf(ys), north: greatestOf(ys) };
}
