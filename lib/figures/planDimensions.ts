import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { gapTo } from "../plan/holeDistances.ts";
import { sidesOf, type PlanPoint, type PlanShape } from "../plane/planShape.ts";
import type { Site } from "../site/site.ts";
import type { Siting, SitingRow } from "../plan/siting.ts";
import type { Feature } from "../site/surroundings.ts";
import { worksShapes } from "../plan/worksShapes.ts";
import { distanceText } from "../text/distanceText.ts";

/** A distance drawn on the plan, from a hole's edge to a feature. */
export interface PlanDimension {
  readonly way: { readonly from: PlanPoint; readonly to: PlanPoint };
  readonly words: string;
  /** nearer than a rule without a condition asks */
  readonly isNear: boolean;
}

/**
 * The distances worth a line on the plan, those that are the least share of what is asked first: less than twice of it, or, where nothing
 * is asked, a few paces. What is asked is kept from what soaks; all else is measured from the hole that lies nearest.
 *
 * @param count  of them at most
 */
export function planDimensions(siting: Siting, site: Site, count: number): PlanDimension[] {
  const worth = site.surroundings!.features
    .flatMap((feature) => {
      const asked = askedOf(siting, feature);
      const [row] = siting.rows.filter((each) => each.feature === feature && (asked === 0 || each.soaks));
      return row === undefined || row.way === null || row.distance === 0 || row.distance >= (asked > 0 ? 2 * asked : PACES)
        ? [] : [{ row, asked, way: row.way }];
    })
    .sort((a, b) => rank(a.row, a.asked) - rank(b.row, b.asked))
    .slice(0, count);
  const { pit } = worksShapes(site)!;
  const starts: PlanPoint[] = [];
  return worth.map(({ row, asked, way }) => {
    const drawn = row.kind === "pit" ? freest(waysOf(row, way, pit), starts) : way;
    starts.push(drawn.from);
    const isNear = row.distance < asked;
    const found = distanceText(row.distance, site.units);
    return { way: drawn, words: isNear ? `${found} < ${distanceText(asked, site.units)}` : found, isNear };
  });
}

/** [m] */
const PACES = 6;

function askedOf({ setbacks }: Siting, feature: Feature): number {
  return greatestOf([0, ...setbacks.filter((row) => row.feature === feature && row.rule.only === undefined).map(({ asked }) => asked)]);
}

/** What somebody asks for comes first, then what is merely near. */
function rank({ distance }: SitingRow, asked: number): number {
  return asked > 0 ? distance / asked : 2 + distance;
}

/** The shortest ways to a feature: more than one where it runs along a side of the pit. */
function waysOf({ feature, distance }: SitingRow, way: PlanDimension["way"], pit: PlanShape): PlanDimension["way"][] {
  const others = sidesOf(pit).flatMap(([a, b]) => SHARES.flatMap((share) => {
    const from: PlanPoint = [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])];
    const gap = gapTo(feature, { points: [from], closed: false });
    return gap.distance < distance + EQUAL ? [{ from, to: gap.to }] : [];
  }));
  return others.length > 0 ? others : [way];
}

// Places on a side, its middle first, and what counts as no longer than the shortest [m].
const SHARES = [0.5, 0.25, 0.75];
const EQUAL = 1e-6;

/** The way that starts farthest from those drawn already, the first of equals. */
function freest(ways: readonly PlanDimension["way"][], starts: readonly PlanPoint[]): PlanDimension["way"] {
  const room = ({ from }: PlanDimension["way"]): number => leastOf([1e9, ...starts.map(([x, y]) => Math.hypot(from[0] - x, from[1] - y))]);
  return ways.reduce((best, way) => (room(way) > room(best) + EQUAL ? way : best));
}
