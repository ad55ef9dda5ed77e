import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { sidesOf, type PlanPoint, type PlanShape } from "../plane/planShape.ts";
import { featureKinds, type Feature } from "../site/surroundings.ts";
import type { TestHole } from "../site/testHoles.ts";
import type { WorksShapes } from "../plan/worksShapes.ts";
import { ink, lines } from "./look.ts";
import type { AroundWish, Spot } from "./placeAround.ts";
import type { PlanDimension } from "./planDimensions.ts";
import type { PlanFrame } from "./planFrame.ts";
import { isHatched, nameSpot } from "./planStrokes.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { NARROW } from "./plotEdges.ts";
import { textWidth } from "./textWidth.ts";

/** A text of the plan and where it may stand. */
export interface PlanLabel {
  /** plotly text */
  readonly text: string;
  readonly size: number;
  readonly color: string;
  /** paper behind it, where lines or hatching may run */
  readonly halo: boolean;
  readonly wish: AroundWish;
}

/** A distance's figure: on its line or right beside it; where there is little room, what is asked stands in a line below. */
export function dimensionLabel({ way, words, isNear }: PlanDimension, { spot, width, height }: PlanFrame, size: number): PlanLabel {
  const [from, to] = [spot(way.from), spot(way.to)];
  const at = (share: number): Spot => [from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])];
  const inside = SHARES.map(at).filter(([x, y]) => x > 0 && x < width && y > 0 && y < height);
  const rows = width < NARROW ? words.split(" < ").map((row, i) => (i === 0 ? row : `< ${row}`)) : [words];
  const wide = greatestOf(rows.map((row) => textWidth(row, size, isNear))) + 4;
  const high = rows.length * size * 1.3;
  const [across, up] = [Math.abs(to[0] - from[0]), Math.abs(to[1] - from[1])];
  // On a line hardly longer than itself a figure would hide it.
  const isLong = across > up ? across > wide + 24 : up > high + 24;
  const text = rows.map((row) => plotText(row)).join("<br>");
  return {
    text: isNear ? `<b>${text}</b>` : text, size, color: ink.text, halo: true,
    wish: { width: wide, height: high, on: isLong ? inside : [], around: inside, pull: 3 },
  };
}

const SHARES = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8];

/** The names of the works. */
export function worksLabels({ pit, boxes, trench, emitter }: WorksShapes, { spot }: PlanFrame, size: number): PlanLabel[] {
  const label = (text: string, color: string, on: readonly PlanPoint[], around: readonly PlanPoint[]): PlanLabel => ({
    text: `<b>${text}</b>`, size, color, halo: on.length === 0,
    wish: { width: textWidth(text, size, true) + 4, height: size * 1.3, on: on.map(spot), around: around.map(spot), pull: 1 },
  });
  return [
    label("pit", lines.pit.color, isRoomy(pit, "pit", size, spot) ? [nameSpot(pit)] : [], pit.points),
    ...boxes.slice(0, 1).map((box) => label(boxes.length > 1 ? "settling boxes" : "settling box", lines.box.color, [], [nameSpot(box)])),
    ...(trench === null ? [] : [label("trench", lines.trench.color, [], [0.5, 0.4, 0.6, 0.3, 0.7].map((share) => along(trench.line, share)))]),
    ...(emitter === null ? [] : [label("emitter", lines.emitter.color, [], [emitter])]),
  ];
}

/** The name of a feature: in its area where it fits, else beside it. */
export function featureLabel(feature: Feature, { spot, width, height }: PlanFrame, size: number): PlanLabel {
  const words = plainText(labelWords(feature), 28);
  const shape = feature.shape!;
  const shown = shape.points.length === 1 ? [shape.points[0]!] : ALONG.map((share) => along(shape, share));
  const seen = shown.map(spot).filter(([x, y]) => x >= 0 && x <= width && y >= 0 && y <= height);
  const inArea = shape.closed && feature.kind !== "boundary" && isRoomy(shape, words, size, spot);
  return {
    text: plotText(words, Infinity), size, color: ink.text, halo: !inArea || isHatched(feature.kind),
    wish: { width: textWidth(words, size) + 4, height: size * 1.3, on: inArea ? [spot(nameSpot(shape))] : [], around: seen, pull: 1 },
  };
}

const ALONG = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9, 0.02, 0.98];

/** The name of a test hole, beside it. */
export function testHoleLabel({ name, at }: Pick<TestHole, "name"> & { readonly at: PlanPoint }, { spot }: PlanFrame, size: number): PlanLabel {
  const words = plainText(`test hole ${name}`, 28);
  return {
    text: plotText(words, Infinity), size, color: ink.text, halo: true,
    wish: { width: textWidth(words, size) + 4, height: size * 1.3, on: [], around: [spot(at)], pull: 1 },
  };
}

/** Some names tell what a thing is; others need the kind before them. */
function labelWords({ kind, name }: Feature): string {
  if (name === null) return featureKinds[kind];
  return kind === "service" ? `buried: ${name}` : kind === "madeGround" || kind === "contaminated" ? `${featureKinds[kind]}: ${name}` : name;
}

/** Whether a text fits into an area's bounds. */
function isRoomy({ points }: PlanShape, words: string, size: number, spot: PlanFrame["spot"]): boolean {
  const spots = points.map(spot);
  const span = (axis: 0 | 1): number => greatestOf(spots.map((each) => each[axis])) - leastOf(spots.map((each) => each[axis]));
  return span(0) > textWidth(words, size, true) + 8 && span(1) > size * 1.4;
}

/** The point at a share of a line's length. */
function along(shape: PlanShape, share: number): PlanPoint {
  const sides = sidesOf(shape);
  const lengths = sides.map(([a, b]) => Math.hypot(b[0] - a[0], b[1] - a[1]));
  let rest = share * lengths.reduce((sum, each) => sum + each, 0);
  for (const [i, [a, b]] of sides.entries()) {
    const length = lengths[i]!;
    if (rest <= length && length > 0) return [a[0] + (rest / length) * (b[0] - a[0]), a[1] + (rest / length) * (b[1] - a[1])];
    rest -= length;
  }
  return sides.at(-1)![1];
}
