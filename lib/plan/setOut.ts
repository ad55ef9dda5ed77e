import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { insideRing, shapeDistance, type PlanPoint, type PlanShape } from "../plane/planShape.ts";
import type { Site } from "../site/site.ts";
import type { Feature } from "../site/surroundings.ts";
import { edgeStrip } from "./hazards.ts";
import { pipeName } from "./levelRows.ts";
import { worksShapes, type WorksShapes } from "./worksShapes.ts";

/** A point that stands before the work and after it, to measure from. */
export interface FixedPoint {
  readonly letter: "A" | "B";
  readonly at: PlanPoint;
  /** as the file names it; null for a corner of a feature */
  readonly name: string | null;
  /**
   * The feature whose corner it is, the side to which the corner points, and whether it is the one nearest to the pit of several that point
   * there; null for a point of the file's own.
   */
  readonly corner: { readonly feature: Feature; readonly towards: Compass; readonly isNearest: boolean } | null;
}

export type Compass = "N" | "NE" | "E" | "SE" | "S" | "SW" | "W" | "NW";

export type PegKind = "pitCorner" | "mouth" | "box" | "trenchUpper" | "trenchBend" | "trenchLower" | "emitter" | "emitterEnd";

/** A peg to be driven, with its distance from both fixed points [m]. */
export interface Peg {
  /** `P1`, `W1`, `S1`, `T1`, `E` */
  readonly mark: string;
  readonly kind: PegKind;
  /** the box's own name, null where there is one box; of a mouth that of its pipe, as the order list has it; null for all else */
  readonly name: string | null;
  readonly at: PlanPoint;
  readonly fromA: number;
  readonly fromB: number;
  /** on which side of the line from A to B, looking from A to B */
  readonly side: "left" | "right" | "on";
}

/** Where a pipe crosses the pit's edge [m]. */
export interface PipeMouth {
  readonly mark: string;
  /** as the order list has it */
  readonly pipe: string;
  /** the nearer corner of that side, and the other one */
  readonly from: string;
  readonly towards: string;
  readonly along: number;
  /** the place in the layout of the chamber that it runs to; null without one */
  readonly chamber: number | null;
}

/**
 * A peg that stands clear of what is dug, and from which another is found again: past a corner of the pit on the line of one of its sides,
 * or beside an end or a bend of the trench, square to it.
 */
export interface OffsetPeg {
  /** `P1a`, `P1b`, `T1a` */
  readonly mark: string;
  /** the peg that it keeps */
  readonly of: string;
  /** the other end of the pit's side, from which its line comes; null beside the trench */
  readonly lineFrom: string | null;
  /** beside the trench, going with the water; null past a corner */
  readonly side: "left" | "right" | null;
  /** from the peg that it keeps [m] */
  readonly out: number;
  readonly at: PlanPoint;
  /** from both fixed points [m]; null where a building stands between */
  readonly fromA: number | null;
  readonly fromB: number | null;
}

/** How the hole for a box lies [m]. */
export interface BoxHole {
  /** its middle: `S1` */
  readonly mark: string;
  readonly name: string;
  /** the mouth on whose string its length lies; null for a box with no pipe on the plan, which lies as the pit does */
  readonly towards: string | null;
  readonly length: number;
  readonly width: number;
}

/** What is needed to peg the works out with two tapes [m]. */
export interface SetOut {
  readonly fixed: readonly [FixedPoint, FixedPoint];
  /** from A to B */
  readonly base: number;
  readonly pegs: readonly Peg[];
  /** both diagonals of the pit, which are alike in a rectangle */
  readonly diagonal: number;
  readonly mouths: readonly PipeMouth[];
  /** pegs at which the two tapes meet at too small an angle, each with a third measure, from the pit's corner that fixes it best */
  readonly poorlyFixed: readonly { readonly mark: string; readonly to: string; readonly apart: number }[];
  /** where one has room: off holes, buildings and buried lines, on the lot */
  readonly offsets: readonly OffsetPeg[];
  /** pegs that have no room for one */
  readonly noOffset: readonly string[];
  readonly boxHoles: readonly BoxHole[];
}

/**
 * The pegs of a site from two fixed points: those of the file, or the two corners of a building (else of the lot) where the tapes meet at
 * good angles and which lie nearest. Null without a plan of the works, or without two points to measure from.
 *
 * @source  plane trigonometry: distance and side of each peg tell its place
 */
export function setOut(site: Site, given: readonly { readonly name: string; readonly at: PlanPoint }[] | null = null): SetOut | null {
  const works = worksShapes(site);
  if (works === null) return null;
  const corners = works.pit.points.map((at, i) => ({ mark: `P${i + 1}`, kind: "pitCorner" as const, name: null, at }));
  const mouths = works.holes.flatMap(({ kind, name, shape, chamber }) => (kind !== "pipe" || name === "pipe to the emitter" ? []
    : [{ name, chamber, at: name === "pipe to the trench" ? shape.points[0]! : shape.points.at(-1)! }]))
    .map((mouth, i) => ({ ...mouth, mark: `W${i + 1}`, kind: "mouth" as const }));
  const line = works.trench?.line.points ?? [];
  const isAtEnd = works.emitter !== null && line.length > 0 && apart(line.at(-1)!, works.emitter) <= 1e-9;
  const places = [
    ...corners, ...mouths.map(({ mark, kind, name, at }) => ({ mark, kind, name, at })),
    ...site.surroundings!.works!.boxes.slice(0, site.settlingBoxes.length).map((at, i) => (
      { mark: `S${i + 1}`, kind: "box" as const, name: site.settlingBoxes.length === 1 ? null : site.settlingBoxes[i]!.name, at })),
    // one peg where the lid stands at the end of the trench
    ...line.slice(0, isAtEnd ? -1 : undefined).map((at, i) => (
      { mark: `T${i + 1}`, kind: i === 0 ? "trenchUpper" as const : i === line.length - 1 ? "trenchLower" as const : "trenchBend" as const, name: null, at })),
    ...(works.emitter === null ? [] : [{ mark: "E", kind: isAtEnd ? "emitterEnd" as const : "emitter" as const, name: null, at: works.emitter }]),
  ];
  const spots = places.map(({ at }) => at);
  const fixed = given !== null && given.length >= 2
    ? [fromFile("A", given[0]!), fromFile("B", given[1]!)] as const : chosen(site, spots, site.surroundings!.works!.pit.at);
  if (fixed === null) return null;
  const [{ at: a }, { at: b }] = fixed;
  const base = apart(a, b);
  const { offsets, noOffset } = offsetsOf(site, works, a, b);
  return {
    fixed: [fixed[0], fixed[1]], base,
    pegs: places.map((place) => ({ ...place, fromA: apart(a, place.at), fromB: apart(b, place.at), side: sideOf(a, b, place.at) })),
    diagonal: Math.hypot(site.chamberBank.length, site.chamberBank.width),
    mouths: mouths.map(({ mark, name, at, chamber }) => ({ mark, pipe: name, chamber, ...alongWall(corners, at) })),
    // a mouth is measured along the pit's edge
    poorlyFixed: places.filter(({ kind, at }) => kind !== "mouth" && leastAngle(a, b, [at]) < GOOD_ANGLE).map(({ mark, at }) => {
      const others = corners.filter((corner) => corner.mark !== mark);
      const best = others.reduce((most, each) => (leastAngle(a, each.at, [at]) > leastAngle(a, most.at, [at]) + 1e-9 ? each : most));
      return { mark, to: best.mark, apart: apart(at, best.at) };
    }),
    offsets, noOffset,
    boxHoles: works.holes.filter(({ kind }) => kind === "box").map(({ name, shape: { points: [first, second, third] } }, i) => ({
      mark: `S${i + 1}`, name, towards: mouths.find((mouth) => mouth.name === pipeName(site.settlingBoxes[i]!, site))?.mark ?? null,
      length: apart(first!, second!), width: apart(second!, third!),
    })),
  };
}

/** Pegs past both sides of each corner of the pit, and beside each point of the trench, on its clear side. */
function offsetsOf(site: Site, works: WorksShapes, a: PlanPoint, b: PlanPoint): Pick<SetOut, "offsets" | "noOffset"> {
  const walls = buildingRings(site);
  const unit = site.units === "us" ? 3 * 0.3048 : 1;
  const taped = (from: PlanPoint, to: PlanPoint): number | null => (isClear(from, to, walls) ? apart(from, to) : null);
  const offsets: OffsetPeg[] = [];
  const noOffset: string[] = [];
  const set = (peg: Pick<OffsetPeg, "mark" | "of" | "lineFrom">, ways: readonly (Pick<OffsetPeg, "at" | "side" | "out">)[]): void => {
    const free = ways.find(({ at }) => hasRoom(site, works, at));
    if (free === undefined) noOffset.push(peg.mark);
    else offsets.push({ ...peg, ...free, fromA: taped(a, free.at), fromB: taped(b, free.at) });
  };
  const outs = OUT.map((each) => each * unit);
  works.pit.points.forEach((corner, i) => {
    // past P1 on the line from P2, then on that from P4
    for (const [letter, step] of [["a", 1], ["b", 3]] as const) {
      const other = (i + step) % 4;
      const [x, y] = works.pit.points[other]!;
      const far = apart([x, y], corner);
      set({ mark: `P${i + 1}${letter}`, of: `P${i + 1}`, lineFrom: `P${other + 1}` },
        outs.map((out) => ({
          out, side: null, at: [corner[0] + (out / far) * (corner[0] - x), corner[1] + (out / far) * (corner[1] - y)],
        })));
    }
  });
  const line = works.trench?.line.points ?? [];
  const isAtEnd = line.length > 0 && works.emitter !== null && apart(line.at(-1)!, works.emitter) <= 1e-9;
  line.forEach((at, i) => {
    const mark = isAtEnd && i === line.length - 1 ? "E" : `T${i + 1}`;
    const next = line.slice(i + 1).find((each) => apart(each, at) > 0) ?? at;
    const last = line.slice(0, i).findLast((each) => apart(each, at) > 0) ?? at;
    const [from, to] = next === at ? [last, at] : [at, next];
    const long = apart(from, to);
    if (long === 0) return;
    const [dx, dy] = [(to[0] - from[0]) / long, (to[1] - from[1]) / long];
    const beside = (["left", "right"] as const).flatMap((side) => outs.map((out) => (
      { out, side, at: [at[0] + (side === "left" ? -out : out) * dy, at[1] + (side === "left" ? out : -out) * dx] as const })));
    set({ mark: `${mark}a`, of: mark, lineFrom: null }, beside);
  });
  return { offsets, noOffset };
}

/** How far out offset pegs are tried, the best first, in steps of 3 ft or 1 m; common practice. */
const OUT = [1, 1.5, 2, 2 / 3] as const;

/** Offset pegs stand so far from any hole [m]; common practice. */
const PEG_CLEAR = 0.3;

/** Whether a peg can be driven and stays: on the lot, off holes and buildings, and not where buried lines are exposed by hand. */
function hasRoom(site: Site, works: WorksShapes, at: PlanPoint): boolean {
  const peg: PlanShape = { points: [at], closed: false };
  return site.surroundings!.features.every(({ kind, shape }) => {
    if (shape === null) return true;
    if (kind === "boundary") return !shape.closed || insideRing(at, shape.points);
    if (kind === "service") return shapeDistance(peg, shape).distance > edgeStrip(site);
    return !STANDS.has(kind) || shapeDistance(peg, shape).distance > 0;
  }) && works.holes.every(({ areas }) => areas.every((area) => shapeDistance(peg, area).distance >= PEG_CLEAR));
}

const STANDS: ReadonlySet<string> = new Set(["building", "wall", "water", "well"]);

/** Where a point of the pit's edge lies on its side, from the nearer corner. */
function alongWall(corners: readonly { readonly mark: string; readonly at: PlanPoint }[], at: PlanPoint): Pick<PipeMouth, "from" | "towards" | "along"> {
  const sides = corners.map((from, i) => ({ from, to: corners[(i + 1) % corners.length]! }));
  const off = ({ from, to }: (typeof sides)[number]): number => apart(from.at, at) + apart(at, to.at) - apart(from.at, to.at);
  const { from, to } = sides.reduce((best, side) => (off(side) < off(best) ? side : best));
  const [near, far] = apart(from.at, at) <= apart(to.at, at) ? [from, to] : [to, from];
  return { from: near.mark, towards: far.mark, along: apart(near.at, at) };
}

function fromFile(letter: "A" | "B", { name, at }: { readonly name: string; readonly at: PlanPoint }): FixedPoint {
  return { letter, at, name, corner: null };
}

/** Tapes that meet at less than this fix a peg badly: a centimetre along one moves it by three [rad]; common practice. */
const GOOD_ANGLE = Math.PI / 9;

function chosen(site: Site, spots: readonly PlanPoint[], pit: PlanPoint): readonly [FixedPoint, FixedPoint] | null {
  const ringed = site.surroundings!.features.filter(({ kind, shape }) => (kind === "building" || kind === "boundary") && shape?.closed === true);
  const walls = buildingRings(site);
  for (const kind of ["building", "boundary"] as const) {
    const pairs = ringed.filter((feature) => feature.kind === kind).flatMap((feature) => {
      const points = namedCorners(feature, pit);
      return points.flatMap((a, i) => points.slice(i + 1).map((b) =>
        ({ feature, a, b, angle: leastAngle(a.at, b.at, spots), far: greatestOf(spots.map((spot) =>
        Math.max(apart(a.at, spot), apart(b.at, spot)))) })));
    }).filter(({ a: { at: a }, b: { at: b } }) => apart(a, b) > 1 && [[a, b] as const,
      ...spots.flatMap((spot) => [[a, spot] as const, [b, spot] as const])].every(([from, to]) => isClear(from, to, walls)));
    if (pairs.length === 0) continue;
    const good = pairs.filter(({ angle }) => angle >= GOOD_ANGLE);
    const best = good.length > 0 ? good.reduce((near, pair) => (pair.far < near.far - 1e-9 ? pair : near))
      : pairs.reduce((most, pair) => (pair.angle > most.angle + 1e-9 ? pair : most));
    const corner = (letter: "A" | "B", { at, towards, isNearest }: NamedCorner): FixedPoint => ({ letter, at, name: null, corner: { feature: best.feature, towards, isNearest } });
    return [corner("A", best.a), corner("B", best.b)];
  }
  return null;
}

function buildingRings(site: Site): (readonly PlanPoint[])[] {
  return site.surroundings!.features.flatMap(({ kind, shape }) => (kind === "building" && shape?.closed === true ? [shape.points] : []));
}

interface NamedCorner {
  readonly at: PlanPoint;
  readonly towards: Compass;
  readonly isNearest: boolean;
}

/** Corners of a ring that stand out; of several that point the same way the one nearest to the pit, the next one clearly farther off. */
function namedCorners({ shape }: Feature, pit: PlanPoint): NamedCorner[] {
  const { points } = shape!;
  const corners = points.map((at, i) => {
    const [[ax, ay], [bx, by]] = [points.at(i - 1)!, points[(i + 1) % points.length]!];
    return { at, turn: (at[0] - ax) * (by - at[1]) - (at[1] - ay) * (bx - at[0]), towards: pointsTo([ax, ay], at, [bx, by]) };
  });
  const turned = points.reduce((sum, [x, y], i) => sum + points.at(i - 1)![0] * y - x * points.at(i - 1)![1], 0);
  const out = corners.filter(({ turn }) => turn * turned > 0);
  return out.flatMap(({ at, towards }): NamedCorner[] => {
    const others = out.filter((other) => other.at !== at && other.towards === towards);
    const isNearest = others.every((other) => apart(other.at, pit) > apart(at, pit) + 1);
    return isNearest ? [{ at, towards, isNearest: others.length > 0 }] : [];
  });
}

/** Where a corner that stands out points: away from the middle between its two walls. */
function pointsTo(from: PlanPoint, at: PlanPoint, to: PlanPoint): Compass {
  const along = (point: PlanPoint, axis: 0 | 1): number => (at[axis] - point[axis]) / apart(point, at);
  const eighth = Math.round(Math.atan2(along(from, 1) + along(to, 1), along(from, 0) + along(to, 0)) / (Math.PI / 4));
  return (["E", "NE", "N", "NW", "W", "SW", "S", "SE"] as const)[(eighth + 8) % 8]!;
}

/** Whether a tape can run straight from one point to another: through no building, along its wall it may. */
function isClear(from: PlanPoint, to: PlanPoint, buildings: readonly (readonly PlanPoint[])[]): boolean {
  return buildings.every((ring) => {
    const wall = ring.some((point, i) => same(point, from) && (same(ring[(i + 1) % ring.length]!,
      to) || same(ring[(i + ring.length - 1) % ring.length]!, to)));
    // a hundred places along it tell a corner that is cut by more than a hundredth of the way
    return wall || Array.from({ length: 99 }, (_, i) => (i + 1) / 100)
      .every((share) => !insideRing([from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])], ring));
  });
}

function same(a: PlanPoint, b: PlanPoint): boolean {
  return apart(a, b) < 1e-9;
}

function leastAngle(a: PlanPoint, b: PlanPoint, spots: readonly PlanPoint[]): number {
  return leastOf(spots.map((spot) => {
    const [first, second] = [apart(a, spot), apart(b, spot)];
    if (first === 0 || second === 0) return Math.PI / 2;
    const cross = Math.abs((a[0] - spot[0]) * (b[1] - spot[1]) - (a[1] - spot[1]) * (b[0] - spot[0]));
    return Math.asin(Math.min(1, cross / (first * second)));
  }));
}

function sideOf([ax, ay]: PlanPoint, [bx, by]: PlanPoint, [x, y]: PlanPoint): Peg["side"] {
  const cross = (bx - ax) * (y - ay) - (by - ay) * (x - ax);
  if (Math.abs(cross) < 1e-9) return "on";
  return cross > 0 ? "left" : "right";
}

function apart(a: PlanPoint, b: PlanPoint): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1]);
}
