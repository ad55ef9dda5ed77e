import { describe, expect, test } from "vitest";
import type { Figure, FillPattern, Line, LineTrace } from "../../lib/figures/figure.ts";
import { lessonDepthFigure, lessonSlopeFigure } from "../../lib/figures/lessonFigures.ts";
import { lines } from "../../lib/figures/look.ts";
import * as lib from "../../lib/index.ts";
import * as hydrology from "../../lib/hydrology.ts";
import { stateMoments } from "../../lib/figures/stateMoments.ts";
import { lessonRun } from "../../lib/study/lesson.ts";
import { galleryFigures } from "../tools/galleryFigures.mjs";
import { colorDifference, colorOf, mixed, seen, type Rgb, type Vision } from "./colorVision.ts";

// What means different things on one picture is told apart by anybody: by its colour however it is seen, or by a second mark.

const VISIONS: readonly Vision[] = ["usual", "protan", "deutan", "tritan", "grey"];
/** a difference that is seen at once between thin lines, and between areas; 1 is seen by a trained eye side by side (common practice) */
const [LINES, AREAS] = [10, 4];

test("the colour difference is that of its publication's test data", () => {
  // Sharma, Wu and Dalal 2005, table 1, pairs 1, 7, 16, 17 and 25 among others; from memory
  const data = [
    [[50, 2.6772, -79.7751], [50, 0, -82.7485], 2.0425], [[50, 0, 0], [50, -1, 2], 2.3669], [[50, 2.5, 0], [50, 0, -2.5], 4.3065],
    [[50, 2.5, 0], [73, 25, -18], 27.1492], [[60.2574, -34.0099, 36.2677], [60.4626, -34.1751, 39.4387], 1.2644],
  ] as const;
  for (const [one, other, difference] of data) expect(colorDifference(one, other)).toBeCloseTo(difference, 4);
});

test("white, grey and the three dichromats are seen as published", () => {
  // CIE 15: white is L* 100; a grey stays one for everybody, since each row of Machado's matrices adds up to 1
  for (const vision of VISIONS) {
    for (const [grey, light] of [[1, 100], [0.5, 53.39]] as const) {
      const [L, a, b] = seen([grey, grey, grey], vision);
      expect(L).toBeCloseTo(light, 1);
      expect(Math.hypot(a, b)).toBeLessThan(0.1);
    }
  }
  // red and green of one lightness are far apart, and near for anyone without cones for them
  const [red, green] = [colorOf("#c06060"), colorOf("#6f8f4f")];
  const apart = (vision: Vision): number => colorDifference(seen(red, vision), seen(green, vision));
  expect(apart("usual")).toBeGreaterThan(3 * apart("deutan"));
});

interface Area {
  readonly color: string;
  readonly pattern: FillPattern["shape"] | null;
  readonly seen: Rgb;
}

function nearest(one: Rgb, other: Rgb): { readonly difference: number; readonly vision: Vision } {
  return VISIONS.map((vision) => ({ vision, difference: colorDifference(seen(one, vision), seen(other, vision)) }))
    .reduce((least, each) => (each.difference < least.difference ? each : least));
}

function pairs<T>(all: readonly T[]): [T, T][] {
  return all.flatMap((one, i) => all.slice(i + 1).map((other): [T, T] => [one, other]));
}

/** Lines of a chart that differ in colour, and neither in dash nor in weight by half, and look alike to somebody. */
function confusedLines({ data }: Figure): string[] {
  const styles = new Map<string, { readonly line: Line; readonly panel: string }>();
  for (const trace of data) {
    if (trace.type !== "scatter" || trace.mode !== "lines" || trace.line.width === 0) continue;
    // outlines of areas have a shape by which they are known
    if (trace.fill === "toself") continue;
    styles.set(`${trace.line.color} ${trace.line.dash} ${trace.line.width} ${trace.yaxis}`, { line: trace.line, panel: trace.yaxis });
  }
  return pairs([...styles.values()]).flatMap(([{ line: one, panel }, { line: other, panel: otherPanel }]) => {
    // a panel has its name over it
    if (panel !== otherPanel || one.color === other.color || (one.dash ?? "solid") !== (other.dash ?? "solid")) return [];
    if (Math.max(one.width, other.width) >= 1.5 * Math.min(one.width, other.width)) return [];
    const { difference, vision } = nearest(colorOf(one.color), colorOf(other.color));
    return difference >= LINES ? [] : [`${one.color} and ${other.color}, ${vision}: ${difference.toFixed(1)}`];
  });
}

/** Areas of a picture without a texture that tells them apart, which look alike to somebody. */
function confusedAreas({ data }: Figure): string[] {
  const areas = new Map<string, Area>();
  for (const trace of data) {
    if (trace.type !== "scatter" || trace.mode !== "lines" || trace.fill !== "toself" || trace.fillcolor === undefined) continue;
    const { fillcolor: color, fillpattern: pattern } = trace;
    if (!/^(#[0-9a-f]{6}$|rgba)/i.test(color)) continue;
    const paper = colorOf(color);
    areas.set(`${color} ${pattern?.shape ?? ""}`, {
      color, pattern: pattern?.shape ?? null,
      seen: pattern === undefined ? paper : mixed(colorOf(pattern.fgcolor), paper, pattern.solidity),
    });
  }
  return pairs([...areas.values()]).flatMap(([one, other]) => {
    if (one.pattern !== other.pattern) return [];
    const { difference, vision } = nearest(one.seen, other.seen);
    return difference >= AREAS ? [] : [`${one.color} and ${other.color}, ${vision}: ${difference.toFixed(1)}`];
  });
}

const lesson = { place: 0, groundwater: true, runOn: true };
const run = lessonRun(lesson);
const own: [string, () => Figure][] = [
  ["the lesson's slope", () => lessonSlopeFigure(run, lesson, 12 * 3600)],
  ["the lesson's slope near the house", () => lessonSlopeFigure(lessonRun({ ...lesson, place: 10 }), { ...lesson, place: 10 }, 14 * 3600)],
  ["the lesson's curves", () => lessonDepthFigure([{ words: "both", run, isShown: true }], [[0, 0], [40, 1]])],
];

const gallery = await galleryFigures({ ...lib, ...hydrology, stateMoments }) as [string, (options: { readonly width: number }) => Figure][];

/** Strokes of a drawing have a shape by which they are known, and a name beside them. */
const DRAWING = /section|sitePlan|headBudget|slope/;

describe.each([...gallery, ...own])("%s", (name, make) => {
  test("has lines and areas that anybody tells apart", () => {
    const figure = make({ width: 960 });
    if (!DRAWING.test(name)) expect(confusedLines(figure)).toEqual([]);
    // on a plan each area has its outline and its name
    if (!name.startsWith("figures.sitePlan")) expect(confusedAreas(figure)).toEqual([]);
  });
});

test("two lines of one look are found", () => {
  const trace = (line: Line): LineTrace => ({
    type: "scatter", mode: "lines", name: "planted", x: [0, 1], y: [0, 1], xaxis: "x", yaxis: "y", showlegend: false, line,
  });
  const figure = (one: Line, other: Line): Figure => ({
    data: [trace(one), trace(other)], answer: "", description: "",
    layout: lessonDepthFigure([], []).layout, config: lessonDepthFigure([], []).config,
  });
  const red: Line = { color: "#c04040", width: 2, dash: "solid" };
  expect(confusedLines(figure(red, { ...red, color: "#2f7030" }))).toHaveLength(1);
  expect(confusedLines(figure(red, { ...red, color: "#2f7030", dash: "dash" }))).toEqual([]);
  expect(confusedLines(figure(lines.pit, lines.emitter))).toEqual([]);
});
