import { LESSON_HOURS, lessonTable, slope, TOP_PLACE, type LessonState } from "../study/lesson.ts";
import type { Run } from "../simulate/run.ts";
import { momentText } from "../text/hours.ts";
import type { Annotation, Figure, LineTrace } from "./figure.ts";
import { drawnTimes } from "./drawnTimes.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig } from "./look.ts";
import { placeLabels } from "./placeLabels.ts";
import { DEEP_WATER, OUTLINE, rectangle, THIN, WATER, type DrawnArea, type Point } from "./sectionArea.ts";
import { GROUNDWATER, STONE } from "./sectionDrawing.ts";
import { HALO } from "./sectionText.ts";
import { shortNumber } from "../text/shortNumber.ts";

const LEFT = 40;
const RIGHT = 12;
/** What is seen of the slope, along it [m]; and levels. */
const SEEN = { from: -16, to: 41, low: 16.8, high: 25.4 } as const;
/** The hollow beside the foot, along the slope [m]. */
const HOLLOW = { middle: -7.5, half: 6.5 } as const;
const MOST_STRETCH = 5;

/** How high the ground stands at a place along the slope [m]. */
function groundAt(along: number, pit: number, up: number): number {
  // the pit lies in a step of its own, dug level
  if (Math.abs(along - pit) <= 3.2) return 20 + up;
  if (along < HOLLOW.middle - HOLLOW.half) return 19.78;
  if (along < HOLLOW.middle + HOLLOW.half) return 19.4 + 0.38 * Math.abs((along - HOLLOW.middle) / HOLLOW.half) ** 2;
  if (along < 0) return 19.78 + 0.22 * ((along - HOLLOW.middle - HOLLOW.half) / (-HOLLOW.middle - HOLLOW.half));
  return 20 + Math.min(slope.house, (along * slope.perPlace) / slope.run);
}

/**
 * The lesson's slope from the side at an hour: the works where they stand, the water table through all of it, the hollow at its foot
 * and the house at its top. Groundwater in the pit has its own hatch, the room left is outlined.
 */
export function lessonSlopeFigure(run: Run, state: LessonState, time: number, options: FigureOptions = {}): Figure {
  const width = options.width ?? 960;
  const { small } = letterSizes(width);
  const across = (width - LEFT - RIGHT) / (SEEN.to - SEEN.from);
  const up = Math.min(400 / (SEEN.high - SEEN.low), MOST_STRETCH * across);
  const height = up * (SEEN.high - SEEN.low);
  const answer = slopeAnswer(run, state, time);
  const text = (words: string, x: number, y: number, color: string, xanchor: Annotation["xanchor"] = "left", yanchor: Annotation["yanchor"] = "bottom"): Annotation => ({
    text: words, x: shortNumber(x), y: shortNumber(y), xref: "x", yref: "y", xanchor, yanchor, showarrow: false, font: font(small, color), bgcolor: HALO,
  });
  const { floor } = run.site.chamberBank;
  const pit = state.place * slope.run;
  const level = run.level("chamberBank", time);
  const depth = level - floor;
  const stretch = Math.round((up / across) * 10) / 10;
  return {
    data: drawing(run, state, time).map((area) => trace(area)),
    layout: {
      ...baseLayout(width), height: Math.round(height + 8), margin: { l: LEFT, r: RIGHT, t: 4, b: 4 }, hovermode: false, dragmode: false,
      xaxis: { range: [SEEN.from, SEEN.to], showgrid: false, zeroline: false, showticklabels: false, fixedrange: true },
      yaxis: { ...quietAxis(width), range: [SEEN.low, SEEN.high], showgrid: false, fixedrange: true, nticks: 9 },
      annotations: [
        ...(state.groundwater ? [text(`groundwater ${lessonTable(time, state.place * slope.perPlace).toFixed(2)} m at the pit`, SEEN.from + 0.4, SEEN.low + 0.1, lines.rain.color)]
          : [text("groundwater far below", SEEN.from + 0.4, SEEN.low + 0.1, lines.rain.color)]),
        text("house", slope.wall + 4, 24.2, ink.soft, "center", "middle"),
        text(width < 560 ? "cellar" : "cellar floor", slope.wall + 4, slope.cellar + 0.1, ink.soft, "center"),
        ...(depth > 0.02 ? [text(`<b>${depth.toFixed(2)} m</b>`, pit + 2.8, level, lines.pit.color, "left", "middle")] : [text("dry", pit + 2.8, floor + 0.1, lines.pit.color)]),
        text(`10 m, heights stretched ${stretch} times`, SEEN.to - 0.4, SEEN.low + 0.35, ink.text, "right"),
        ...(state.runOn ? [{
          text: width < 560 ? "" : "run-on", x: 4, y: groundAt(7, -99, 0) + 0.5, xref: "x" as const, yref: "y" as const, xanchor: "left" as const, yanchor: "bottom" as const,
          showarrow: true, ax: 70, ay: -20, arrowcolor: lines.lowSpot.color, arrowwidth: 2, font: font(small, lines.lowSpot.color),
        }] : []),
      ],
      shapes: [],
    },
    config: quietConfig(), answer, description: `The slope from the side at ${momentText(time)}. ${answer}`,
  };
}

function trace({ points, fill, pattern, line }: DrawnArea): LineTrace {
  return {
    type: "scatter", name: "slope", mode: "lines", x: points.map(([x]) => shortNumber(x)), y: points.map(([, y]) => shortNumber(y)),
    line: line ?? { color: "rgba(0,0,0,0)", width: 0 }, ...(fill === undefined ? {} : { fill: "toself" as const, fillcolor: fill }),
    ...(pattern === undefined ? {} : { fillpattern: pattern }), hoverinfo: "skip", xaxis: "x", yaxis: "y", showlegend: false,
  };
}

function drawing(run: Run, { place, groundwater, runOn: _ }: LessonState, time: number): DrawnArea[] {
  const up = place * slope.perPlace;
  const pit = place * slope.run;
  const along = Array.from({ length: 229 }, (_each, i) => SEEN.from + (i / 228) * (SEEN.to - SEEN.from));
  const ground = along.map((x): Point => [x, groundAt(x, pit, up)]);
  const table = (x: number): number => lessonTable(time, (x * slope.perPlace) / slope.run);
  const { floor, stone, stoneTop } = run.site.chamberBank;
  const level = run.level("chamberBank", time);
  const wet = Math.max(floor, Math.min(stoneTop, level));
  const foreign = groundwater ? Math.max(floor, Math.min(wet, table(pit))) : floor;
  const sides = { from: pit - 2.5, to: pit + 2.5 };
  const chambers = [0, 1, 2, 3].map((i) => ({ from: pit - 2.5 + 0.36 + i * 1.16, to: pit - 2.5 + 0.36 + i * 1.16 + 0.8 }));
  const [foot, crown] = [floor + stone.base, floor + stone.base + 1.1];
  const sill = Math.min(stoneTop, run.site.overflowTrench!.inlet.crest);
  const low = run.level("lowSpot", time);
  const half = HOLLOW.half * Math.sqrt(Math.max(0, Math.min(1, (low - 19.4) / 0.38)));
  const house = slope.wall;
  return [
    { points: [...ground, [SEEN.to, SEEN.low], [SEEN.from, SEEN.low]], fill: "#f7f0e2", pattern: { shape: ".", size: 9, solidity: 0.08, fgcolor: "#d9cba6", bgcolor: "#f7f0e2" } },
    ...(groundwater ? [
      { points: [...along.map((x): Point => [x, Math.min(table(x), groundAt(x, pit, up))]), [SEEN.to, SEEN.low] as Point, [SEEN.from, SEEN.low] as Point], fill: "rgba(64,100,134,0.2)" },
      { points: along.map((x): Point => [x, Math.min(table(x), groundAt(x, pit, up))]), line: { ...lines.rain, dash: "longdash" as const } },
    ] : []),
    { points: rectangle({ from: house, to: house + 8 }, slope.cellar, 22.5), fill: "#ffffff", line: OUTLINE },
    { points: [[house, 22.5], [house, 24.3], [house + 4, 25.3], [house + 8, 24.3], [house + 8, 22.5]], fill: "#f1f2f4", line: OUTLINE },
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
    ...(level > stoneTop ? [{ points: rectangle(sides, stoneTop, level), fill: "rgba(46,120,170,0.2)" }] : []),
    ...(half > 0.2 ? [{
      points: [
        ...along.filter((x) => Math.abs(x - HOLLOW.middle) < half).map((x): Point => [x, groundAt(x, -99, 0)]),
        [HOLLOW.middle + half, low] as Point, [HOLLOW.middle - half, low] as Point,
      ], fill: DEEP_WATER,
    }] : []),
    { points: ground, line: { color: "#6b5636", width: 2.4, dash: "solid" } },
    ...(place === 0 ? [{ points: [[-2.4, stoneTop], [-2.4, 19.78]] as Point[], line: { color: lines.lowSpot.color, width: 5, dash: "dot" as const } }] : []),
    { points: [[SEEN.to - 10.4, SEEN.low + 0.3], [SEEN.to - 0.4, SEEN.low + 0.3]], line: { color: ink.text, width: 1.4, dash: "solid" } },
  ];
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
  const { small, body } = letterSizes(width);
  const right = width < 560 ? 84 : 110;
  const shown = curves.find(({ isShown }) => isShown);
  const names = distinct(curves);
  const ends = names.map(({ run }) => depthAt(run, LESSON_HOURS));
  const pixels = 260 / MOST_DEPTH;
  const places = placeLabels(ends.map((end) => ({ at: end * pixels, size: small * 1.3 })), { from: -8, to: 268 });
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
      ...baseLayout(width), height: 340, margin: { l: LEFT, r: right, t: 28, b: 52 }, hovermode: false, dragmode: false,
      xaxis: {
        ...quietAxis(width), range: [0, LESSON_HOURS], tick0: 0, dtick: 12, anchor: "y", fixedrange: true, ticks: "outside", ticklen: 4, tickcolor: ink.rule, showline: true,
        linecolor: ink.rule, title: { text: "hours since the rain began", font: font(small, ink.text), standoff: 8 },
      },
      yaxis: { ...quietAxis(width), range: [0, MOST_DEPTH], tick0: 0, dtick: 0.5, fixedrange: true },
      annotations: [
        { text: "water over the pit's floor, m", x: 0, y: 1, xref: "paper", yref: "paper", xanchor: "left", yanchor: "bottom", yshift: 6, showarrow: false, font: font(small, ink.text) },
        ...names.map(({ words, isShown }, i): Annotation => ({
          text: isShown ? `<b>${words}</b>` : words, x: 1, y: places[i]! / pixels, xref: "paper", yref: "y", xanchor: "left", yanchor: "middle", xshift: 6, showarrow: false,
          font: font(isShown ? body : small, isShown ? lines.pit.color : ink.soft),
        })),
        ...(guess.length < 2 ? [] : [{
          text: "your guess", x: guess.at(-1)![0], y: guess.at(-1)![1], xref: "x" as const, yref: "y" as const, xanchor: "right" as const, yanchor: "bottom" as const, showarrow: false,
          font: font(small, lines.emitter.color), bgcolor: HALO,
        }]),
      ],
      shapes: [],
    },
    config: quietConfig(), answer, description: `Water in the pit against hours since the rain began. ${answer}`,
  };
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
