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

/**
 * Whether a point lies inside a ring of points: a line from it to the east crosses the ring an odd number of times. On the
 * ring itself it may say either, so that who must know measures the distance too.
 *
 * @param ring  in either sense, its last point joined to its first
 * @source  the even-odd rule, textbook
 * @example insideRing([1, 1], [[0, 0], [4, 0], [0, 4]]); // => true
 */
export function insideRing([x, y]: PlanPoint, ring: readonly PlanPoint[]): boolean {
  let inside = false;
  let before = ring.at(-1)!;
  for (const point of ring) {
    // Half open in height, so that a corner counts for one of its two sides only.
    if (point[1] > y !== before[1] > y && x < point[0] + ((y - point[1]) / (before[1] - point[1])) * (before[0] - point[0])) {
      inside = !inside;
    }
    before = point;
  }
  return inside;
}

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

/**
 * A rectangle on the plan, turned about its middle.
 *
 * @param at             its middle
 * @param length         of its long side, along the direction [m]
 * @param width          [m]
 * @param turnedDegrees  direction of its length, counted from east to north
 * @example turnedRectangle([0, 0], 4, 2, 90).points[0]; // => [1, -2]
 */
export function turnedRectangle(at: PlanPoint, length: number, width: number, turnedDegrees: number): PlanShape {
  const angle = (turnedDegrees * Math.PI) / 180;
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const corner = (along: number, across: number): PlanPoint => [at[0] + along * cos - across * sin, at[1] + along * sin + across * cos];
  const [l, w] = [length / 2, width / 2];
  return { points: [corner(-l, -w), corner(l, -w), corner(l, w), corner(-l, w)], closed: true };
}
