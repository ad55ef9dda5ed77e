import { displayUnits } from "../units/format.ts";
import type { Run } from "../simulate/run.ts";
import { bodyViews } from "./bodyViews.ts";
import { levelLabelsWidth } from "./levelLabels.ts";
import { referenceLevels, type ReferenceLevel } from "./referenceLevels.ts";

/** The plotting area of the pictures of a run, and the levels that decide it. */
export interface PlotEdges {
  /** margins [px], the same in every picture with a time axis, so that their hours stand in line */
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  readonly plotWidth: number;
  /** still levels that are named, from the highest down */
  readonly references: readonly ReferenceLevel[];
  /** lowest and highest level shown [m] */
  readonly range: { readonly low: number; readonly high: number };
}

/** @param width  the picture is drawn for [px]; a narrow one names the most important levels only */
export function plotEdges(run: Run, width: number): PlotEdges {
  const narrow = width < NARROW;
  const references = referenceLevels(run.site).filter(({ major }) => major || !narrow);
  const range = levelRange(run, references);
  const left = narrow ? 36 : 46;
  const right = levelLabelsWidth(references, { ...range, unit: displayUnits(run.site.units).level.size }, width);
  return { left, right, bottom: 44, plotWidth: width - left - right, references, range };
}

/** Pictures narrower than this have smaller letters and fewer words [px]. */
export const NARROW: number = 560;

/**
 * The levels a panel shows: all water and every still level, with a little air; a groundwater far under the works would
 * squeeze the rest and is left to a note at the edge.
 */
function levelRange(run: Run, references: readonly ReferenceLevel[]): { low: number; high: number } {
  const works = references.filter(({ words }) => words !== "groundwater").map(({ level }) => level);
  const water = bodyViews(run.site, run.bodies).flatMap(({ body, floor }) => [run.peaks[body]!.level, Math.max(floor, run.level(body, 0))]);
  let low = Math.min(...works, ...water);
  const high = Math.max(...works, ...water);
  const near = low - 0.3 * (high - low);
  for (const level of run.site.groundwater.level?.level ?? []) if (level > near) low = Math.min(low, level);
  const air = 0.04 * (high - low);
  return { low: low - air, high: high + air };
}
