import { costOf } from "../plan/cost.ts";
import { digHoles } from "../plan/digHoles.ts";
import { takeOff } from "../plan/takeOff.ts";
import { materialFigures } from "../site/materials.ts";
import type { Site } from "../site/site.ts";
import type { AnswerName } from "./answerRow.ts";
import type { Criterion } from "./criteria.ts";
import type { SizePlan } from "./sizeCases.ts";

/** What a design is judged by. */
export interface Priced {
  /** dug for box, pipes, pit and trench [m3] */
  readonly dug: number;
  /** by the prices of the site, each half-way of its range; null without any */
  readonly cost: number | null;
}

/** The cost of a design, or what is dug where nothing has a price. */
export function priceOf({ cost, dug }: Priced): number {
  return cost ?? dug;
}

/** What is dug and what it costs. */
export function priced({ prices }: SizePlan, site: Site): Priced {
  // without prices the holes are all that is asked, and rolls of fabric need not be cut
  if (prices === null) {
    return { dug: digHoles(site, materialFigures(site).figures).reduce((sum, { volume }) => sum + volume, 0), cost: null };
  }
  const list = takeOff(site);
  return { dug: list.dig.volume, cost: costOf(site, prices, list).middle };
}

/** The answer of a run that a criterion asks for. */
export const ANSWER_OF: Readonly<Record<Criterion["asks"], AnswerName>> = {
  noFiring: "emitterVolume", emitterVolumeAtMost: "emitterVolume", noSpill: "spilled", halfEmptyWithin: "half", emptyWithin: "empty",
  boxHeadroom: "boxHeadroom",
};

/** Less than a tenth of a litre is no water [m3]. */
export const NOTHING: number = 1e-4;

/** NaN meets nothing: it was not reached within the run. */
export function isMet({ asks, limit }: Criterion, reached: number): boolean {
  if (asks === "boxHeadroom") return reached >= limit;
  return reached <= (asks === "noFiring" || asks === "noSpill" ? NOTHING : limit);
}
