import type { Chamber, OverflowTrench } from "./site.ts";

/**
 * Room that the chambers take in the stone, walls and inside together [m3]:
 *
 *   sum of count x pi/4 x Do^2 x height
 */
export function chamberVolume(chambers: readonly Pick<Chamber, "count" | "outsideDiameter" | "height">[]): number {
  return chambers.reduce((sum, { count, outsideDiameter: across, height }) => sum + count * (Math.PI / 4) * (across * across) * height, 0);
}

/** Room that the trench's own pipe takes in the stone [m3]; 0 without one. */
export function trenchPipeVolume({ pipe, length }: Pick<OverflowTrench, "pipe" | "length">): number {
  return pipe === null ? 0 : (Math.PI / 4) * (pipe.outsideDiameter * pipe.outsideDiameter) * length;
}
