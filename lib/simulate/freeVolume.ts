import { seriesLevel } from "../ground/seriesLevel.ts";
import type { Site } from "../site/site.ts";
import { networkOf } from "./assemble.ts";
import { exits } from "./exits.ts";
import type { Body } from "./network.ts";

/**
 * The level up to which room is counted: the emitter's opening level, though water may come out lower down before; without an emitter
 * the lowest of the grounds, the grate and the rims [m].
 */
export function fillLevel(site: Site): number {
  return site.emitter?.opensAt ?? lowestWayOut(site);
}

/** The lowest level at which water comes out of the works: of emitter, grounds, grate and rims [m]. */
export function lowestWayOut(site: Site): number {
  return exits(site).find(({ kind }) => kind !== "watchLevel" && kind !== "lowSpotLip")!.level;
}

/** Whether the water table stands so high at pit and trench when a run begins that without rain it fills them to where water comes out. */
export function filledByGroundwater(site: Site): boolean {
  return tableReaches(site, lowestWayOut(site), 0);
}

/**
 * Whether the water tables at pit and trench both stand at a level at a time [s] or over it. Where one of them does not, what comes in
 * at the one runs over to the other and soaks away there: only a run tells how high it stands.
 */
export function tableReaches(site: Site, level: number, time: number): boolean {
  return networkOf(site).bodies.every(({ kind, groundwater }) => (kind !== "bank" && kind !== "trench") || seriesLevel(groundwater, time) >= level);
}

/** The bodies that store water for a storm: boxes, pit, trench and its pipe; the low spot is on the surface. */
export function storingBodies(site: Site): Body[] {
  return networkOf(site).bodies.filter(({ kind }) => kind !== "lowSpot");
}

/** Volume a body holds where a run starts [m3]. */
export function startVolumeOf(body: Body): number {
  return body.volume(body.start(seriesLevel(body.groundwater, 0)));
}

/**
 * Room that is left in the works up to their fill level z, when each body holds what it does [m3]:
 *
 *   sum over bodies of max(0, V(z) - V)
 *
 * @param held  volume in a body [m3]
 */
export function freeVolume(site: Site, held: (body: Body) => number): number {
  const z = fillLevel(site);
  return storingBodies(site).reduce((sum, body) => sum + Math.max(0, body.volume(Math.max(z, body.storage.floor)) - held(body)), 0);
}
