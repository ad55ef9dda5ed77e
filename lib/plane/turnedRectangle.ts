import type { PlanPoint, PlanShape } from "./planShape.ts";

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
