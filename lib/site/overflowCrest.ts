import { leastOf } from "../numerics/extremes.ts";
import type { Site } from "./site.ts";

/** The crest at which the pit runs over [m]: the inlet of the trench, or without one the lowest of ground, grate and rims. */
export function overflowCrest({ settlingBoxes, chamberBank, overflowTrench, lowSpot }: Site): number {
  if (overflowTrench !== null) return overflowTrench.inlet.crest;
  return leastOf([chamberBank.ground, lowSpot?.grate?.level ?? Infinity, ...settlingBoxes.map(({ rim }) => rim)]);
}
