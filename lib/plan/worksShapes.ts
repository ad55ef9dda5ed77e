import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { type PlanPoint, type PlanShape, shapeDistance, type ShapeGap, sidesOf, turnedRectangle } from "../plane/planShape.ts";
import { materialFigures } from "../site/materials.ts";
import type { Site } from "../site/site.ts";
import { boxPlan } from "./boxPlan.ts";
import { chamberLayout } from "./chamberLayout.ts";
import type { Hole } from "./hole.ts";
import { boxStation, pipeName } from "./levelRows.ts";

/** The works as shapes of the plan. */
export interface WorksShapes {
  readonly pit: PlanShape;
  readonly boxes: readonly PlanShape[];
  /** the middle line of the trench, and half of its width on either side of it [m]; null where the plan has none */
  readonly trench: { readonly line: PlanShape; readonly halfWidth: number } | null;
  readonly emitter: PlanPoint | null;
  /** the holes to be dug, in the water's way */
  readonly holes: readonly PlacedHole[];
  /** the holes that the plan does not place, in words: `the hole for the settling box` */
  readonly unplaced: readonly string[];
}

/** A hole to be dug where the plan puts it. */
export interface PlacedHole {
  readonly kind: Hole["kind"];
  /** as the order list has it: `settling box`, `pipe from the settling box`, `pit`, `pipe to the trench`, `overflow trench` */
  readonly name: string;
  /** the same in a sentence: `the hole for the settling box`, `the pit` */
  readonly phrase: string;
  /** its area; of a trench or a pipe its middle line, from its upper end on */
  readonly shape: PlanShape;
  /** of a trench or a pipe [m]; 0 for an area */
  readonly halfWidth: number;
  /** what is dug: the area itself, or a rectangle for each side of a line, square at its ends */
  readonly areas: readonly PlanShape[];
  /** the bends of a line, each dug half its width round */
  readonly bends: readonly PlanPoint[];
  /** of a trench or a pipe as the file gives it [m]; null where it does not, and for an area */
  readonly length: number | null;
  /** of a pipe, from the pit's edge on to the wall of the chamber it runs to [m]; 0 for all else */
  readonly reach: number;
  /** the place of that chamber in the layout; null without one, and for all else */
  readonly chamber: number | null;
  /** what soaks: the pit and the trench, of which rules on distances speak */
  readonly soaks: boolean;
}

/**
 * The works of a site where its plan puts them, at the sizes of the site; null without a plan. Each box faces its pipe, its length along
 * it, in a hole with room to work; one in the pit lies as the pit does. The plan has no way of a pipe: it is taken straight to the chamber
 * nearest to the middle of a box, or to the head of the trench, and dug as far as the pit's edge; to the nearest edge of a pit without
 * chambers.
 */
export function worksShapes(site: Site): WorksShapes | null {
  const { surroundings, chamberBank, settlingBoxes, overflowTrench, emitter } = site;
  const works = surroundings?.works ?? null;
  if (works === null) return null;
  const { figures } = materialFigures(site);
  const { turnedDegrees } = works.pit;
  const pit = turnedRectangle(works.pit.at, chamberBank.length, chamberBank.width, turnedDegrees);
  const aims = chambersAt(site);
  const boxAt = (i: number, room: number): PlanShape => {
    const { length, width } = boxPlan(settlingBoxes[i]!, figures);
    const [x, y] = works.boxes[i]!;
    const [u, v] = wayIn([x, y], pit, aims).to;
    const facing = u === x && v === y ? turnedDegrees : (Math.atan2(v - y, u - x) * 180) / Math.PI;
    return turnedRectangle([x, y], length + 2 * room, width + 2 * room, facing);
  };
  const boxes = settlingBoxes.slice(0, works.boxes.length).map((_, i) => boxAt(i, 0));
  const trench = works.trench === null || overflowTrench === null ? null
    : { line: lineOf(works.trench), halfWidth: overflowTrench.width / 2 };
  const outlet = emitter === null ? null : works.emitter ?? trench?.line.points.at(-1) ?? null;
  const holes: PlacedHole[] = [];
  const unplaced: string[] = [];
  const area = (kind: "box" | "pit", name: string, phrase: string, shape: PlanShape): void => {
    holes.push({ kind, name, phrase, shape, halfWidth: 0, areas: [shape], bends: [], length: null, reach: 0, chamber: null, soaks: kind === "pit" });
  };
  const pipe = (name: string, length: number | null, way: PipeWay | null): void => {
    if (way === null) unplaced.push(`the ${name}`);
    else if (Math.hypot(way.to[0] - way.from[0], way.to[1] - way.from[1]) > 0) {
      holes.push({ kind: "pipe", name, phrase: `the ${name}`, ...dugAlong([way.from, way.to], figures.pipeTrenchWidth / 2), length, reach: way.reach, chamber: way.chamber, soaks: false });
    }
  };
  settlingBoxes.forEach((box, i) => {
    const name = boxStation(box, site);
    const phrase = settlingBoxes.length === 1 ? "the hole for the settling box" : `the hole for box “${name}”`;
    if (i < boxes.length) area("box", name, phrase, boxAt(i, figures.workingSpace));
    else unplaced.push(phrase);
    pipe(pipeName(box, site), box.outlet.length, i < boxes.length ? wayOut(works.boxes[i]!, boxes[i]!, pit, aims) : null);
  });
  area("pit", "pit", "the pit", pit);
  if (overflowTrench !== null) {
    const { inlet, length } = overflowTrench;
    const name = "overflow trench";
    const head = trench?.line.points[0];
    pipe("pipe to the trench", inlet.length, head === undefined ? null : turned(wayIn(head, pit, aims)));
    if (trench === null) unplaced.push(`the ${name}`);
    else holes.push({ kind: "trench", name, phrase: `the ${name}`, ...dugAlong(trench.line.points, trench.halfWidth), length, reach: 0, chamber: null, soaks: true });
    if (outlet !== null && trench !== null) {
      const way = shapeDistance(lineOf([trench.line.points.at(-1)!]), lineOf([outlet]));
      if (way.distance > trench.halfWidth) pipe("pipe to the emitter", null, { ...way, reach: 0, chamber: null });
    }
  }
  return { pit, boxes, trench, emitter: outlet, holes, unplaced };
}

function dugAlong(points: readonly PlanPoint[], halfWidth: number): Pick<PlacedHole, "shape" | "halfWidth" | "areas" | "bends"> {
  const areas = ribbon(points, halfWidth);
  // a line all of whose points are one has no direction: a circle about it is dug
  return { shape: lineOf(points), halfWidth, areas, bends: areas.length === 0 ? points : points.slice(1, -1) };
}

function lineOf(points: readonly PlanPoint[]): PlanShape {
  return { points, closed: false };
}

interface PipeWay extends Pick<ShapeGap, "from" | "to"> {
  /** from the pit's edge on to the wall of the chamber that it runs to [m]; 0 without one */
  readonly reach: number;
  /** its place in the layout; null without one */
  readonly chamber: number | null;
}

interface PlacedChamber {
  readonly at: PlanPoint;
  readonly diameter: number;
}

/** The chambers on the plan; none without a plan. */
function chambersAt({ surroundings, chamberBank }: Site): PlacedChamber[] {
  const pit = surroundings?.works?.pit;
  if (pit === undefined) return [];
  const { at: [east, north], turnedDegrees } = pit;
  const [cos, sin] = [Math.cos((turnedDegrees * Math.PI) / 180), Math.sin((turnedDegrees * Math.PI) / 180)];
  return (chamberLayout(chamberBank)?.at ?? []).map(({ along, across, diameter }) => {
    const [x, y] = [along - chamberBank.length / 2, across - chamberBank.width / 2];
    return { at: [east + x * cos - y * sin, north + x * sin + y * cos], diameter };
  });
}

/** From the wall of a box straight to the nearest chamber; of no length where box and pit meet. */
function wayOut(middle: PlanPoint, box: PlanShape, pit: PlanShape, chambers: readonly PlacedChamber[]): PipeWay {
  const way = wayIn(middle, pit, chambers);
  if (shapeDistance(box, pit).distance === 0) return { ...way, from: way.to };
  return { ...way, from: pointAt(middle, way.to, greatestOf([0, ...crossingsOf(box, middle, way.to)])) };
}

/** From a point straight to the pit, towards the nearest chamber in it. */
function wayIn(from: PlanPoint, pit: PlanShape, chambers: readonly PlacedChamber[]): PipeWay {
  const far = ({ at, diameter }: PlacedChamber): number => Math.hypot(at[0] - from[0], at[1] - from[1]) - diameter / 2;
  const straight = shapeDistance(lineOf([from]), pit);
  if (chambers.length === 0 || straight.distance === 0) return { from, to: straight.to, reach: 0, chamber: null };
  const nearest = chambers.reduce((near, each) => (far(each) < far(near) - 1e-9 ? each : near));
  const to = pointAt(from, nearest.at, leastOf([1, ...crossingsOf(pit, from, nearest.at)]));
  return { from, to, reach: Math.max(0, far(nearest) - Math.hypot(to[0] - from[0], to[1] - from[1])), chamber: chambers.indexOf(nearest) };
}

function turned({ from, to, ...rest }: PipeWay): PipeWay {
  return { from: to, to: from, ...rest };
}

function pointAt([x, y]: PlanPoint, [u, v]: PlanPoint, share: number): PlanPoint {
  return [x + share * (u - x), y + share * (v - y)];
}

/** The shares of the way from one point to another at which it crosses the edge of a shape. */
function crossingsOf(shape: PlanShape, from: PlanPoint, to: PlanPoint): number[] {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  return sidesOf(shape).flatMap(([[ax, ay], [bx, by]]) => {
    const across = dx * (by - ay) - dy * (bx - ax);
    if (across === 0) return [];
    const share = ((ax - from[0]) * (by - ay) - (ay - from[1]) * (bx - ax)) / across;
    const along = ((ax - from[0]) * dy - (ay - from[1]) * dx) / across;
    return share >= 0 && share <= 1 && along >= -1e-9 && along <= 1 + 1e-9 ? [share] : [];
  });
}

/**
 * A line with a width as areas: a rectangle for each of its sides, square at both ends. At a bend a wedge stays open on the outer side,
 * within half the width of the bend.
 *
 * @param points     two or more [m]
 * @param halfWidth  to either side of the line, more than 0 [m]
 * @example ribbon([[0, 0], [4, 0]], 1)[0].points; // => [[0, -1], [4, -1], [4, 1], [0, 1]]
 */
export function ribbon(points: readonly PlanPoint[], halfWidth: number): PlanShape[] {
  return points.slice(1).flatMap(([x, y], i): PlanShape[] => {
    const [px, py] = points[i]!;
    const long = Math.hypot(x - px, y - py);
    if (long === 0) return [];
    const [dx, dy] = [(-(y - py) / long) * halfWidth, ((x - px) / long) * halfWidth];
    return [{ points: [[px - dx, py - dy], [x - dx, y - dy], [x + dx, y + dy], [px + dx, py + dy]], closed: true }];
  });
}
