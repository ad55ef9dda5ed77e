import { lengthText, type UnitSystem } from "../text/format.ts";
import { featureName } from "../site/featureName.ts";
import { edgeOf, insideRing, type PlanPoint, type PlanShape, shapeDistance, type ShapeGap, sidesOf } from "../plane/planShape.ts";
import type { Site } from "../site/site.ts";
import { lotOf, type Feature } from "../site/surroundings.ts";
import { worksShapes, type PlacedHole } from "./worksShapes.ts";

/** How far a feature lies from one of the holes to be dug. */
export interface HoleDistance {
  readonly feature: Feature;
  /** the hole's name, as the order list has it: `settling box`, `pipe from the settling box`, `pit`, `overflow trench` */
  readonly from: string;
  /** the same in a sentence: `the hole for the settling box`, `the pit` */
  readonly phrase: string;
  readonly kind: PlacedHole["kind"];
  /** whether water soaks away there, so that rules on distances speak of it */
  readonly soaks: boolean;
  /** from the hole's edge [m]; 0 where they cross or one lies in the other */
  readonly distance: number;
  /**
   * Where they cross along the middle line of a trench or a pipe, from its upper end [m]: a point, its two ends equal, or a stretch.
   * Empty for a box and the pit, and where they do not cross.
   */
  readonly chainage: readonly Stretch[];
  /** the shortest way on the plan from the hole's edge to the feature; null for one given by its distance */
  readonly way: { readonly from: PlanPoint; readonly to: PlanPoint } | null;
}

export interface Stretch {
  readonly start: number;
  readonly end: number;
}

/**
 * The distance of every feature from every hole that the plan places: what crosses first, buried services before all else, then
 * the nearest. A feature given by its distance is measured from the pit alone. The lot's boundary is measured from inside: a
 * hole beyond it is at distance 0.
 */
export function holeDistances(site: Site): HoleDistance[] {
  const { surroundings } = site;
  if (surroundings === null) return [];
  const works = worksShapes(site);
  const found = surroundings.features.flatMap((feature): HoleDistance[] => {
    const { shape, distance } = feature;
    // A reader has seen to it that a feature on the plan comes with works on it.
    if (shape === null || works === null) {
      return [{ feature, from: "pit", phrase: "the pit", kind: "pit", soaks: true, distance: distance!, chainage: [], way: null }];
    }
    return works.holes.map((hole) => holeDistance(feature, hole));
  });
  return found.sort((a, b) => a.distance - b.distance || rank(a) - rank(b));
}

/** A service that is struck kills; where the low point lies is no harm. */
function rank({ feature: { kind }, distance }: HoleDistance): number {
  if (distance > 0) return 0;
  return kind === "service" ? -1 : kind === "lowPoint" ? 1 : 0;
}

function holeDistance(feature: Feature, { name, phrase, kind, shape, halfWidth, areas, bends, soaks }: PlacedHole): HoleDistance {
  const gaps = [
    ...areas.map((area) => gapTo(feature, area)),
    ...bends.map((bend) => roundGap(gapTo(feature, { points: [bend], closed: false }), halfWidth)),
  ];
  const { distance, from, to } = gaps.reduce((near, gap) => (gap.distance < near.distance ? gap : near));
  const chainage = distance === 0 && !shape.closed ? crossings(shape, feature, gapTo(feature, shape).from) : [];
  return { feature, from: name, phrase, kind, soaks, distance, chainage, way: { from, to } };
}

/** From a shape to a feature; to a lot's boundary from inside, to any other area from outside. */
export function gapTo({ kind, shape }: Feature, from: PlanShape): ShapeGap {
  if (kind !== "boundary" || shape!.closed === false) return shapeDistance(from, shape!);
  const gap = shapeDistance(from, edgeOf(shape!));
  return insideRing(from.points[0]!, shape!.points) ? gap : { distance: 0, from: gap.to, to: gap.to };
}

/** Whether all of a hole lies in the lot; true where the plan has none. */
export function isOnLot(site: Site, { areas, bends, halfWidth }: PlacedHole): boolean {
  const lot = site.surroundings === null ? null : lotOf(site.surroundings);
  if (lot === null) return true;
  const far = (shape: PlanShape): number => shapeDistance(shape, edgeOf(lot)).distance;
  return areas.every((area) => insideRing(area.points[0]!, lot.points) && far(area) > 0)
    && bends.every((bend) => far({ points: [bend], closed: false }) > halfWidth);
}

/** A way from a point as one from the edge of a circle round it, its end at most [m]. */
function roundGap({ from, to, distance }: ShapeGap, radius: number): ShapeGap {
  const share = distance > radius ? radius / distance : distance === 0 ? 0 : 1;
  return { distance: Math.max(0, distance - radius), from: [from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])], to };
}

/**
 * Where a feature meets the middle line of a run: the points at which it crosses, and the stretches that lie in an area or, for a
 * lot, outside it. Where it comes no nearer than the run's edge, the point beside it.
 */
function crossings(run: PlanShape, { kind, shape }: Feature, nearest: PlanPoint): Stretch[] {
  const sides = sidesOf(run);
  const starts = startsOf(run);
  const total = starts.at(-1)!;
  const isLot = kind === "boundary" && shape!.closed;
  const cuts = sides.flatMap(([a, b], i) => sidesOf(shape!)
    .flatMap(([c, d]) => shareAt(a, b, c, d))
    .map((share) => starts[i]! + share * (starts[i + 1]! - starts[i]!)));
  const found = uniqueOf(cuts.map((at): Stretch => ({ start: at, end: at })));
  if (shape!.closed) {
    const ends = [0, ...found.map(({ start }) => start), total];
    const within = ends.slice(1).map((end, i): Stretch => ({ start: ends[i]!, end }))
      .filter(({ start, end }) => end - start > SAME && insideRing(pointAt(run, (start + end) / 2), shape!.points) !== isLot);
    const joined = joinedOf(within);
    const lone = found.filter(({ start: at }) => !joined.some(({ start, end }) => at >= start - SAME && at <= end + SAME));
    const all = [...joined, ...lone].sort((a, b) => a.start - b.start);
    if (all.length > 0) return all;
  } else if (found.length > 0) return found;
  const at = chainageOf(run, nearest);
  return [{ start: at, end: at }];
}

/** Places closer than this along a run are one [m]. */
const SAME = 1e-6;

function uniqueOf(stretches: readonly Stretch[]): Stretch[] {
  const sorted = [...stretches].sort((a, b) => a.start - b.start);
  return sorted.filter(({ start }, i) => i === 0 || start - sorted[i - 1]!.start > SAME);
}

function joinedOf(stretches: readonly Stretch[]): Stretch[] {
  const joined: Stretch[] = [];
  for (const each of stretches) {
    const last = joined.at(-1);
    if (last !== undefined && each.start - last.end <= SAME) joined[joined.length - 1] = { start: last.start, end: each.end };
    else joined.push(each);
  }
  return joined;
}

/** Where along a side from a to b another crosses or touches it, as a share; nothing for sides in one direction. */
function shareAt(a: PlanPoint, b: PlanPoint, c: PlanPoint, d: PlanPoint): number[] {
  const [ux, uy, vx, vy] = [b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]];
  const turn = ux * vy - uy * vx;
  if (Math.abs(turn) <= SAME * Math.hypot(ux, uy) * Math.hypot(vx, vy)) return [];
  const [wx, wy] = [c[0] - a[0], c[1] - a[1]];
  const share = (wx * vy - wy * vx) / turn;
  const other = (wx * uy - wy * ux) / turn;
  const [slack, otherSlack] = [SAME / Math.hypot(ux, uy), SAME / Math.hypot(vx, vy)];
  return share >= -slack && share <= 1 + slack && other >= -otherSlack && other <= 1 + otherSlack ? [Math.max(0, Math.min(1, share))] : [];
}

/** The length of a line before each of its points, the whole at last [m]. */
function startsOf(run: PlanShape): number[] {
  const starts = [0];
  for (const [a, b] of sidesOf(run)) starts.push(starts.at(-1)! + Math.hypot(b[0] - a[0], b[1] - a[1]));
  return starts;
}

function pointAt(run: PlanShape, at: number): PlanPoint {
  const [sides, starts] = [sidesOf(run), startsOf(run)];
  const i = Math.max(0, Math.min(sides.length - 1, starts.findIndex((start) => start >= at) - 1));
  const [[a, b], length] = [sides[i]!, starts[i + 1]! - starts[i]!];
  const share = length === 0 ? 0 : (at - starts[i]!) / length;
  return [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])];
}

/** How far along a line a point on it lies [m]. */
function chainageOf(run: PlanShape, [x, y]: PlanPoint): number {
  const starts = startsOf(run);
  const offs = sidesOf(run).map((side) => shapeDistance({ points: side, closed: false }, { points: [[x, y]], closed: false }));
  const i = offs.reduce((best, { distance }, each) => (distance < offs[best]!.distance ? each : best), 0);
  const [a] = sidesOf(run)[i]!;
  return starts[i]! + Math.hypot(offs[i]!.from[0] - a[0], offs[i]!.from[1] - a[1]);
}

/** How a feature and a hole meet: `the buried service “gas” crosses the overflow trench 12 ft from its upper end`. */
export function crossingWords({ feature, phrase, chainage }: HoleDistance, units: UnitSystem): string {
  const name = featureName(feature);
  const { shape, kind } = feature;
  if (shape === null) return `${name} lies at ${phrase}`;
  const where = chainageWords(chainage, units);
  if (!shape.closed) return `${name} ${shape.points.length === 1 ? "stands in" : "crosses"} ${phrase}${where === "" ? "" : ` ${where}`}`;
  return `${phrase} lies ${kind === "boundary" ? "across or beyond" : "on"} ${name}${where === "" ? "" : `, ${where}`}`;
}

/** Where along a run: `12 ft from its upper end`; nothing where there is no length to count along. */
export function chainageWords(chainage: HoleDistance["chainage"], units: UnitSystem): string {
  const places = chainage.map(({ start, end }) => {
    const [from, to] = [lengthText(start, units), lengthText(end, units)];
    return from === to ? from : `${from} to ${to}`;
  });
  return places.length === 0 ? "" : `${places.join(" and ")} from its upper end`;
}
