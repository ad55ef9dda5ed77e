import { greatestOf, leastOf } from "../numerics/extremes.ts";
import type { Site } from "../site/site.ts";
import { networkOf } from "./assemble.ts";
import type { Load } from "./bodyInflows.ts";
import { exits } from "./exits.ts";
import { tableReaches } from "./freeVolume.ts";
import { seriesLevel } from "../ground/seriesLevel.ts";
import type { Run } from "./run.ts";
import type { SimulateOptions } from "./runOptions.ts";
import { simulate } from "./simulate.ts";

/** how long works settle in a water table that runs out of them [s] */
const A_DAY = 86_400;

/**
 * How long the works of a site settle before a run of a report or a study [s]: a day where the water table stands above the lowest
 * opening when the run begins, else 0. A day without rain then comes first, so that groundwater on its way out is not taken for the
 * storm's water.
 */
export function settleTime(site: Site): number {
  const openings = exits(site).filter(({ kind }) => kind !== "watchLevel" && kind !== "lowSpotLip").map(({ level }) => level);
  const table = networkOf(site).bodies.map(({ groundwater }) => seriesLevel(groundwater, 0));
  return greatestOf(table) > leastOf(openings) ? A_DAY : 0;
}

/** `simulate` as every report and study runs it: settled for as long as `settleTime` says, unless the options say otherwise. */
export function settledRun(site: Site, load: Load, options: SimulateOptions = {}): Run {
  return simulate(site, load, { settle: settleTime(site), ...options });
}

/**
 * Whether groundwater lifts the emitter's lid without any rain: it stands at the opening level or over it at pit and trench when the run
 * begins, so that the lid stands open, or opens again and again as the works fill.
 */
export function opensByGroundwater(site: Site): boolean {
  const emitter = exits(site).find(({ kind }) => kind === "emitter");
  return emitter !== undefined && tableReaches(site, emitter.level, 0);
}
