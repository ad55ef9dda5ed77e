import { digHoles } from "./digHoles.ts";
import type { DigRule } from "./takeOff.ts";
import { deepest, type Hole } from "./hole.ts";
import { holeDistances, type HoleDistance } from "./holeDistances.ts";
import { isBelow } from "../site/judge.ts";
import { materialFigures } from "../site/materials.ts";
import type { Site } from "../site/site.ts";
import { laidBack } from "./laidBack.ts";

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

/** Features within the laid-back edge of a hole, nearest first: what stands where the slope would be dug. */
export function inReach(site: Site, slope: number): HoleDistance[] {
  const holes = digHoles(site, materialFigures(site).figures);
  return holeDistances(site).filter(({ feature: { kind }, from, distance }) => {
    const hole = holes.find(({ name }) => name === from);
    return hole !== undefined && STANDS.has(kind) && distance > 0 && distance < laidBack(hole, slope).reach;
  });
}

const STANDS: ReadonlySet<string> = new Set(["boundary", "building", "wall", "road", "tree", "well", "septic", "slope", "water", "service"]);
