import { digHoles } from "./digHoles.ts";
import type { DigRule } from "./takeOff.ts";
import { deepest, type Hole } from "./hole.ts";
import { holeDistances, type HoleDistance, type Stretch } from "./holeDistances.ts";
import { isBelow } from "../site/judge.ts";
import { materialFigures } from "../site/materials.ts";
import type { Site } from "../site/site.ts";
import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { sidesOf } from "../plane/planShape.ts";
import { regionTaken } from "../site/region.ts";
import { laidBack } from "./laidBack.ts";
import { worksShapes } from "./worksShapes.ts";

/** From here on a line near a hole is said first of all [m]: 5 ft, in metres 1.5 m; common practice. */
export function nearLine({ units }: Pick<Site, "units">): number {
  return units === "us" ? 5 * 0.3048 : 1.5;
}

/** Spoil and machines stay so far back, and lines are exposed by hand so far to either side [m]: 2 ft, in metres 0.6 m; common practice. */
export function edgeStrip({ units }: Pick<Site, "units">): number {
  return units === "us" ? 2 * 0.3048 : 0.6;
}

/** Services that a hole meets or comes near, crossings first. */
export function nearLines(site: Site): HoleDistance[] {
  return holeDistances(site).filter(({ feature: { kind }, distance }) => kind === "service" && distance <= nearLine(site));
}

/** The service that comes nearest to a hole, near or far; null where the plan has none. */
export function nearestLine(site: Site): HoleDistance | null {
  const lines = holeDistances(site).filter(({ feature: { kind } }) => kind === "service");
  return lines.reduce<HoleDistance | null>((near, row) => (near === null || row.distance < near.distance ? row : near), null);
}

/** A hole that is deeper than it is far from a building or a wall, so that the depth of the footing decides. */
export interface NearFooting {
  readonly row: HoleDistance;
  readonly hole: Hole;
  /** the hole's floor below the ground there [m] */
  readonly deep: number;
  /** how deep under that ground the footing has to stand at least, or the hole reaches under its 45 degree line [m] */
  readonly needed: number;
  /** how deep it is taken to stand, for no file gives a footing [m] */
  readonly taken: number;
  /** where that is: at the slab, where that is given and lower than the ground, else at the ground */
  readonly at: "slab" | "ground";
  /** whether, so taken, the hole reaches under the line */
  readonly under: boolean;
}

/**
 * Holes that lie nearer to a building or a wall than they are deep: only a footing that goes down far enough is clear of them, by the line
 * that falls from it at 45 degrees. A footing is taken at the slab, where that is given and lower than the ground, else at the ground; it
 * may go deeper, and then there is more to spare.
 *
 *   needed = depth of the hole - its distance from the wall
 *
 * @source  the 45 degree line is common practice; a geotechnical engineer decides
 */
export function nearFootings(site: Site): NearFooting[] {
  const holes = digHoles(site, materialFigures(site).figures);
  return holeDistances(site).flatMap((row): NearFooting[] => {
    const { feature: { kind, slab }, from, distance } = row;
    const hole = holes.find(({ name }) => name === from);
    if ((kind !== "building" && kind !== "wall") || hole === undefined || !isBelow(distance, deepest(hole))) return [];
    const ground = groundAt(site, hole);
    const deep = deepest(hole);
    const taken = Math.max(0, ground - (slab ?? ground));
    const needed = deep - distance;
    return [{ row, hole, deep, needed, taken, at: taken > 0 ? "slab" : "ground", under: isBelow(taken, needed) }];
  });
}

/** The higher ground over a hole [m]. */
function groundAt({ settlingBoxes, chamberBank, overflowTrench }: Site, { kind, name }: Hole): number {
  if (kind === "box") return (settlingBoxes.find((box) => box.name === name) ?? settlingBoxes[0]!).rim;
  if (kind === "trench") return Math.max(overflowTrench!.ground.high, overflowTrench!.ground.low);
  return chamberBank.ground;
}

/** The rule on walls of the site's region that speaks from the least depth; null where none is held. */
export function wallRule(rules: readonly { readonly rule: DigRule; readonly depth: number }[]): {
  readonly rule: DigRule; readonly depth: number } | null {
  return rules.filter(({ rule }) => rule.about === "walls").sort((a, b) => a.depth - b.depth)[0] ?? null;
}

/** The slope at which ground that nobody has classed is laid back at most, run over rise, and who says so; null for common practice. */
export interface UnclassedSlope {
  readonly slope: 1 | 1.5;
  readonly says: string | null;
  /** the document and its section; "" for common practice */
  readonly source: string;
  readonly status: DigRule["status"];
}

/**
 * How flat unclassed ground is laid back in the site's region: 1 1/2 along to 1 down, save where its own rule takes 45 degrees for loose
 * and soft ground.
 *
 * @source  29 CFR 1926 subpart P: 34 degrees where soil is not classed, as told in EM 385-1-1, 25.C.01, on a public page; DIN 4124: 45
 *          degrees in loose and in soft cohesive ground to 5 m, as told by BG BAU, https://bgbau-medien.de, both read 30 November 2026;
 *          elsewhere common practice
 */
export function unclassedSlope(site: Site): UnclassedSlope {
  const { code } = regionTaken(site);
  if (code === "US") return { slope: 1.5, says: "US OSHA", source: "29 CFR 1926.652(b)", status: "read" };
  if (code === "DE") return { slope: 1, says: "DIN 4124", source: "DIN 4124", status: "read" };
  return { slope: 1.5, says: null, source: "", status: "common practice" };
}

/** A tree's roots are taken to reach as far as a crown is wide [m]; common practice. */
export const ROOTS = 4;

/**
 * Between which places of a trench or a pipe, from its upper end [m], its middle line runs nearer to a tree than roots reach; null for
 * others.
 */
export function treeStretch(site: Site, { feature: { shape }, from }: HoleDistance): Stretch | null {
  const run = worksShapes(site)?.holes.find(({ name }) => name === from)?.shape;
  if (run === undefined || run.closed || shape === null || shape.points.length !== 1) return null;
  const [x, y] = shape.points[0]!;
  let before = 0;
  const ends: number[] = [];
  for (const [[ax, ay], [bx, by]] of sidesOf(run)) {
    const long = Math.hypot(bx - ax, by - ay);
    if (long === 0) continue;
    const along = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / long;
    const off = Math.abs((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / long;
    const half = off < ROOTS ? Math.sqrt(ROOTS ** 2 - off ** 2) : 0;
    const [start, end] = [Math.max(0, along - half), Math.min(long, along + half)];
    if (half > 0 && start < end) ends.push(before + start, before + end);
    before += long;
  }
  return ends.length === 0 ? null : { start: leastOf(ends), end: greatestOf(ends) };
}

/** Features within the laid-back edge of a hole, nearest first: what stands where the slope would be dug. */
export function inReach(site: Site, slope: number): HoleDistance[] {
  const holes = digHoles(site, materialFigures(site).figures);
  return holeDistances(site).filter(({ feature: { kind }, from, distance }) => {
    const hole = holes.find(({ name }) => name === from);
    return hole !== undefined && STANDS.has(kind) && distance > 0 && distance < laidBack(hole, slope).reach;
  });
}

const STANDS: ReadonlySet<string> = new Set(["boundary", "building", "wall", "road", "tree", "well", "septic", "slope", "water", "service"]);
