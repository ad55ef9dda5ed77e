import { insideRing } from "./insideRing.ts";
import { sidesOf, type PlanPoint, type PlanShape, type PlanSide } from "./planShape.ts";
import { sidesCross } from "./sidesCross.ts";

/** The shortest way between two shapes: its length [m] and its two ends; one and the same point where they meet. */
export interface ShapeGap {
  readonly distance: number;
  readonly from: PlanPoint;
  readonly to: PlanPoint;
}

/**
 * The shortest way between two shapes of a plan, exact for points, lines and areas: 0 where they meet or one lies in the
 * other. Two sides that do not cross are nearest at an end of one of them.
 *
 * @example shapeDistance({ points: [[0, 0]], closed: false }, { points: [[3, -1], [3, 9]], closed: false }).distance; // => 3
 */
export function shapeDistance(a: PlanShape, b: PlanShape): ShapeGap {
  const inner = insideOf(a, b) ?? insideOf(b, a);
  if (inner !== null) return { distance: 0, from: inner, to: inner };
  let nearest: ShapeGap = { distance: Infinity, from: a.points[0]!, to: b.points[0]! };
  const others = sidesOf(b);
  for (const side of sidesOf(a)) {
    for (const other of others) {
      const gap = sideGap(side, other);
      if (gap.distance < nearest.distance) nearest = gap;
    }
  }
  return nearest;
}

/** A point of `shape` that lies in the area of `other`: any one tells, for sides that leave the area cross its edge. */
function insideOf({ points }: PlanShape, other: PlanShape): PlanPoint | null {
  return other.closed && insideRing(points[0]!, other.points) ? points[0]! : null;
}

function sideGap(side: PlanSide, other: PlanSide): ShapeGap {
  if (sidesCross(side, other)) {
    const at = crossing(side, other);
    return { distance: 0, from: at, to: at };
  }
  const gaps = [
    ...other.map((end): ShapeGap => pointGap(end, side)),
    ...side.map((end): ShapeGap => {
      const { distance, from, to } = pointGap(end, other);
      return { distance, from: to, to: from };
    }),
  ];
  return gaps.reduce((near, gap) => (gap.distance < near.distance ? gap : near));
}

/** From the foot of a point on a side to the point. */
function pointGap(point: PlanPoint, [a, b]: PlanSide): ShapeGap {
  const [along, up] = [b[0] - a[0], b[1] - a[1]];
  const square = along * along + up * up;
  const share = square === 0 ? 0 : ((point[0] - a[0]) * along + (point[1] - a[1]) * up) / square;
  const held = Math.max(0, Math.min(1, share));
  const foot: PlanPoint = [a[0] + held * along, a[1] + held * up];
  return { distance: Math.hypot(point[0] - foot[0], point[1] - foot[1]), from: foot, to: point };
}

function crossing([a, b]: PlanSide, [c, d]: PlanSide): PlanPoint {
  const [ux, uy, vx, vy] = [b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]];
  const share = ((c[0] - a[0]) * vy - (c[1] - a[1]) * vx) / (ux * vy - uy * vx);
  return [a[0] + share * ux, a[1] + share * uy];
}
