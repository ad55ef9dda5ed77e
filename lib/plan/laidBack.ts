import type { Hole } from "./hole.ts";

/** A hole whose four walls are laid back from its floor up. */
export interface LaidBackHole {
  /** run over rise of its walls: 0 upright, 1 for 1:1 */
  readonly slope: number;
  /** length and width at the ground [m] */
  readonly topLength: number;
  readonly topWidth: number;
  /** how far its edge moves out where it is deepest [m] */
  readonly reach: number;
  /** to dig, each hole by itself: where two run into one another it is counted twice [m3] */
  readonly volume: number;
}

/**
 * A hole with walls laid back at a slope, its floor as long and as wide as with upright ones. Of a hole from depth d1 to d2:
 *
 *   V = L [W (d1 + d2)/2 + s (d1^2 + d1 d2 + d2^2)/3] + sum over both ends of [W s d^2/2 + 2/3 s^2 d^3]
 *
 * @param slope  run over rise, 0 or more
 * @source   prismoids, derived; for d1 = d2 it is L W d + s (L + W) d^2 + 4/3 s^2 d^3, any text on earthworks
 * @example  laidBack({ length: 4, width: 2, depths: [1, 1], volume: 8 }, 1).volume.toFixed(3); // => "15.333"
 */
export function laidBack(hole: Pick<Hole, "length" | "width" | "depths" | "volume">, slope: number): LaidBackHole {
  const { length, width, depths: [first, last] } = hole;
  const end = (depth: number): number => (width * slope * depth ** 2) / 2 + (2 / 3) * slope ** 2 * depth ** 3;
  const sides = (length * slope * (first ** 2 + first * last + last ** 2)) / 3;
  const deepest = Math.max(first, last);
  return {
    slope, topLength: length + slope * (first + last), topWidth: width + 2 * slope * deepest, reach: slope * deepest,
    volume: hole.volume + sides + end(first) + end(last),
  };
}
