import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { displayUnits } from "../text/format.ts";
import type { Run } from "../simulate/run.ts";
import type { Site } from "../site/site.ts";
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
  const references = namedLevels(run.site, width);
  const range = levelRange(run, references);
  const left = narrow ? 36 : 46;
  const unit = displayUnits(run.site.units).level.size;
  // Peaks of flows stand there too, in pictures that have no levels.
  const right = Math.max(levelLabelsWidth(references, { ...range, unit }, width), narrow ? 114 : 124);
  return { left, right, bottom: 44, plotWidth: width - left - right, references, range };
}

/** The still levels that a picture names; a narrow one the most important only. */
export function namedLevels(site: Site, width: number): readonly ReferenceLevel[] {
  return referenceLevels(site).filter(({ major }) => major || width >= NARROW);
}

/** Pictures narrower than this have smaller letters and fewer words [px]. */
export const NARROW: number = 560;

/**
 * The levels a panel shows: the works and all water in them, and what lies near. A groundwater far under the works or a
 * floor slab far over them would squeeze the rest and is left to a note at the edge.
 */
function levelRange(run: Run, references: readonly ReferenceLevel[]): { low: number; high: number } {
  const works = references.filter(({ around }) => !around).map(({ level }) => level);
  const water = bodyViews(run)
    .flatMap(({ body, floor }) => [run.peaks[body]!.level, Math.max(floor, run.level(body, 0))]);
  const all = [...works, ...water];
  const near = NEAR * (greatestOf(all) - leastOf(all));
  const [lowest, highest] = [leastOf(all) - near, greatestOf(all) + near];
  const around = references.filter((reference) => reference.around).map(({ level }) => level);
  const moving = run.site.chamberBank.groundwater?.level ?? [];
  const shown = [...all, ...[...around, ...moving].filter((level) => level > lowest && level < highest)];
  const [low, high] = [leastOf(shown), greatestOf(shown)];
  const air = 0.04 * (high - low);
  return { low: low - air, high: high + air };
}

/** Of the works' height: what lies no farther above or below is shown on the panel. */
const NEAR = 0.25;
