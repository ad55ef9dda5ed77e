import type { PlanPoint, PlanSide } from "./planShape.ts";

/**
 * Whether two sides cross, each with its ends on either side of the other. Sides that only touch do not.
 *
 * @example sidesCross([[0, 0], [2, 2]], [[0, 2], [2, 0]]); // => true
 */
export function sidesCross([a, b]: PlanSide, [c, d]: PlanSide): boolean {
  return turn(a, b, c) * turn(a, b, d) < 0 && turn(c, d, a) * turn(c, d, b) < 0;
}

/** Above 0 where the way from a over b to c turns left, below 0 where it turns right. */
function turn([ax, ay]: PlanPoint, [bx, by]: PlanPoint, [cx, cy]: PlanPoint): number {
  return Math.sign((bx - ax) * (cy - ay) - (by - ay) * (cx - ax));
}

/** The first two sides of a list that cross, by their places; null where none do. */
export function firstCrossing(sides: readonly PlanSide[]): readonly [number, number] | null {
  for (const [i, side] of sides.entries()) {
    for (let j = i + 1; j < sides.length; j++) if (sidesCross(side, sides[j]!)) return [i, j];
  }
  return null;
}
