import type { OverflowTrench } from "./site.ts";

/** The trench's levels at its two ends [m]. */
export interface TrenchLevels {
  /** floor at the end towards the emitter */
  readonly lowFloor: number;
  /** stone top at the high end, where it comes nearest to the level ground */
  readonly highStoneTop: number;
  /** lowest level of what the inlet runs into: the pipe's inside invert where it is a body of its own, else the floor */
  readonly inletFloor: number;
  /** lowest level of what the emitter takes from, by the same rule */
  readonly emitterFloor: number;
}

/** @param trench  a trench whose floor is given at its high end */
export function trenchLevels({ floor, fall, stone, pipe }: OverflowTrench): TrenchLevels {
  const slitPipe = pipe !== null && pipe.openArea !== null ? pipe : null;
  const rise = slitPipe === null ? 0 : slitPipe.bedding + (slitPipe.outsideDiameter - slitPipe.insideDiameter) / 2;
  return {
    lowFloor: floor - fall,
    highStoneTop: floor + stone.depth,
    inletFloor: floor + rise,
    emitterFloor: floor - fall + rise,
  };
}
