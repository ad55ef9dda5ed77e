import { seriesLevel } from "../ground/seriesLevel.ts";
import type { Site } from "../site/site.ts";
import { networkOf } from "./assemble.ts";
import { fillLevel, freeVolume, startVolumeOf } from "./freeVolume.ts";
import { withKernel } from "./kernel.ts";
import { LAW } from "./network.ts";
import { depthThatFills, servedCatchments } from "./servedRunoff.ts";

/** What fills the works to where water comes out, and what the soil keeps up with. */
export interface RainToFill {
  /** where water comes out: the emitter's opening level, without one the lowest of grounds, grate and rims [m] */
  readonly level: number;
  /** room up to there when a run starts [m3] */
  readonly freeVolume: number;
  /** depth of rain that fills it, nothing soaking away meanwhile [m]; null where no catchment drains to boxes or pit */
  readonly rain: number | null;
}

/**
 * The rain that fills the works before water comes out, without the soil's help:
 *
 *   P = sum over boxes, pit and trench of max(0, V(z) - V(start)) / sum of C A
 *
 * over the catchments that reach a box or the pit; initial losses, and what curve numbers keep, are added.
 */
export function rainToFill(site: Site): RainToFill {
  const free = freeVolume(site, startVolumeOf);
  return { level: fillLevel(site), freeVolume: free, rain: depthThatFills(site, free) };
}

/**
 * The steady rain whose runoff the soil around pit and trench carries away while both stand at the fill level [m/s]:
 *
 *   i = Q_soil(z) / sum of C A
 *
 * Soil only, with the site's groundwater as at the start and no mound. In rain without end ground with a curve number sheds
 * all of it, and Green-Ampt ground all but its conductivity.
 *
 * @returns  null if no depth does it: groundwater comes in at that level, or no catchment drains to boxes or pit
 */
export function breakEvenRain(site: Site): number | null {
  const soil = soilIntake(site, fillLevel(site));
  // A i for each catchment, from its own threshold on
  const ramps = servedCatchments(site)
    .map(({ area, loss }) => ({
      area: loss.kind === "runoffCoefficient" ? loss.runoffCoefficient * area : area,
      from: loss.kind === "greenAmpt" ? loss.hydraulicConductivity : 0,
    }))
    .filter(({ area }) => area > 0)
    .sort((a, b) => a.from - b.from);
  if (soil < 0 || ramps.length === 0) return null;
  let [area, taken] = [0, 0];
  for (const [n, ramp] of ramps.entries()) {
    area += ramp.area;
    taken += ramp.area * ramp.from;
    const intensity = (soil + taken) / area;
    if (n + 1 === ramps.length || intensity <= ramps[n + 1]!.from) return Math.max(ramp.from, intensity);
  }
  return null;
}

/** What the soil around pit and trench takes with the water in all of them at one level [m3/s]; negative: it gives. */
function soilIntake(site: Site, level: number): number {
  const network = networkOf(site);
  return withKernel((kernel) => {
    kernel.load({ network, blocked: NOTHING_BLOCKED, mound: null });
    return network.passages.reduce((sum, { law, from }, p) => (
      law === LAW.seepage ? sum + kernel.flowOf(p, level, seriesLevel(network.bodies[from]!.groundwater, 0)) : sum
    ), 0);
  });
}

const NOTHING_BLOCKED: ReadonlySet<number> = new Set();
