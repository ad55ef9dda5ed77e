import { gapTo, type FeatureDistance } from "../site/featureDistances.ts";
import { sidesOf, type PlanPoint, type PlanShape } from "../site/planShape.ts";
import type { Site } from "../site/site.ts";
import type { Siting } from "../site/siting.ts";
import { worksShapes } from "../site/worksShapes.ts";
import { distanceText } from "./distanceText.ts";

/** A distance drawn on the plan, from the pit's edge to a feature. */
export interface PlanDimension {
  readonly way: { readonly from: PlanPoint; readonly to: PlanPoint };
  readonly words: string;
  /** nearer than a rule without a condition asks */
  readonly isNear: boolean;
}

/**
 * The distances worth a line on the plan, those that are the least share of what is asked first: less than twice of it, or, where nothing
 * is asked, a few paces.
 *
 * @param count  of them at most
 */
export function planDimensions({ distances, rows }: Siting, site: Site, count: number): PlanDimension[] {
  const asked = ({ feature }: FeatureDistance): number => Math.max(0, ...rows
    .filter((row) => row.feature === feature && row.rule.only === undefined)
    .map((row) => row.asked));
  const worth = distances
    .filter((each) => each.way !== null && each.pit > 0 && each.pit < (asked(each) > 0 ? 2 * asked(each) : PACES))
    .sort((a, b) => rank(a.pit, asked(a)) - rank(b.pit, asked(b)))
    .slice(0, count);
  const { pit } = worksShapes(site)!;
  const starts: PlanPoint[] = [];
  return worth.map((each) => {
    const way = freest(waysOf(each, pit), starts);
    starts.push(way.from);
    const isNear = each.pit < asked(each);
    const found = distanceText(each.pit, site.units);
    return { way, words: isNear ? `${found} < ${distanceText(asked(each), site.units)}` : found, isNear };
  });
}

/** [m] */
const PACES = 6;

/** What somebody asks for comes first, then what is merely near. */
function rank(pit: number, asked: number): number {
  return asked > 0 ? pit / asked : 2 + pit;
}

/** The shortest ways to a feature: more than one where it runs along a side of the pit. */
function waysOf({ feature, pit: distance, way }: FeatureDistance, pit: PlanShape): PlanDimension["way"][] {
  const others = sidesOf(pit).flatMap(([a, b]) => SHARES.flatMap((share) => {
    const from: PlanPoint = [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])];
    const gap = gapTo(feature, { points: [from], closed: false });
    return gap.distance < distance + EQUAL ? [{ from, to: gap.to }] : [];
  }));
  return others.length > 0 ? others : [way!];
}

// Places on a side, its middle first, and what counts as no longer than the shortest [m].
const SHARES = [0.5, 0.25, 0.75];
const EQUAL = 1e-6;

/** The way that starts farthest from those drawn already, the first of equals. */
function freest(ways: readonly PlanDimension["way"][], starts: readonly PlanPoint[]): PlanDimension["way"] {
  const room = ({ from }: PlanDimension["way"]): number => Math.min(1e9, ...starts.map(([x, y]) => Math.hypot(from[0] - x, from[1] - y)));
  return ways.reduce((best, way) => (room(way) > room(best) + EQUAL ? way : best));
}
