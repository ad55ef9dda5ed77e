import { LESSON_DAMP, LESSON_DEEP, LESSON_HOURS, lessonRise, lessonTable, slope, TOP_PLACE, type LessonState } from "../study/lesson.ts";
import type { Run } from "../simulate/run.ts";
import { momentText } from "../text/hours.ts";
import type { Annotation, Figure, FillPattern, LineTrace } from "./figure.ts";
import { drawnTimes } from "./drawnTimes.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig } from "./look.ts";
import { labelCurves, type NamedCurve } from "./labelCurves.ts";
import { NARROW } from "./plotEdges.ts";
import { DEEP_WATER, OUTLINE, rectangle, SATURATED, SOAKED, THIN, WATER, type DrawnArea, type Point } from "./sectionArea.ts";
import { GROUNDWATER, STONE } from "./sectionDrawing.ts";
import { HALO } from "./sectionText.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { textWidth } from "./textWidth.ts";

const LEFT = 40;
const RIGHT = 12;
/** What is seen of the slope, along it [m]; and levels. */
const SEEN = { from: -16, to: 41, low: 16.8, high: 25.4 } as const;
/** The hollow beside the foot, along the slope [m]. */
const HOLLOW = { middle: -7.5, half: 6.5 } as const;
const MOST_STRETCH = 5;

/** The pit's two ends along the slope, and the ends of the step it lies in, dug level, from its middle [m]. */
const PIT_HALF = 2.5;
const STEP_HALF = 3.2;

/** How high the ground stands at a place along the slope [m]. */
function groundAt(along: number, pit: number, up: number): number {
  if (Math.abs(along - pit) <= STEP_HALF) return 20 + up;
  if (along < HOLLOW.middle - HOLLOW.half) return 19.78;
  if (along < HOLLOW.middle + HOLLOW.half) return 19.4 + 0.38 * Math.abs((along - HOLLOW.middle) / HOLLOW.half) ** 2;
  if (along < 0) return 19.78 + 0.22 * ((along - HOLLOW.middle - HOLLOW.half) / (-HOLLOW.middle - HOLLOW.half));
  return 20 + Math.min(slope.house, (along * slope.perPlace) / slope.run);
}

/**
 * The lesson's slope from the side at an hour: the works where they stand, the water table through all of it, the hollow at its foot
 * and the house at its top, how far what soaks away lifts the table, and the ground that it keeps damp at the house. Groundwater in the
 * pit has its own hatch, the room left is outlined; nothing else is dashed.
 */
export function lessonSlopeFigure(run: Run, state: LessonState, time: number, options: FigureOptions = {}): Figure {
  const width = options.width ?? 960;
  const { small } = letterSizes(width);
  const across = (width - LEFT - RIGHT) / (SEEN.to - SEEN.from);
  const up = Math.min(320 / (SEEN.high - SEEN.low), MOST_STRETCH * across);
  const height = up * (SEEN.high - SEEN.low);
  const answer = slopeAnswer(run, state, time);
  const text = (words: string, x: number, y: number, color: string, xanchor: Annotation["xanchor"] = "left", yanchor: Annotation["yanchor"] = "bottom"): Annotation => ({
    text: words, x: shortNumber(x), y: shortNumber(y), xref: "x", yref: "y", xanchor, yanchor, showarrow: false, font: font(small, color), bgcolor: HALO,
  });
  const { floor } = run.site.chamberBank;
  const depth = run.level("chamberBank", time) - floor;
  const stretch = Math.round((up / across) * 10) / 10;
  const narrow = width < NARROW;
  const side = freeSide(state);
  const low = SEEN.low + 6 / up;
  const table = `groundwater at the pit ${lessonTable(time, state.place * slope.perPlace).toFixed(2)} m`;
  return {
    data: drawing(run, state, time, { across, up }).map((area) => trace(area)),
    layout: {
      ...baseLayout(width), height: Math.round(height + TOP + 4), margin: { l: LEFT, r: RIGHT, t: TOP, b: 4 },
      hovermode: false, dragmode: false,
      xaxis: { range: [SEEN.from, SEEN.to], showgrid: false, zeroline: false, showticklabels: false, fixedrange: true },
      yaxis: { ...quietAxis(width), range: [SEEN.low, SEEN.high], showgrid: false, fixedrange: true, nticks: 9 },
      annotations: [
        { text: "level, m", x: 0, y: 1, xref: "paper", yref: "paper", xanchor: "left", yanchor: "bottom", xshift: -LEFT + 8, yshift: 4, showarrow: false, font: font(small, ink.text) },
        text(state.groundwater ? table : "groundwater far below", SEEN.from + 0.4, low, lines.rain.color),
        text("house", slope.wall + 4, 24.2, ink.soft, "center", "middle"),
        text(narrow ? "cellar" : "cellar floor", slope.wall + 4, slope.cellar + 0.1, ink.soft, "center"),
        ...(state.groundwater && !narrow ? [text("damp", SEEN.to - 0.4, lessonTable(time, (SEEN.to * slope.perPlace) / slope.run) + LESSON_DAMP / 2, lines.rain.color, "right", "middle")] : []),
        text(depthWords(depth), side.at(16 / across), floor + Math.max(depth / 2, 9 / up), lines.pit.color, side.anchor, "middle"),
        text(narrow ? `10 m, heights × ${stretch}` : `10 m, heights stretched ${stretch} times`, SEEN.to - 0.4, low + 4 / up, ink.text, "right"),
        ...(state.runOn ? [{
          text: "run-on", ...(state.place < 5 ? { x: 13, y: 23 } : { x: -5, y: 20.7 }), xref: "x" as const, yref: "y" as const, xanchor: "left" as const, yanchor: "bottom" as const,
          showarrow: true, ax: narrow ? 36 : 70, ay: narrow ? -11 : -20, arrowcolor: lines.lowSpot.color, arrowwidth: 2,
          font: font(small, lines.lowSpot.color),
        }] : []),
      ],
      shapes: [],
    },
    config: quietConfig(), answer, description: `The slope from the side at ${momentText(time)}. ${answer}`,
  };
}

function depthWords(depth: number): string {
  return depth > 0.02 ? `<b>${depth.toFixed(2)} m</b>` : "dry";
}

/** The side of the pit on which its water is measured: uphill, where no step or hollow is near, but near the house downhill. */
function freeSide({ place }: LessonState): { readonly at: (away: number) => number; readonly anchor: "left" | "right" } {
  const pit = place * slope.run;
  return place < 8 ? { at: (away) => pit + PIT_HALF + away, anchor: "left" } : { at: (away) => pit - PIT_HALF - away, anchor: "right" };
}

/** room for the axis' name [px] */
const TOP = 24;

function trace({ points, fill, pattern, line }: DrawnArea): LineTrace {
  return {
    type: "scatter", name: "slope", mode: "lines", x: points.map(([x]) => shortNumber(x)), y: points.map(([, y]) => shortNumber(y)),
    line: line ?? { color: "rgba(0,0,0,0)", width: 0 }, ...(fill === undefined ? {} : { fill: "toself" as const, fillcolor: fill }),
    ...(pattern === undefined ? {} : { fillpattern: pattern }), hoverinfo: "skip", xaxis: "x", yaxis: "y", showlegend: false,
  };
}

function drawing(run: Run, state: LessonState, time: number, scale: { readonly across: number; readonly up: number }): DrawnArea[] {
  const { place } = state;
  const up = place * slope.perPlace;
  const pit = place * slope.run;
  const along = [...Array.from({ length: 229 }, (_each, i) => SEEN.from + (i / 228) * (SEEN.to - SEEN.from)),
    // both sides of the step's ends, so that they stand upright
    ...[pit - STEP_HALF, pit + STEP_HALF].flatMap((end) => [end - 1e-6, end, end + 1e-6])].sort((a, b) => a - b);
  const ground = along.map((x): Point => [x, groundAt(x, pit, up)]);
  const { floor, stoneTop } = run.site.chamberBank;
  const level = run.level("chamberBank", time);
  return [
    { points: [...ground, [SEEN.to, SEEN.low], [SEEN.from, SEEN.low]], fill: GROUND.bgcolor, pattern: GROUND },
    ...waterTable(run, state, time, ground),
    ...house(),
    ...works(run, state, time),
    ...(level > stoneTop ? [{ points: rectangle({ from: pit - PIT_HALF, to: pit + PIT_HALF }, stoneTop, level), fill: SOAKED }] : []),
    ...pond(run.level("lowSpot", time), ground),
    { points: ground, line: { color: "#6b5636", width: 2.4, dash: "solid" } },
    // the grate in the hollow, and its way into the pit's stone
    ...(place === 0 ? [{ points: [[-4, 19.52], [-3.2, 19.52], [-PIT_HALF, stoneTop - 0.1]] as Point[], line: { color: lines.lowSpot.color, width: 3, dash: "solid" as const } }] : []),
    ...depthMark(freeSide(state).at(8 / scale.across), floor, level, scale),
    { points: [[SEEN.to - 10.4, SEEN.low + 6 / scale.up], [SEEN.to - 0.4, SEEN.low + 6 / scale.up]], line: { color: ink.text, width: 1.4, dash: "solid" } },
  ];
}

/** The water table: the ground tinted below it, how far what soaks away lifts it, and the ground at the house that it keeps damp. */
function waterTable(run: Run, { place, groundwater }: LessonState, time: number, ground: readonly Point[]): DrawnArea[] {
  if (!groundwater) return [];
  const pit = place * slope.run;
  const table = (x: number): number => lessonTable(time, (x * slope.perPlace) / slope.run);
  const line = ground.map(([x, top]): Point => [x, Math.min(table(x), top)]);
  const rises = risesOf(run, pit);
  const lifted = (from: number, to: number): Point[] => rises.filter(({ x }) => x >= from && x <= to)
    .map(({ x, rise }) => [x, Math.min(groundAt(x, pit, place * slope.perPlace), table(x) + rise)]);
  // under the pit no higher than its floor
  const { floor } = run.site.chamberBank;
  const mound = lifted(SEEN.from, SEEN.to)
    .map(([x, y]): Point => [x, Math.abs(x - pit) <= PIT_HALF ? Math.max(table(x), Math.min(y, floor)) : y]);
  const atHouse = lifted(Math.max(pit + PIT_HALF, slope.wall - 2), SEEN.to);
  return [
    { points: [...line, [SEEN.to, SEEN.low], [SEEN.from, SEEN.low]], fill: SATURATED },
    { points: [...atHouse.map(([x, y]): Point => [x, y + LESSON_DAMP]), ...atHouse.toReversed()], fill: DAMP.bgcolor, pattern: DAMP },
    { points: [...mound, ...mound.toReversed().map(([x]): Point => [x, table(x)])], fill: GROUNDWATER.bgcolor, pattern: GROUNDWATER },
    { points: line, line: { ...lines.rain, width: 1.6 } },
  ];
}

/** The mound beside a run's pit, every half metre: the same at all its hours. */
function risesOf(run: Run, pit: number): readonly { readonly x: number; readonly rise: number }[] {
  const known = RISES.get(run);
  if (known !== undefined) return known;
  const made = Array.from({ length: 2 * (SEEN.to - SEEN.from) + 1 }, (_, i) => SEEN.from + i / 2)
    .map((x) => ({ x, rise: Math.max(0, lessonRise(run, Math.abs(x - pit))) }));
  RISES.set(run, made);
  return made;
}

const RISES = new WeakMap<Run, readonly { readonly x: number; readonly rise: number }[]>();

const GROUND: FillPattern = Object.freeze({ shape: ".", size: 9, solidity: 0.08, fgcolor: "#d9cba6", bgcolor: "#fbf6ea" });
/** ground that capillary rise keeps damp */
const DAMP: FillPattern = Object.freeze({ shape: "-", size: 6, solidity: 0.14, fgcolor: "#54697e", bgcolor: "#efe9dc" });

function house(): DrawnArea[] {
  const wall = slope.wall;
  return [
    { points: rectangle({ from: wall, to: wall + 8 }, slope.cellar, 22.5), fill: "#ffffff", line: OUTLINE },
    { points: [[wall, 22.5], [wall, 24.3], [wall + 4, 25.3], [wall + 8, 24.3], [wall + 8, 22.5]], fill: "#ffffff", line: OUTLINE },
  ];
}

/** Pit, stone and chambers with the water in them, groundwater hatched, the room left outlined. */
function works(run: Run, { place, groundwater }: LessonState, time: number): DrawnArea[] {
  const pit = place * slope.run;
  const { floor, stone, stoneTop } = run.site.chamberBank;
  const level = run.level("chamberBank", time);
  const wet = Math.max(floor, Math.min(stoneTop, level));
  const foreign = groundwater ? Math.max(floor, Math.min(wet, lessonTable(time, place * slope.perPlace))) : floor;
  const sides = { from: pit - PIT_HALF, to: pit + PIT_HALF };
  const chambers = [0, 1, 2, 3].map((i) => ({ from: sides.from + 0.36 + i * 1.16, to: sides.from + 0.36 + i * 1.16 + 0.8 }));
  const [foot, crown] = [floor + stone.base, floor + stone.base + 1.1];
  const sill = Math.min(stoneTop, run.site.overflowTrench!.inlet.crest);
  return [
    { points: rectangle(sides, floor, stoneTop), fill: STONE.fill, pattern: STONE.pattern },
    ...(wet > foreign ? [{ points: rectangle(sides, foreign, wet), fill: WATER }] : []),
    ...chambers.flatMap((chamber): DrawnArea[] => [
      { points: rectangle(chamber, foot, crown), fill: "#ffffff" },
      ...(wet > Math.max(foot, foreign) && foreign < crown
        ? [{ points: rectangle(chamber, Math.max(foot, foreign), Math.min(crown, wet)), fill: DEEP_WATER }] : []),
      { points: rectangle(chamber, foot, crown), line: THIN },
    ]),
    ...(foreign > floor ? [{ points: rectangle(sides, floor, foreign), fill: GROUNDWATER.bgcolor, pattern: GROUNDWATER }] : []),
    ...(sill - Math.max(floor, level) > 0.02 ? [{ points: rectangle(sides, Math.max(floor, level), sill), line: { color: lines.trench.color, width: 1.6, dash: "dash" as const } }] : []),
    { points: rectangle(sides, floor, stoneTop), line: OUTLINE },
  ];
}

/** What stands in the hollow, up to its banks. */
function pond(level: number, ground: readonly Point[]): DrawnArea[] {
  const bed = ground.filter(([x, top]) => Math.abs(x - HOLLOW.middle) < HOLLOW.half && top < level);
  if (bed.length < 2 || level < 19.402) return [];
  return [{ points: [[bed[0]![0], level], ...bed, [bed.at(-1)![0], level]], fill: DEEP_WATER }];
}

/** How deep the water in the pit is, as a draughtsman measures: a stroke from the floor up to the water. */
function depthMark(x: number, floor: number, level: number, { across, up }: { readonly across: number; readonly up: number }): DrawnArea[] {
  if ((level - floor) * up < 4) return [];
  const line = { color: lines.pit.color, width: 1.3, dash: "solid" } as const;
  const tick = 4 / across;
  return [{ points: [[x - tick, floor], [x + tick, floor], [x, floor], [x, level], [x - tick, level], [x + tick, level]], line }];
}

function slopeAnswer(run: Run, state: LessonState, time: number): string {
  const depth = run.level("chamberBank", time) - run.site.chamberBank.floor;
  const where = state.place === 0 ? "at the foot of the slope" : state.place === TOP_PLACE ? "near the house" : `${(state.place * slope.perPlace).toFixed(2)} m up the slope`;
  return `At ${momentText(time)} ${depth > 0.02 ? `${depth.toFixed(2)} m of water stand in the pit` : "the pit is dry"} ${where}.`;
}

/** A run of the lesson for its curve, what it is called, and whether it is the one that is looked at. */
export interface LessonCurve {
  readonly words: string;
  readonly run: Run;
  readonly isShown: boolean;
}

/**
 * Water over the pit's floor against time: the run that is looked at heavy, the same works with the causes switched otherwise thin, and
 * a guess as it was drawn. The scales are the same whatever is shown.
 *
 * @param guess  points [h, m]
 */
export function lessonDepthFigure(
  curves: readonly LessonCurve[], guess: readonly (readonly [number, number])[], options: FigureOptions = {},
): Figure {
  const width = options.width ?? 960;
  const { small } = letterSizes(width);
  const shown = curves.find(({ isShown }) => isShown);
  const names = curveNames(curves, guess, width);
  const answer = shown === undefined ? "Draw what you expect." : `The pit rises to ${Math.max(0, shown.run.peaks["chamberBank"]!.level - shown.run.site.chamberBank.floor).toFixed(2)} m over its floor; `
    + `48 h after the rain began ${depthAt(shown.run, 48).toFixed(2)} m stand in it.`;
  return {
    data: [
      ...curves.toSorted((a, b) => Number(a.isShown) - Number(b.isShown)).map(curveTrace),
      ...(guess.length < 2 ? [] : [{
        ...curveBase("your guess"), x: guess.map(([x]) => shortNumber(x)), y: guess.map(([, y]) => shortNumber(y)), line: { color: lines.emitter.color, width: 2.6, dash: "dot" as const },
      }]),
    ],
    layout: {
      ...baseLayout(width), height: 360, margin: { l: LEFT, r: DEPTH_RIGHT, t: 28, b: 72 }, hovermode: false, dragmode: false,
      xaxis: {
        ...quietAxis(width), range: [0, LESSON_HOURS], tick0: 0, dtick: 12, anchor: "y", fixedrange: true, ticks: "outside", ticklen: 4, tickcolor: ink.rule, showline: true,
        linecolor: ink.rule, title: { text: "hours since the rain began", font: font(small, ink.text), standoff: 28 },
      },
      yaxis: { ...quietAxis(width), range: [0, MOST_DEPTH], tick0: 0, dtick: 0.5, fixedrange: true },
      annotations: [
        { text: "water over the pit's floor, m", x: 0, y: 1, xref: "paper", yref: "paper", xanchor: "left", yanchor: "bottom", yshift: 6, showarrow: false, font: font(small, ink.text) },
        {
          text: `full: ${LESSON_DEEP.toFixed(2)} m`, x: LESSON_HOURS, y: LESSON_DEEP, xref: "x", yref: "y", xanchor: "right", yanchor: "bottom", showarrow: false, font: font(small, ink.soft),
        },
        ...names,
        ...(guess.length < 2 ? [] : [{
          text: "your guess", x: guess.at(-1)![0], y: guess.at(-1)![1], xref: "x" as const, yref: "y" as const, xanchor: "right" as const, yanchor: "bottom" as const, showarrow: false,
          font: font(small, lines.emitter.color), bgcolor: HALO,
        }]),
      ],
      shapes: [{
        type: "line", xref: "x", yref: "y", x0: 0, x1: LESSON_HOURS, y0: LESSON_DEEP, y1: LESSON_DEEP, line: { color: ink.soft, width: 1, dash: "dash" }, layer: "below",
      }],
    },
    config: quietConfig(), answer, description: `Water in the pit against hours since the rain began. ${answer}`,
  };
}

const DEPTH_RIGHT = 14;
/** of its panel [px] */
const DEPTH_HEIGHT = 260;

/** Each curve's name on it, where it stands clear of the others; curves that lie on each other have one. */
function curveNames(curves: readonly LessonCurve[], guess: readonly (readonly [number, number])[], width: number): Annotation[] {
  const { small, body } = letterSizes(width);
  const panel = { width: width - LEFT - DEPTH_RIGHT, height: DEPTH_HEIGHT };
  const [hour, metre] = [panel.width / LESSON_HOURS, panel.height / MOST_DEPTH];
  const named = distinct(curves);
  const of = (
    { x, y }: { readonly x: readonly number[]; readonly y: readonly (number | null)[] }, words: string, isShown: boolean,
  ): NamedCurve => ({
    x: x.map((each) => each * hour), y: y.map((each) => (each === null || each < 0.01 ? null : each * metre)),
    labelWidth: textWidth(words, isShown ? body : small, isShown), labelHeight: (isShown ? body : small) * 1.25,
  });
  const places = labelCurves([
    ...named.map((curve) => of(curveTrace(curve), curve.words, curve.isShown)),
    ...(guess.length < 2 ? [] : [of({ x: guess.map(([x]) => x), y: guess.map(([, y]) => y) }, "", false)]),
  ], { ...panel, still: [] });
  return named.flatMap(({ words, isShown }, i): Annotation[] => {
    const place = places[i];
    if (place === null || place === undefined) return [];
    return [{
      text: isShown ? `<b>${words}</b>` : words, x: shortNumber(place.x / hour), y: shortNumber(place.y / metre), xref: "x", yref: "y", xanchor: "left", yanchor: "bottom",
      showarrow: false, font: font(isShown ? body : small, isShown ? lines.pit.color : ink.soft), bgcolor: HALO,
    }];
  });
}

/** The top of the scale [m over the pit's floor]. */
export const MOST_DEPTH = 2.2;

function depthAt(run: Run, hour: number): number {
  return Math.max(0, run.level("chamberBank", Math.min(run.until, hour * 3600)) - run.site.chamberBank.floor);
}

/** Curves that lie on each other have one name. */
function distinct(curves: readonly LessonCurve[]): LessonCurve[] {
  const kept: LessonCurve[] = [];
  for (const curve of curves.toSorted((a, b) => Number(b.isShown) - Number(a.isShown))) {
    const same = kept.find(({ run }) => [12, 24, 48, 96].every((hour) => Math.abs(depthAt(run, hour) - depthAt(curve.run, hour)) < 0.005));
    if (same === undefined) kept.push(curve);
  }
  return kept;
}

const TIMES = new WeakMap<Run, readonly number[]>();

function curveBase(name: string): Pick<LineTrace, "type" | "name" | "mode" | "hoverinfo" | "xaxis" | "yaxis" | "showlegend"> {
  return { type: "scatter", name, mode: "lines", hoverinfo: "skip", xaxis: "x", yaxis: "y", showlegend: false };
}

function curveTrace({ words, run, isShown }: LessonCurve): LineTrace {
  const times = TIMES.get(run) ?? drawnTimes([(time) => run.level("chamberBank", time)], [0, ...Array.from(run.times).filter((time) => time > 0 && time < run.until), run.until], { tolerance: 0.003, points: 200 });
  TIMES.set(run, times);
  return {
    ...curveBase(words), x: times.map((time) => shortNumber(time / 3600)), y: times.map((time) => shortNumber(depthAt(run, time / 3600))),
    line: isShown ? lines.pit : { color: ink.soft, width: 1.2, dash: "solid" },
  };
}
