import { greatestOf } from "../numerics/extremes.ts";
import { quantity } from "../text/quantity.ts";
import { gapTo } from "./holeDistances.ts";
import { edgeOf, insideRing, type PlanPoint, type PlanShape, ringArea, shapeDistance, turnedRectangle } from "../plane/planShape.ts";
import { coveredCells, rasterOver, type PlanRaster } from "./planRaster.ts";
import type { Site } from "../site/site.ts";
import { siteRules, speaksOf } from "./siting.ts";
import { lotOf, type Feature, type SetbackRule } from "../site/surroundings.ts";

/** What is left of a lot for a pit of a size and direction that keeps every distance asked. */
export interface RoomLeft {
  /** the pit asked for [m] */
  readonly length: number;
  readonly width: number;
  readonly turnedDegrees: number;
  /** side of the raster's cells [m]: areas are sums of cells, and a place narrower than that may be missed */
  readonly step: number;
  /** of the lot [m2] */
  readonly lotArea: number;
  /** of the ground that some such pit can cover [m2], and its share of the lot */
  readonly area: number;
  readonly share: number;
  /** the same as cells, in rows from the south-west corner on: 1 where such a pit can lie */
  readonly cells: PlanRaster;
  /** the widest circle that keeps every distance, whatever the pit: the cell's middle it is drawn round, and its radius [m] */
  readonly largest: { readonly at: PlanPoint; readonly radius: number } | null;
  /** the largest distance asked of each feature on the plan [m]; 0 where only not to lie on it */
  readonly asked: readonly { readonly feature: Feature; readonly distance: number }[];
}

/**
 * Where on its lot a pit may lie so that it keeps every distance asked and lies on no feature, by trying its middle on a raster;
 * each try is exact.
 * Features given by their distance only have no place and are left out, and so are rules under a condition (`only`) and those
 * on what lies underground.
 *
 * @param options.rules          in place of those of the site
 * @param options.length         of the pit [m]; its own where not given, as `width` and `turnedDegrees`
 * @param options.step           of the raster [m]; 1/200 of the lot's longer side where not given
 * @returns  null where the plan has no outlined boundary
 * @throws RangeError  for a size or step that is not more than 0, or a step that makes more than a million cells
 */
export function roomLeft(site: Site, options: {
  readonly rules?: readonly SetbackRule[]; readonly length?: number; readonly width?: number; readonly turnedDegrees?: number;
  readonly step?: number;
} = {}): RoomLeft | null {
  const lot = site.surroundings === null ? null : lotOf(site.surroundings);
  if (lot === null) return null;
  const { chamberBank, surroundings } = site;
  const { length = chamberBank.length, width = chamberBank.width, turnedDegrees = surroundings!.works!.pit.turnedDegrees } = options;
  for (const [name, value] of Object.entries({ length, width })) {
    if (!(value > 0 && value < Infinity)) throw new RangeError(`${name}: expected more than 0 m, got ${value}`);
  }
  const raster = rasterOver(lot.points, options.step);
  const asked = askedDistances(surroundings!.features, options.rules ?? siteRules(site));
  const slack = (shape: PlanShape): number => slackOf(shape, lot, asked);
  const { largest, middles } = tried(raster, slack, { length, width, turnedDegrees });
  const cells = coveredCells(raster, middles, length, width, turnedDegrees);
  const area = cells.filled.reduce((sum, each) => sum + each, 0) * cells.step ** 2;
  const lotArea = ringArea(lot.points);
  return { length, width, turnedDegrees, step: cells.step, lotArea, area, share: area / lotArea, cells, largest, asked };
}

/** The largest distance that the rules ask of each feature on the plan, 0 where they ask none. */
function askedDistances(features: readonly Feature[], rules: readonly SetbackRule[]): RoomLeft["asked"] {
  const read = rules.map((rule, i) => ({ rule, distance: quantity(rule.distance, "length", `rules[${i}].distance`) }));
  return features.filter(({ shape }) => shape !== null).map((feature) => {
    const of = read.filter(({ rule }) => rule.only === undefined && speaksOf(rule, feature));
    return { feature, distance: greatestOf([0, ...of.map(({ distance }) => distance)]) };
  });
}

/** By how much the tightest of the distances is kept [m]; below 0 where one is not, or where it lies on a feature or off the lot. */
function slackOf(shape: PlanShape, lot: PlanShape, asked: RoomLeft["asked"]): number {
  let least = shapeDistance(shape, edgeOf(lot)).distance;
  if (least === 0 || !insideRing(shape.points[0]!, lot.points)) return -Infinity;
  for (const { feature, distance } of asked) {
    const gap = gapTo(feature, shape).distance;
    if (gap === 0 || gap < distance) return -Infinity;
    least = Math.min(least, gap - distance);
  }
  return least;
}

/**
 * The middles at which the pit keeps all distances. A pit keeps them where a circle round it does, and does not where the
 * circle in it does not, so that its corners are measured only between.
 */
function tried(
  { corner, step, columns, rows }: PlanRaster, slack: (shape: PlanShape) => number,
  { length, width, turnedDegrees }: { readonly length: number; readonly width: number; readonly turnedDegrees: number },
): { readonly largest: RoomLeft["largest"]; readonly middles: PlanPoint[] } {
  const [inner, outer] = [Math.min(length, width) / 2, Math.hypot(length, width) / 2];
  const middles: PlanPoint[] = [];
  let largest: RoomLeft["largest"] = null;
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const at: PlanPoint = [corner[0] + (column + 0.5) * step, corner[1] + (row + 0.5) * step];
      const clear = slack({ points: [at], closed: false });
      if (clear > (largest?.radius ?? 0)) largest = { at, radius: clear };
      if (clear >= outer || (clear >= inner && slack(turnedRectangle(at, length, width, turnedDegrees)) >= 0)) middles.push(at);
    }
  }
  return { largest, middles };
}
