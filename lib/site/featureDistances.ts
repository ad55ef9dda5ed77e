import { edgeOf, type PlanPoint, type PlanShape } from "./planShape.ts";
import { insideRing } from "./insideRing.ts";
import { shapeDistance, type ShapeGap } from "./shapeDistance.ts";
import type { Site } from "./site.ts";
import { lotOf, type Feature } from "./surroundings.ts";
import { worksShapes } from "./worksShapes.ts";

/** How far a feature lies from what soaks. */
export interface FeatureDistance {
  readonly feature: Feature;
  /** from the pit's edge [m]; 0 where they meet */
  readonly pit: number;
  /** from the trench's edge, its ends taken as round [m]; null where the plan does not tell */
  readonly trench: number | null;
  /** the shortest way on the plan from the pit's edge to the feature; null for one given by its distance */
  readonly way: { readonly from: PlanPoint; readonly to: PlanPoint } | null;
}

/**
 * The distance of every feature from the edge of the pit and of the trench, in the order of the file. The lot's boundary is
 * measured from inside: a part of the works beyond it is at distance 0.
 */
export function featureDistances(site: Site): FeatureDistance[] {
  const { surroundings } = site;
  if (surroundings === null) return [];
  const works = worksShapes(site);
  return surroundings.features.map((feature): FeatureDistance => {
    const { shape, distance } = feature;
    // A reader has seen to it that a feature on the plan comes with works on it.
    if (shape === null || works === null) return { feature, pit: distance!, trench: null, way: null };
    const { from, to, distance: pit } = gapTo(feature, works.pit);
    const trench = works.trench === null ? null : Math.max(0, gapTo(feature, works.trench.line).distance - works.trench.halfWidth);
    return { feature, pit, trench, way: { from, to } };
  });
}

/** From a shape to a feature; to a lot's boundary from inside, to any other area from outside. */
export function gapTo({ kind, shape }: Feature, from: PlanShape): ShapeGap {
  if (kind !== "boundary" || shape!.closed === false) return shapeDistance(from, shape!);
  const gap = shapeDistance(from, edgeOf(shape!));
  return insideRing(from.points[0]!, shape!.points) ? gap : { distance: 0, from: gap.to, to: gap.to };
}

/** Whether all of a shape lies in the lot; true where the plan has none. */
export function isOnLot(site: Site, shape: PlanShape): boolean {
  const lot = site.surroundings === null ? null : lotOf(site.surroundings);
  if (lot === null) return true;
  return insideRing(shape.points[0]!, lot.points) && shapeDistance(shape, edgeOf(lot)).distance > 0;
}
