import type { Site } from "../site/site.ts";
import type { AnswerName } from "./answerRow.ts";

/** How far a storm brings a site, in the order of a growing storm. */
export const STATES = ["dry", "filling", "trench running", "emitter firing", "out at the surface"] as const;

export type ReachedState = (typeof STATES)[number];

/**
 * The farthest state that a run comes to, from its answers.
 *
 * @param start  level of the pit before the rain [m]
 */
export function siteState(answers: Readonly<Record<AnswerName, number>>, site: Site, start: number): ReachedState {
  if (answers.spilled > NOTHING) return "out at the surface";
  if (answers.openTime > 0) return "emitter firing";
  if (site.overflowTrench !== null && answers.pitPeak > site.overflowTrench.inlet.crest) return "trench running";
  return answers.pitPeak - start > WET ? "filling" : "dry";
}

/** Less than a tenth of a litre is no water [m3], and less than 10 mm of it no level [m]. */
const NOTHING = 1e-4;
const WET = 0.01;
