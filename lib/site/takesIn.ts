import { conductivityAt, conductivityBetween, soilProfile } from "../ground/soilProfile.ts";
import type { Site } from "./site.ts";

type Ground = Pick<Site, "soil" | "chamberBank" | "overflowTrench">;

/** Whether the pit's floor takes in water as the file has it: neither left out nor sealed, nor on soil that takes in none. */
export function pitFloorTakes({ soil, chamberBank: { floor, openFloorShare } }: Ground): boolean {
  return soil.floor && openFloorShare > 0 && conductivityAt(soilProfile(soil.layers, 1), floor) > 0;
}

/** Whether the pit's or the trench's floor does. */
export function floorsTake(site: Ground): boolean {
  const { soil, overflowTrench: trench } = site;
  if (pitFloorTakes(site)) return true;
  if (trench === null || !soil.floor || trench.openFloorShare === 0) return false;
  const profile = soilProfile(soil.layers, 1);
  return conductivityAt(profile, trench.lowFloor) > 0 || conductivityBetween(profile, trench.lowFloor, trench.floor) > 0;
}

/** Whether the sides of pit or trench do. */
export function sidesTake({ soil, chamberBank: { floor, stoneTop }, overflowTrench: trench }: Ground): boolean {
  if (!soil.sides) return false;
  const profile = soilProfile(soil.layers, 1);
  return conductivityBetween(profile, floor, stoneTop) > 0
    || (trench !== null && conductivityBetween(profile, trench.lowFloor, Math.max(trench.stoneTop.high, trench.stoneTop.low)) > 0);
}
