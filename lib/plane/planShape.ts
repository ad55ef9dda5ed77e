/** A point of the plan: east and north of the plan's own origin [m]. */
export type PlanPoint = readonly [east: number, north: number];

/**
 * A shape on the plan: one point, a line through several, or (closed) the area that a ring of points encloses, its last
 * point joined to its first.
 */
export interface PlanShape {
  readonly points: readonly PlanPoint[];
  readonly closed: boolean;
}

/** A straight side of a shape; a single point is a side of no length. */
export type PlanSide = readonly [from: PlanPoint, to: PlanPoint];

/** The sides of a shape, in the order of its points. */
export function sidesOf({ points, closed }: PlanShape): PlanSide[] {
  if (points.length === 1) return [[points[0]!, points[0]!]];
  const sides = points.slice(1).map((point, i): PlanSide => [points[i]!, point]);
  return closed ? [...sides, [points.at(-1)!, points[0]!]] : sides;
}

/** The edge of an area as a line that comes back to where it began: the lot's boundary, which has an inside one may stand in. */
export function edgeOf({ points }: PlanShape): PlanShape {
  return { points: [...points, points[0]!], closed: false };
}

/**
 * Area that a ring of points encloses, whichever way round it is given: half the sum of cross products (the surveyor's rule).
 *
 * @returns  [m2]
 * @example ringArea([[0, 0], [4, 0], [4, 3]]); // => 6
 */
export function ringArea(points: readonly PlanPoint[]): number {
  const twice = points.reduce((sum, [x, y], i) => {
    const [nextX, nextY] = points[(i + 1) % points.length]!;
    return sum + (x * nextY - nextX * y);
  }, 0);
  return Math.abs(twice) / 2;
}
