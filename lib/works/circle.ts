import { arcCosine, arcSine } from "../numerics/powers.ts";

/**
 * Wetted area of a circle of diameter D filled to depth y, a circular segment:
 *
 *   A = R^2 acos((R - y)/R) - (R - y) sqrt(y (D - y)),   R = D/2
 *
 * @param diameter  [m], 0 or more
 * @param depth     [m]; 0 or less is empty, D or more is full
 * @returns         [m2]
 * @source          plane geometry; tabulated in Chow, Open-Channel Hydraulics, 1959, app. A
 * @example segmentArea(1, 0.25); // => 0.153546
 */
export function segmentArea(diameter: number, depth: number): number {
  if (depth <= 0) return 0;
  if (depth >= diameter) return (Math.PI / 4) * diameter * diameter;
  const radius = diameter / 2;
  const down = radius - depth;
  return radius * radius * halfAngle(diameter, depth) - down * Math.sqrt(depth * (diameter - depth));
}

/**
 * Width of the water surface in a circle filled to depth y, dA/dy = 2 sqrt(y (D - y)) [m].
 *
 * @example segmentWidth(1, 0.5); // => 1
 */
export function segmentWidth(diameter: number, depth: number): number {
  return depth <= 0 || depth >= diameter ? 0 : 2 * Math.sqrt(depth * (diameter - depth));
}

/**
 * Integral of the segment's area over depth from 0 to y [m3]: the first moment of the segment about its surface,
 *
 *   R^3 (sin a - sin^3 a / 3 - a cos a),   a = acos((R - y)/R)
 *
 * @source  integrated here
 * @example segmentAreaIntegral(1, 1); // => 0.392699
 */
export function segmentAreaIntegral(diameter: number, depth: number): number {
  if (depth <= 0) return 0;
  const radius = diameter / 2;
  if (depth >= diameter) return Math.PI * radius * radius * (depth - radius);
  const cube = radius * radius * radius;
  const angle = halfAngle(diameter, depth);
  if (angle < 0.05) {
    // the three terms cancel to the fifth order: their series instead
    const square = angle * angle;
    return cube * square * square * angle * (2 / 15 - square * (11 / 315 - (17 / 3780) * square));
  }
  const sine = Math.sqrt(depth * (diameter - depth)) / radius;
  return cube * (sine - (sine * sine * sine) / 3 - (angle * (radius - depth)) / radius);
}

/** Half the angle under which the water surface is seen from the centre; acos loses its digits near bottom and top. */
function halfAngle(diameter: number, depth: number): number {
  const share = depth / diameter;
  if (share < 0.25) return 2 * arcSine(Math.sqrt(share));
  if (share > 0.75) return Math.PI - 2 * arcSine(Math.sqrt((diameter - depth) / diameter));
  return arcCosine(1 - 2 * share);
}
