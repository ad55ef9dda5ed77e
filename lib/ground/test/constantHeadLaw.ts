import { arSinh, logarithm, power } from "../../numerics/powers.ts";

/**
 * Conductivity from the steady flow into a hole, all of it laid to the water's own pressure (Glover). With r the radius, H the
 * depth of water and T the distance from its surface down to the water table:
 *
 *   T >= 3 H:       K = Q/(2 pi H^2) [asinh(H/r) - sqrt((r/H)^2 + 1) + r/H]
 *   H <= T < 3 H:   K = Q/(2 pi H^2) ln(H/r)/(1/6 + T/(3 H))
 *
 * @param test  flow [m3/s], radius, depth and waterTable [m]; waterTable at least depth, Infinity where it is far below
 * @returns     [m/s]
 * @source  Glover, in Zangar, Theory and problems of water percolation, US Bureau of Reclamation Engineering Monograph 8, 1953, as
 *          used in USBR 7300; from memory. The second line is set the way round that all but meets the first at T = 3 H.
 * @example gloverConductivity({ flow: 8.3333e-8, radius: 0.03, depth: 0.15, waterTable: Infinity }); // => 8.798e-7
 */
export function gloverConductivity({ flow, radius, depth, waterTable }: {
  readonly flow: number; readonly radius: number; readonly depth: number; readonly waterTable: number;
}): number {
  const share = radius / depth;
  const shape = waterTable >= 3 * depth
    ? arSinh(1 / share) - Math.sqrt(share * share + 1) + share
    : logarithm(1 / share) / (1 / 6 + waterTable / (3 * depth));
  return (flow * shape) / (2 * Math.PI * depth * depth);
}

/**
 * Conductivity from the steady flow into a hole, with what the suction of unsaturated soil draws taken off (Reynolds and
 * Elrick). With a the radius, H the depth of water and alpha* the sorptive number:
 *
 *   K = C Q/(2 pi H^2 + C pi a^2 + 2 pi H/alpha*)
 *   C = ((H/a)/(p + q H/a))^s
 *
 * with p, q, s fitted for alpha* 12 and more, 4, and 1 per metre; in between the nearest by ratio is taken.
 *
 * @param test  flow [m3/s], radius and depth [m], sorptiveNumber [1/m]
 * @returns     [m/s]
 * @source  Reynolds & Elrick, Soil Science 140, 1985; C by the fits of Zhang et al. 1998; from memory
 * @example elrickConductivity({ flow: 8.3333e-8, radius: 0.03, depth: 0.15, sorptiveNumber: 12 }); // => 6.184e-7
 */
export function elrickConductivity({ flow, radius, depth, sorptiveNumber }: {
  readonly flow: number; readonly radius: number; readonly depth: number; readonly sorptiveNumber: number;
}): number {
  const slenderness = depth / radius;
  const { p, q, s } = SHAPES.find(({ from }) => sorptiveNumber >= from)!;
  const shape = power(slenderness / (p + q * slenderness), s);
  return (shape * flow) / (2 * Math.PI * depth * depth + shape * Math.PI * radius * radius + (2 * Math.PI * depth) / sorptiveNumber);
}

/** Borders [1/m] are the geometric means of the alpha* the fits are for. */
const SHAPES = [
  { from: Math.sqrt(12 * 4), p: 2.074, q: 0.093, s: 0.754 },
  { from: Math.sqrt(4 * 1), p: 1.992, q: 0.091, s: 0.683 },
  { from: 0, p: 2.081, q: 0.121, s: 0.672 },
] as const;
