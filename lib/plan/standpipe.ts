import { leastOf } from "../numerics/extremes.ts";
import type { PlanPoint } from "../plane/planShape.ts";
import type { Site } from "../site/site.ts";
import { chamberLayout } from "./chamberLayout.ts";
import { worksShapes } from "./worksShapes.ts";

/** Where the standpipe stands, from the pit's first corner: along its length and across its width [m]. */
export interface StandpipePlace {
  readonly along: number;
  readonly across: number;
}

/** A tape is read from the edge of the pit: no farther from a wall than an arm reaches [m]; common practice. */
const REACH = 0.6;

/** Side of the raster of places that are tried [m]. */
const STEP = 0.05;

/**
 * A place for the standpipe in the stone: within an arm's reach of a wall, as clear as can be of chambers, walls, and where pipes come in;
 * of equals the one nearest to the pit's first corner.
 */
export function standpipePlace(site: Site): StandpipePlace {
  const { length, width } = site.chamberBank;
  const chambers = chamberLayout(site.chamberBank)?.at ?? [];
  const mouths = pipeMouths(site);
  const [columns, rows] = [length, width].map((side) => Math.max(2, Math.round(side / STEP)));
  let best: StandpipePlace & { readonly clear: number } = { along: length / 2, across: width / 2, clear: -Infinity };
  for (let i = 1; i < columns!; i++) {
    for (let j = 1; j < rows!; j++) {
      const [along, across] = [(i * length) / columns!, (j * width) / rows!];
      const wall = Math.min(along, length - along, across, width - across);
      if (wall > REACH) continue;
      const clear = leastOf([
        wall, ...chambers.map((chamber) => Math.hypot(along - chamber.along, across - chamber.across) - chamber.diameter / 2),
        ...mouths.map(([x, y]) => Math.hypot(along - x, across - y)),
      ]);
      if (clear > best.clear + 1e-6) best = { along, across, clear };
    }
  }
  return { along: best.along, across: best.across };
}

/** The edge of the pit from which the standpipe is reached, by the pegs at its ends, and how far in from it that stands [m]. */
export function standpipeReach(site: Site): { readonly edge: string; readonly reach: number } {
  const { length, width } = site.chamberBank;
  const { along, across } = standpipePlace(site);
  const edges = [
    { edge: "P1–P4", reach: along }, { edge: "P1–P2", reach: across }, { edge: "P2–P3", reach: length - along }, { edge: "P4–P3", reach: width - across },
  ];
  return edges.reduce((near, each) => (each.reach < near.reach - 1e-9 ? each : near));
}

/** The same on the plan; null without one. */
export function standpipeAt(site: Site): PlanPoint | null {
  const works = site.surroundings?.works ?? null;
  if (works === null) return null;
  const { along, across } = standpipePlace(site);
  const { length, width } = site.chamberBank;
  const [cos, sin] = directionOf(works.pit.turnedDegrees);
  const [x, y] = [along - length / 2, across - width / 2];
  return [works.pit.at[0] + x * cos - y * sin, works.pit.at[1] + x * sin + y * cos];
}

/** Where pipes meet the pit's edge, from its first corner; none without a plan. */
function pipeMouths(site: Site): PlanPoint[] {
  const works = worksShapes(site);
  if (works === null) return [];
  const { at, turnedDegrees } = site.surroundings!.works!.pit;
  const { length, width } = site.chamberBank;
  const [cos, sin] = directionOf(turnedDegrees);
  return works.holes.filter(({ kind }) => kind === "pipe").flatMap(({ shape }) => shape.points).map(([x, y]): PlanPoint => {
    const [east, north] = [x - at[0], y - at[1]];
    return [east * cos + north * sin + length / 2, north * cos - east * sin + width / 2];
  });
}

function directionOf(degrees: number): readonly [cos: number, sin: number] {
  return [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
}
