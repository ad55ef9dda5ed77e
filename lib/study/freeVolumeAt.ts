import { freeVolume } from "../simulate/freeVolume.ts";
import type { Site } from "../site/site.ts";

/**
 * Room for rain when a storm begins, by the level of the groundwater: what boxes, pit and trench can take up to where water
 * first comes out, less what groundwater has filled already. A lot's low point is wet because this goes to nothing.
 *
 *   sum over bodies of max(0, V(z) - V(start)),   start at the groundwater where that stands above a floor
 *
 * z is the emitter's opening level; without an emitter the lowest of grounds, grate and rims. Every body takes the one level.
 *
 * @param groundwaterLevel  [m]; null where it is far below
 * @returns     [m3], exact for the geometry
 * @throws RangeError  when the level is not a number
 * @source  by definition
 */
export function freeVolumeAt(site: Site, groundwaterLevel: number | null): number {
  if (groundwaterLevel !== null && !Number.isFinite(groundwaterLevel)) {
    throw new RangeError(`groundwaterLevel: expected a number of metres or null, got ${groundwaterLevel}`);
  }
  return freeVolume(site, (body) => body.volume(body.start(groundwaterLevel ?? -Infinity)));
}
