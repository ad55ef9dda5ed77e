import type { PlanPoint, PlanShape } from "./planShape.ts";

/**
 * A line with a width as areas: a rectangle for each of its sides, square at both ends. At a bend a wedge stays open on the outer side,
 * within half the width of the bend.
 *
 * @param points     two or more [m]
 * @param halfWidth  to either side of the line, more than 0 [m]
 * @example ribbon([[0, 0], [4, 0]], 1)[0].points; // => [[0, -1], [4, -1], [4, 1], [0, 1]]
 */
export function ribbon(points: readonly PlanPoint[], halfWidth: number): PlanShape[] {
  return points.slice(1).flatMap(([x, y], i): PlanShape[] => {
    const [px, py] = points[i]!;
    const long = Math.hypot(x - px, y - py);
    if (long === 0) return [];
    const [dx, dy] = [(-(y - py) / long) * halfWidth, ((x - px) / long) * halfWidth];
    return [{ points: [[px - dx, py - dy], [x - dx, y - dy], [x + dx, y + dy], [px + dx, py + dy]], closed: true }];
  });
}
