import { greatestOf, leastOf } from "../numerics/extremes.ts";
import type { PlanRaster } from "../plan/planRaster.ts";
import type { RoomLeft } from "../plan/roomLeft.ts";
import type { WorksShapes } from "../plan/worksShapes.ts";
import { insideRing, type PlanPoint, type PlanShape, sidesOf } from "../plane/planShape.ts";
import type { Feature, FeatureKind } from "../site/surroundings.ts";
import type { FillPattern, Line } from "./figure.ts";
import { ink, lines } from "./look.ts";
import type { PlanFrame } from "./planFrame.ts";

/** A part of the plan as it is drawn: rings or lines, filled or not. */
export interface PlanStroke {
  readonly name: string;
  readonly parts: readonly (readonly PlanPoint[])[];
  readonly fill?: string;
  readonly pattern?: FillPattern;
  readonly line?: Line;
}

/** The ground that is left for such a pit, softly hatched. */
export function roomStrokes({ cells }: RoomLeft): PlanStroke[] {
  const parts = rasterOutline(cells);
  if (parts.length === 0) return [];
  return [{
    name: "room left", parts: parts.map(closedRing), fill: "#e4f0ec", line: { color: "#14786f", width: 0.8, dash: "dot" },
    pattern: { shape: "/", size: 9, solidity: 0.12, fgcolor: "#8fbab2", bgcolor: "#eef6f3" },
  }];
}

/** A feature as a draughtsman draws it: its area or line in the manner of its kind, or a sign where it is a point. */
export function featureStrokes({ kind, shape }: Feature, frame: PlanFrame): PlanStroke[] {
  const { line, fill, pattern } = LOOK[kind];
  const { points, closed } = shape!;
  if (points.length === 1) return signStrokes(kind, points[0]!, frame);
  const parts = [closed ? closedRing(points) : points];
  const filled = { ...(fill === undefined ? {} : { fill }), ...(pattern === undefined ? {} : { pattern }) };
  if (!closed && kind === "road") {
    return [[ink.soft, 9] as const, ["#eceff0", 7] as const].map(([color, width]) => ({ name: kind, parts, line: { color, width } }));
  }
  const stroke: PlanStroke = { name: kind, parts, line, ...(closed ? filled : {}) };
  return kind === "slope" ? [stroke, { name: kind, parts: slopeTicks(shape!, frame), line: { ...line, dash: "solid" } }] : [stroke];
}

/** The works at their sizes, the pipes between them as thin lines. */
export function worksStrokes({ pit, boxes, trench, emitter, holes }: WorksShapes, frame: PlanFrame): PlanStroke[] {
  const strokes: PlanStroke[] = [];
  if (trench !== null) {
    const { points } = trench.line;
    strokes.push({ name: "trench", parts: [points], line: { color: "#a9cfc9", width: Math.max(5, 2 * trench.halfWidth * frame.scale) } });
    strokes.push({ name: "trench", parts: [points], line: lines.trench });
  }
  for (const { kind, shape: { points } } of holes) {
    if (kind === "pipe") strokes.push({ name: "pipe", parts: [points], line: { ...lines.still, dash: "solid", width: 1.6, color: ink.text } });
    if (kind === "box") strokes.push({ name: "hole", parts: [closedRing(points)], line: { ...lines.box, dash: "dot", width: 1 } });
  }
  strokes.push({ name: "pit", parts: [closedRing(pit.points)], fill: "#b9cedf", line: lines.pit });
  for (const box of boxes) {
    const parts = [closedRing(atLeast(box, 9 / frame.scale))];
    strokes.push({ name: "settling box", parts, fill: "#f4e3bd", line: { ...lines.box, dash: "solid", width: 1.8 } });
  }
  if (emitter !== null) {
    const parts = [circle(emitter, 5 / frame.scale)];
    strokes.push({ name: "emitter", parts, fill: lines.emitter.color, line: { color: ink.paper, width: 1 } });
  }
  return strokes;
}

/** Test holes: a ring with a cross that leans, of one size in every scale. */
export function testHoleStrokes(places: readonly PlanPoint[], { scale }: PlanFrame): PlanStroke[] {
  const line: Line = { color: EARTH, width: 1.4 };
  const half = 3.5 / scale;
  return places.flatMap(([x, y]): PlanStroke[] => [
    { name: "test hole", parts: [circle([x, y], 5 / scale)], fill: ink.paper, line },
    { name: "test hole", parts: [half, -half].map((rise) => [[x - half, y - rise], [x + half, y + rise]]), line },
  ]);
}

type Look = Pick<PlanStroke, "fill" | "pattern"> & { readonly line: Line };

const EARTH = "#6b5636";
const HATCH: FillPattern = Object.freeze({ shape: "/", size: 6, solidity: 0.2, fgcolor: "#a8977a", bgcolor: "#f6f1e7" });

/** How each kind is drawn: dashes, weights and fills tell them apart without colour, and each is named. */
const LOOK: Readonly<Record<FeatureKind, Look>> = Object.freeze({
  boundary: { line: { color: ink.text, width: 1.6, dash: "dashdot" } },
  building: { line: { color: ink.text, width: 1.6 }, fill: "#d9dde0" },
  wall: { line: { color: ink.text, width: 4 }, fill: "#d9dde0" },
  road: { line: { color: ink.soft, width: 1.2 }, fill: "#eceff0" },
  tree: { line: { color: "#4d6b2f", width: 1.4 }, fill: "#e3ecd9" },
  well: { line: { color: ink.text, width: 1.6 }, fill: ink.paper },
  septic: { line: { color: EARTH, width: 1.4, dash: "dash" }, fill: "#f3ecdf" },
  slope: { line: { color: EARTH, width: 1.4, dash: "longdash" }, fill: "#f6f1e7" },
  karst: { line: { color: EARTH, width: 1.4, dash: "dot" }, fill: "#f6f1e7" },
  water: { line: { color: lines.rain.color, width: 1.6 }, fill: "#dbe6ee" },
  soakaway: { line: { color: lines.pit.color, width: 1.4, dash: "dash" }, fill: "#e6eef4" },
  service: { line: { color: ink.text, width: 1.4, dash: "dot" } },
  lowPoint: { line: { color: lines.lowSpot.color, width: 1.6, dash: "dashdot" }, fill: "#eef0e2" },
  contaminated: { line: { color: EARTH, width: 1.8 }, fill: "#f6f1e7", pattern: HATCH },
  madeGround: { line: { color: EARTH, width: 1.2, dash: "dash" }, fill: "#f6f1e7", pattern: HATCH },
});

/** Whether a kind's area is hatched, so that a name in it needs paper behind it. */
export function isHatched(kind: FeatureKind): boolean {
  return LOOK[kind].pattern !== undefined;
}

/** Signs of one size in every scale: a tree's crown, a well's cross, a low point's arrowhead, a square for what was dug. */
function signStrokes(kind: FeatureKind, at: PlanPoint, { scale }: PlanFrame): PlanStroke[] {
  const { line, fill = ink.paper } = LOOK[kind];
  const px = 1 / scale;
  const solid: Line = { ...line, dash: "solid" };
  const by = (east: number, north: number): PlanPoint => [at[0] + east * px, at[1] + north * px];
  if (kind === "tree") {
    return [
      { name: kind, parts: [circle(at, 10 * px)], fill, line: solid },
      { name: kind, parts: [circle(at, 1.5 * px)], fill: line.color, line: solid },
    ];
  }
  if (kind === "lowPoint") return [{ name: kind, parts: [closedRing([by(-6, 5), by(6, 5), by(0, -6)])], fill, line: solid }];
  if (kind === "soakaway") return [{ name: kind, parts: [closedRing([by(-6, -6), by(6, -6), by(6, 6), by(-6, 6)])], fill, line }];
  return [
    { name: kind, parts: [circle(at, 6 * px)], fill, line: solid },
    { name: kind, parts: [[by(-6, 0), by(6, 0)], [by(0, -6), by(0, 6)]], line: solid },
  ];
}

/** Short strokes up the slope from its toe; which way is up no plan tells, so they stand on the side away from the lot's middle. */
function slopeTicks(shape: PlanShape, { scale, corner, width, height }: PlanFrame): PlanPoint[][] {
  const middle: PlanPoint = [corner[0] + width / 2 / scale, corner[1] + height / 2 / scale];
  return sidesOf(shape).flatMap(([a, b]) => {
    const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
    const [ux, uy] = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
    const away = Math.sign((middle[0] - a[0]) * uy - (middle[1] - a[1]) * ux) || 1;
    const count = Math.floor((length * scale) / 12);
    return Array.from({ length: count }, (_, i): PlanPoint[] => {
      const at = ((i + 0.5) / count) * length;
      const foot: PlanPoint = [a[0] + at * ux, a[1] + at * uy];
      return [foot, [foot[0] - (away * uy * 7) / scale, foot[1] + (away * ux * 7) / scale]];
    });
  });
}

/** A box drawn large enough to be seen, about its own middle [m]. */
function atLeast({ points }: PlanShape, size: number): PlanPoint[] {
  const middle: PlanPoint = [points.reduce((sum, [x]) => sum + x, 0) / 4, points.reduce((sum, [, y]) => sum + y, 0) / 4];
  const side = Math.hypot(points[1]![0] - points[0]![0], points[1]![1] - points[0]![1]);
  const grown = Math.max(1, size / side);
  return points.map(([x, y]): PlanPoint => [middle[0] + grown * (x - middle[0]), middle[1] + grown * (y - middle[1])]);
}

function circle([x, y]: PlanPoint, radius: number): PlanPoint[] {
  return Array.from({ length: 25 }, (_, i): PlanPoint => {
    const angle = (i * Math.PI) / 12;
    return [x + radius * Math.cos(angle), y + radius * Math.sin(angle)];
  });
}

function closedRing(points: readonly PlanPoint[]): PlanPoint[] {
  return [...points, points[0]!];
}

/** A point for an area's name: the middle of its bounds where that lies in it, else its first corner. */
export function nameSpot({ points, closed }: PlanShape): PlanPoint {
  const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
  const middle: PlanPoint = [(leastOf(xs) + greatestOf(xs)) / 2, (leastOf(ys) + greatestOf(ys)) / 2];
  return closed && !insideRing(middle, points) ? points[0]! : middle;
}

/**
 * The outlines of a raster's filled cells as closed rings: what is filled lies to the left of each, so that the ring round a
 * hole runs the other way and stays a hole when both are filled as one path.
 */
export function rasterOutline(raster: PlanRaster): PlanPoint[][] {
  const next = edgesFrom(raster);
  const rings: PlanPoint[][] = [];
  for (const start of next.keys()) {
    while (next.get(start)!.length > 0) rings.push(ringFrom(start, next, raster));
  }
  return rings;
}

/** Each side between a filled cell and one that is not, by the grid corner it begins at. */
function edgesFrom({ columns, rows, filled }: PlanRaster): Map<number, number[]> {
  const across = columns + 1;
  const next = new Map<number, number[]>();
  const isFilled = (column: number, row: number): boolean =>
    column >= 0 && column < columns && row >= 0 && row < rows && filled[row * columns + column] === 1;
  const add = (from: number, to: number): void => {
    next.set(from, [...next.get(from) ?? [], to]);
  };
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      if (!isFilled(column, row)) continue;
      const corner = row * across + column;
      if (!isFilled(column, row - 1)) add(corner, corner + 1);
      if (!isFilled(column + 1, row)) add(corner + 1, corner + 1 + across);
      if (!isFilled(column, row + 1)) add(corner + 1 + across, corner + across);
      if (!isFilled(column - 1, row)) add(corner + across, corner);
    }
  }
  return next;
}

/** Follows sides from a corner back to it, keeping only the corners at which they turn. */
function ringFrom(start: number, next: Map<number, number[]>, { corner, step, columns }: PlanRaster): PlanPoint[] {
  const across = columns + 1;
  const corners: number[] = [];
  let at = start;
  let heading = 0;
  do {
    const to = next.get(at)!.pop()!;
    if (to - at !== heading) corners.push(at);
    heading = to - at;
    at = to;
  } while (at !== start);
  return corners.map((each): PlanPoint => [corner[0] + (each % across) * step, corner[1] + Math.floor(each / across) * step]);
}
