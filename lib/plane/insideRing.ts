import type { PlanPoint } from "./planShape.ts";

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
