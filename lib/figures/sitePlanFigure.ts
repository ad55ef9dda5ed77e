import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { roomLeft, type RoomLeft } from "../plan/roomLeft.ts";
import { siting, type Siting, type SitingRow } from "../plan/siting.ts";
import { worksShapes, type WorksShapes } from "../plan/worksShapes.ts";
import { type PlanPoint, type PlanShape, sidesOf } from "../plane/planShape.ts";
import type { Site } from "../site/site.ts";
import { type Feature, featureKinds } from "../site/surroundings.ts";
import { allHoles, type TestHole } from "../site/testHoles.ts";
import { distanceText } from "../text/distanceText.ts";
import { areaText, displayUnits, type UnitSystem } from "../text/format.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { percentText, tenthsText } from "../text/words.ts";
import type { Annotation, Figure, LineTrace } from "./figure.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietConfig } from "./look.ts";
import { type AroundPlace, type AroundWish, placeAround, type Spot } from "./placeAround.ts";
import { type PlanDimension, planDimensions } from "./planDimensions.ts";
import { planFrame, type PlanFrame } from "./planFrame.ts";
import { featureStrokes, isHatched, nameSpot, type PlanStroke, roomStrokes, testHoleStrokes, worksStrokes } from "./planStrokes.ts";
import { NARROW } from "./plotEdges.ts";
import { HALO } from "./sectionText.ts";
import { crossingsOf, shownCrossing, shownName, sitingAnswer } from "./sitingAnswer.ts";
import { textWidth, wrapText } from "./textWidth.ts";

/**
 * The lot from above, north up and to one scale: what stands on and around it, the works at their size with the pipes between them, a
 * cross where a hole meets something, test holes where they were dug, distances from the nearest hole's edge (with `<` and what is asked
 * where they are nearer than that), and hatched the ground on which such a pit keeps every distance. The title is what is crossed and the
 * nearest critical distance.
 *
 * @param options.siting  of the site, where it is made already or by other rules
 * @param options.room    of the site, likewise
 * @returns  null where the site file has no plan
 */
export function sitePlanFigure(
  site: Site, options: FigureOptions & { readonly siting?: Siting; readonly room?: RoomLeft | null } = {},
): Figure | null {
  const works = worksShapes(site);
  if (works === null) return null;
  const { width = 960, siting: found = siting(site), room = roomLeft(site, { rules: found.rules }) } = options;
  const { small, body } = letterSizes(width);
  const answer = sitingAnswer(found, site.units);
  const title = options.title === false ? null : answerTitle(plotText(answer, Infinity), plotText(subtitle(site, room), Infinity), width);
  const frame = planFrame(site, width - 2 * MARGIN, width < NARROW ? 1.45 * width : 700);
  const features = site.surroundings!.features.filter(({ shape }) => shape !== null);
  const ordered = [...features].sort((a, b) => drawnAt(a) - drawnAt(b));
  const dimensions = planDimensions(found, site, width < NARROW ? 4 : 7);
  const strokes = (signs: boolean): PlanStroke[] => ordered
    .filter((feature) => (drawnAt(feature) === SIGN) === signs)
    .flatMap((feature) => featureStrokes(feature, frame));
  const holes = allHoles(site.soil).flatMap(({ name, at }) => (at === null ? [] : [{ name, at }]));
  const drawn = [
    ...(room === null ? [] : roomStrokes(room)), ...strokes(false), ...dimensionStrokes(dimensions, frame), ...strokes(true),
    ...worksStrokes(works, frame), ...testHoleStrokes(holes.map(({ at }) => at), frame), ...crossingStrokes(found, frame),
  ];
  const labels = [
    ...worksLabels(works, frame, body), ...dimensions.map((each) => dimensionLabel(each, frame, small)),
    ...ordered.map((feature) => featureLabel(feature, frame, small)), ...holes.map((hole) => testHoleLabel(hole, frame, small)),
  ];
  const places = placeAround(labels.map(({ wish }) => wish), frame, strokesOf(drawn, frame));
  const unplaced = labels.filter((_, i) => places[i] === null).map(({ text }) => text);
  const foot = planFoot(site, found, unplaced, frame, small);
  const unit = displayUnits(site.units).level.size;
  const { corner: [west, south], scale } = frame;
  const top = title?.height ?? 4;
  return {
    data: [...drawn, ...foot.strokes].map((stroke) => strokeTrace(stroke, unit)),
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(top + frame.height + foot.height + MARGIN),
      margin: { l: MARGIN, r: MARGIN, t: top, b: MARGIN },
      hovermode: false,
      dragmode: false,
      xaxis: { ...BARE, range: [west / unit, (west + frame.width / scale) / unit] },
      yaxis: { ...BARE, ...EQUAL, range: [(south - foot.height / scale) / unit, (south + frame.height / scale) / unit] },
      annotations: [
        ...labels.flatMap((label, i) => labelNotes(label, places[i]!, frame, unit)), ...foot.notes,
      ],
      shapes: [],
    },
    config: quietConfig(),
    answer,
    description: description(site, found, room, answer),
  };
}

const MARGIN = 6;
const BARE = { showgrid: false, zeroline: false, showticklabels: false, fixedrange: true } as const;
/** One scale east and north, also where a page stretches the picture. */
const EQUAL = { scaleanchor: "x", scaleratio: 1 } as const;

/** The lot lies under all, areas under lines, signs over both. */
function drawnAt({ kind, shape }: Feature): number {
  return kind === "boundary" ? 0 : shape!.closed ? 1 : shape!.points.length > 1 ? 2 : SIGN;
}

const SIGN = 3;

function subtitle(site: Site, room: RoomLeft | null): string {
  return [plainText(site.name, 60), "to scale, north up", ...(room === null ? [] : [roomWords(room)])].join(" · ");
}

/** What is hatched. */
export function roomWords(room: RoomLeft): string {
  return room.area > 0 ? `hatched: where such a pit keeps every distance asked, ${shareText(room.share)} of the lot`
    : "nowhere on the lot does such a pit, turned so, keep every distance asked";
}

/** A share of the lot: `9.6 %`, `42 %`. */
export function shareText(share: number): string {
  return share < 0.0995 ? tenthsText(share) : percentText(share);
}

function strokeTrace({ name, parts, fill, pattern, line }: PlanStroke, unit: number): LineTrace {
  const gapped = parts.flatMap((part, i): (PlanPoint | null)[] => (i === 0 ? [...part] : [null, ...part]));
  return {
    type: "scatter", name, mode: "lines",
    // A gap repeats its neighbour's place: only a missing height makes it one.
    x: gapped.map((point, i) => shortNumber((point ?? gapped[i - 1]!)[0] / unit)),
    y: gapped.map((point) => (point === null ? null : shortNumber(point[1] / unit))),
    line: line ?? { color: "rgba(0,0,0,0)", width: 0 },
    ...(fill === undefined ? {} : { fill: "toself" as const, fillcolor: fill }), ...(pattern === undefined ? {} : { fillpattern: pattern }),
    hoverinfo: "skip", xaxis: "x", yaxis: "y", showlegend: false,
  };
}

/** A line each, and the draughtsman's strokes across its ends. */
function dimensionStrokes(dimensions: readonly PlanDimension[], { scale }: PlanFrame): PlanStroke[] {
  return dimensions.flatMap(({ way: { from, to }, isNear }): PlanStroke[] => {
    const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
    const [x, y] = [(to[0] - from[0]) / length, (to[1] - from[1]) / length];
    const half = 4 / scale;
    const tick = ([east, north]: PlanPoint): PlanPoint[] =>
      [[east - half * (x - y), north - half * (y + x)], [east + half * (x - y), north + half * (y + x)]];
    return [
      { name: "distance", parts: [[from, to]], line: { color: ink.text, width: isNear ? 1.8 : 1 } },
      { name: "distance", parts: [tick(from), tick(to)], line: { color: ink.text, width: 1.4 } },
    ];
  });
}

/** A cross where a hole meets a line or a point. */
function crossingStrokes(found: Siting, { scale }: PlanFrame): PlanStroke[] {
  const spots = crossingsOf(found).flatMap(({ feature: { shape }, way }) => (way === null || shape!.closed ? [] : [way.to]));
  if (spots.length === 0) return [];
  const half = 7 / scale;
  return [{
    name: "crossing", line: { color: ink.text, width: 3 },
    parts: spots.flatMap(([x, y]) => [half, -half].map((rise): PlanPoint[] => [[x - half, y - rise], [x + half, y + rise]])),
  }];
}

/** Every line drawn, as pairs of spots that a label has to mind; the hatching is soft enough to be written on. */
function strokesOf(drawn: readonly PlanStroke[], { spot }: PlanFrame): [Spot, Spot][] {
  return drawn
    .filter(({ name }) => name !== "room left")
    .flatMap(({ parts }) => parts)
    .flatMap((points) => sidesOf({ points, closed: false }).map(([a, b]): [Spot, Spot] => [spot(a), spot(b)]));
}

function labelNotes(label: PlanLabel, place: AroundPlace | null, { corner, scale }: PlanFrame, unit: number): Annotation[] {
  if (place === null) return [];
  const { text, size, color, halo } = label;
  const { box, from } = place;
  const middle: Spot = [(box.left + box.right) / 2, (box.bottom + box.top) / 2];
  const note = {
    text, xref: "x", yref: "y", xanchor: "center", yanchor: "middle", font: font(size, color),
    ...(halo ? { bgcolor: HALO } : {}), borderpad: 0,
  } as const;
  const at = ([x, y]: Spot): { x: number; y: number } => ({
    x: shortNumber((corner[0] + x / scale) / unit), y: shortNumber((corner[1] + y / scale) / unit),
  });
  if (from === null) return [{ ...note, ...at(middle), showarrow: false }];
  return [{
    ...note, ...at(from), showarrow: true, ax: whole(middle[0] - from[0]), ay: whole(from[1] - middle[1]), arrowhead: 0,
    arrowwidth: 0.8, arrowcolor: ink.soft,
  }];
}

function description(site: Site, { rows, header }: Siting, room: RoomLeft | null, answer: string): string {
  const nearest = site.surroundings!.features.map((feature) => rows.find((row) => row.feature === feature)!);
  const found = nearest.map((row) => distanceWords(row, site.units)).join(", ");
  const left = room === null ? "" : ` Such a pit keeps every distance asked on ${areaText(room.area, site.units)}, ${shareText(room.share)} of the lot.`;
  return plainText(`Plan of the lot. ${answer} From the edge of the nearest hole: ${found}.${left} ${header}`);
}

/** The added zero turns -0 into 0. */
function whole(pixels: number): number {
  return Math.round(pixels) + 0;
}

/** The strip under a plan: a scale bar, the north arrow, and in words what the drawing does not show. */
interface PlanFoot {
  /** [px] */
  readonly height: number;
  readonly strokes: readonly PlanStroke[];
  readonly notes: readonly Annotation[];
}

/** @param unplaced  names that found no room in the drawing, plotly text */
function planFoot(site: Site, siting: Siting, unplaced: readonly string[], frame: PlanFrame, size: number): PlanFoot {
  const unit = displayUnits(site.units).level.size;
  const words = footLines(site, siting, unplaced, frame.width, size);
  return {
    height: 44 + words.length * size * 1.35,
    strokes: footStrokes(frame, unit),
    notes: footNotes(frame, unit, size, words, site),
  };
}

/** A feature and how far it is from a hole, in words. */
function distanceWords(row: SitingRow, units: UnitSystem): string {
  const { feature, phrase, distance } = row;
  return distance === 0 ? shownCrossing(row, units) : `${shownName(feature)} ${distanceText(distance, units)} from ${plainText(phrase, 60)}`;
}

/** What the drawing itself cannot show: features without a place, those far off, and names that found no room. */
function footLines(site: Site, { rows, unplaced: holes }: Siting, unplaced: readonly string[], width: number, size: number): string[] {
  const off = rows.filter(({ way }) => way === null).map((each) => distanceWords(each, site.units));
  const apart = allHoles(site.soil).flatMap(({ name, at, fromPit }) => (
    at !== null ? [] : [`${name}${fromPit === null ? "" : ` ${distanceText(fromPit, site.units)} from the pit`}`]));
  const said = [
    ...(off.length === 0 ? [] : [`Not drawn, given by distance: ${plotText(off.join(", "), 300)}.`]),
    ...(apart.length === 0 ? [] : [`Test holes without a place on the plan: ${plotText(apart.join(", "), 300)}.`]),
    ...(holes.length === 0 ? [] : [`Not on the plan: ${plotText(holes.join(", "), 300)}.`]),
    ...(unplaced.length === 0 ? [] : [`Drawn without room for a name: ${unplaced.join(", ")}.`]),
  ];
  return said.flatMap((line) => wrapText(line, width, size));
}

/** A scale bar and the north arrow, in the strip under the drawing. */
function footStrokes(frame: PlanFrame, unit: number): PlanStroke[] {
  const { corner: [west, south], scale, width } = frame;
  const bar = barLength(frame, unit);
  const px = 1 / scale;
  const y = south - 26 * px;
  const box = (from: number, to: number): PlanPoint[] =>
    [[west + from, y], [west + to, y], [west + to, y + 5 * px], [west + from, y + 5 * px], [west + from, y]];
  const start = 8 * px;
  const x = west + (width - 12) * px;
  const line = { color: ink.text, width: 1 };
  return [
    { name: "scale", parts: [box(start, start + bar / 2)], fill: ink.text, line },
    { name: "scale", parts: [box(start + bar / 2, start + bar)], fill: ink.paper, line },
    { name: "north", parts: [[[x, y - 6 * px], [x, y + 20 * px]]], line: { ...line, width: 1.4 } },
    {
      name: "north", parts: [[[x - 5 * px, y + 10 * px], [x, y + 22 * px], [x + 5 * px, y + 10 * px], [x - 5 * px, y + 10 * px]]],
      fill: ink.text, line,
    },
  ];
}

/** About a fifth of the drawing, a round number of the site's unit [m]. */
function barLength({ width, scale }: PlanFrame, unit: number): number {
  const wanted = Math.max(width / 5, 60) / scale / unit;
  const decade = 10 ** Math.floor(Math.log10(wanted));
  return ([5, 2, 1].find((each) => each * decade <= wanted) ?? 1) * decade * unit;
}

function footNotes(frame: PlanFrame, unit: number, size: number, foot: readonly string[], site: Site): Annotation[] {
  const { corner: [west, south], scale, width } = frame;
  const bar = barLength(frame, unit);
  const note = (text: string, x: number, below: number, xanchor: Annotation["xanchor"]): Annotation => ({
    text, x: shortNumber((west + x / scale) / unit), y: shortNumber((south - below / scale) / unit), xref: "x", yref: "y", xanchor, yanchor: "middle",
    showarrow: false, align: "left", font: font(size, ink.text),
  });
  const end = 8 + bar * scale;
  return [
    note("0", 8, 12, "center"), note(distanceText(bar, site.units), end, 12, "center"), note("<b>N</b>", width - 20, 24, "right"),
    ...foot.map((line, i) => note(line, 0, 46 + i * size * 1.35, "left")),
  ];
}

/** A text of the plan and where it may stand. */
interface PlanLabel {
  /** plotly text */
  readonly text: string;
  readonly size: number;
  readonly color: string;
  /** paper behind it, where lines or hatching may run */
  readonly halo: boolean;
  readonly wish: AroundWish;
}

/** A distance's figure: on its line or right beside it; where there is little room, what is asked stands in a line below. */
function dimensionLabel({ way, words, isNear }: PlanDimension, { spot, width, height }: PlanFrame, size: number): PlanLabel {
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
function worksLabels({ pit, boxes, trench, emitter }: WorksShapes, { spot }: PlanFrame, size: number): PlanLabel[] {
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
function featureLabel(feature: Feature, { spot, width, height }: PlanFrame, size: number): PlanLabel {
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
function testHoleLabel({ name, at }: Pick<TestHole, "name"> & { readonly at: PlanPoint }, { spot }: PlanFrame, size: number): PlanLabel {
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
