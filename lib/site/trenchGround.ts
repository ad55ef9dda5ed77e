import { isBelow } from "./judge.ts";
import type { OverflowTrench, Site, TrenchGround } from "./site.ts";

/** The lower end of a ground, where water comes up first [m]. */
export function lowerEnd({ high, low }: TrenchGround): number {
  return Math.min(high, low);
}

/** The ground at mid length [m]. */
export function groundAtMiddle({ high, low }: TrenchGround): number {
  return (high + low) / 2;
}

/** From the ground down to the floor at the high end and at the low one [m]. */
export function trenchDepths({ ground, floor, lowFloor }: OverflowTrench): [high: number, low: number] {
  return [ground.high - floor, ground.low - lowFloor];
}

/** Ends of a ground that differ by less than this are one level: differences over it would be round-off [m]. */
const LEVEL_GROUND = 1e-6;

/** Whether a ground is level. */
export function isLevelGround({ high, low }: TrenchGround): boolean {
  return Math.abs(high - low) < LEVEL_GROUND;
}

/** The ground over one of the equal lengths that a trench is cut into, counted from 0 at the high end. */
export function groundOfSegment({ ground: { high, low }, segments }: Pick<OverflowTrench, "ground" | "segments">, segment: number): TrenchGround {
  const at = (end: number): number => high + ((low - high) * end) / segments;
  return { high: at(segment), low: segment + 1 === segments ? low : at(segment + 1) };
}

/**
 * How far water at a level in the trench stands over the low end of a ground that slopes, held by what lies over the trench [m]; 0 where it
 * does not. Nothing flows there; through a cover that lets water through, a wet patch comes up.
 */
export function overLowGround(level: number, trench: Pick<OverflowTrench, "cover" | "ground" | "lowestGround"> | null): number {
  if (trench === null || trench.cover === null || trench.cover.conductivity === 0 || isLevelGround(trench.ground)) return 0;
  const over = level - trench.lowestGround;
  // a millimetre, as the notes of a run have it
  return over > 1e-3 ? over : 0;
}

/** A lid within this of the turf is flush with it: a pop-up lid stands an inch or so proud, or as much below (common practice) [m]. */
const FLUSH = 0.05;

/**
 * How far the lid stands over the ground at the trench's low end, negative under it, and 0 where it is flush with it. Also 0 beside a
 * low spot: there it stands lower than the ground over the trench, and the file does not say how low [m].
 */
export function lidOffGround({ emitter, overflowTrench }: Pick<Site, "emitter" | "overflowTrench">): number {
  if (emitter === null || overflowTrench === null || emitter.dischargesTo !== null) return 0;
  const off = emitter.crest - overflowTrench.ground.low;
  return isBelow(FLUSH, Math.abs(off)) ? off : 0;
}
