import type { OverflowTrench, TrenchGround } from "./site.ts";

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
