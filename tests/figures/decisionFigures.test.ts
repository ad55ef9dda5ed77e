import type { Config, Data, Layout } from "plotly.js-dist-min";
import { beforeAll, describe, expect, test } from "vitest";
import type { Annotation, Figure } from "../../lib/figures/figure.ts";
import { sizeFigure } from "../../lib/figures/sizeFigure.ts";
import { sweepCurveFigure } from "../../lib/figures/sweepCurveFigure.ts";
import { sweepFigure } from "../../lib/figures/sweepFigure.ts";
import { textWidth } from "../../lib/figures/textWidth.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { size, type Sizing } from "../../lib/study/size.ts";
import type { SizeOptions } from "../../lib/study/sizeCases.ts";
import { sweep, type Sweep } from "../../lib/study/sweep.ts";
import type { SweepOptions } from "../../lib/study/sweepCases.ts";
import { volumeText } from "../../lib/text/format.ts";
import { demo } from "../site/siteFiles.ts";

const WIDTHS = [288, 328, 360, 420, 560, 670, 820, 1080];
const [lane, linden] = (["copperbeech-lane", "linden-row"] as const).map((name) => readSite(demo(name))) as [ReturnType<typeof readSite>, ReturnType<typeof readSite>];
/** a lot of which nothing is said: there is room for everything */
const open = readSite({ ...demo("linden-row"), surroundings: undefined });
const asked = { lane: lane.studies!, linden: linden.studies! };

let sweeps: readonly Sweep[] = [];
let sizings: readonly Sizing[] = [];
beforeAll(async () => {
  const of = <Options>({ rainfall }: typeof asked.lane, options: unknown): Options => ({ rainfall, ...(options as object) }) as Options;
  sweeps = [
    await sweep(lane, of<SweepOptions>(asked.lane, asked.lane.sweep)),
    await sweep(linden, of<SweepOptions>(asked.linden, asked.linden.sweep)),
    await sweep(lane, of<SweepOptions>(asked.lane, {
      returnPeriods: ["2 year", "3 year", "5 year", "10 year", "20 year", "50 year", "100 year"],
      durations: ["10 min", "15 min", "20 min", "30 min", "45 min", "1 h", "2 h", "6 h", "24 h"],
    })),
  ];
  const headroom = { criteria: [{ storm: { returnPeriod: "100 year", duration: "1 h" }, boxHeadroom: "30 in" }], steps: { chambers: [2, 4, 6, 8], trenchLength: ["30 ft", "60 ft"] } };
  sizings = [
    await size(lane, of<SizeOptions>(asked.lane, asked.lane.size)),
    await size(open, of<SizeOptions>(asked.linden, asked.linden.size)),
    await size(lane, of<SizeOptions>(asked.lane, headroom)),
  ];
  // long on a machine that has other work
}, 60_000);

describe.each([
  ["a sweep's", (width: number) => sweeps.map((each) => sweepFigure(each, { width }))],
  ["a sizing's", (width: number) => sizings.map((each) => sizeFigure(each, { width }))],
])("%s picture", (_, figures) => {
  test("is plain data that plotly takes, at every width", () => {
    for (const figure of WIDTHS.flatMap(figures)) {
      const accepted: [Data[], Partial<Layout>, Partial<Config>] = [figure.data, figure.layout, figure.config];
      expect(JSON.parse(JSON.stringify(accepted))).toEqual(accepted);
      expect(figure.data.flatMap(({ x, y }) => [...x, ...y]).every((each) => Number.isFinite(each))).toBe(true);
      expect(JSON.stringify(figure)).not.toMatch(/NaN|undefined/);
    }
  });

  test("has words that neither meet nor leave the picture, at every width", () => {
    for (const width of WIDTHS) for (const figure of figures(width)) expect(meetings(figure, width)).toEqual([]);
  });
});

describe("small pictures of a sweep", () => {
  test("are one for each storm and design, each with its state in words, and what is let out", () => {
    for (const width of [288, 1080]) {
      const each = sweeps[1]!;
      const words = wordsOf(sweepFigure(each, { width }));
      for (const state of ["fills", "trench runs", "fires"]) {
        const short = { "fills": "filling", "trench runs": "trench running", "fires": "emitter firing" }[state];
        const cells = each.designs.flatMap(({ rows }) => rows.flatMap(({ cells: all }) => all)).filter(({ state: its }) => its === short);
        expect(words.filter((text) => text === state)).toHaveLength(cells.length);
      }
      expect(words.filter((text) => text === "pit")).toHaveLength(1);
      expect(words).toContain("Five chambers and half as much trench again");
    }
  });

  test("frame the worst duration of each return period, once in each row, no frame over another", () => {
    const each = sweeps[0]!;
    const frames = sweepFigure(each, { width: 1080 }).layout.shapes.filter(({ type, line }) => type === "rect" && line.dash === "dot");
    expect(frames).toHaveLength(each.designs[0]!.rows.length);
    const sorted = frames.map(({ y0, y1 }) => [Number(y0), Number(y1)] as const).sort(([a], [b]) => a - b);
    sorted.slice(1).forEach(([from], i) => expect(from).toBeGreaterThan(sorted[i]![1] + 2));
    expect(wordsOf(sweepFigure(each, { width: 1080 })).filter((text) => text.startsWith("most, "))).toHaveLength(3);
  });
});

describe("the curves of a sweep", () => {
  test("are what was run, one for each return period, and the dot of each stands at its worst duration", () => {
    for (const each of sweeps) {
      const { rows } = each.designs[0]!;
      const { data } = sweepCurveFigure(each)!;
      expect(data).toHaveLength(2 * rows.length);
      const gallon = 0.003785411784;
      const size = each === sweeps[1] ? 1 : gallon;
      rows.forEach(({ cells, critical }, i) => {
        expect(data[i]!.y).toHaveLength(cells.length);
        cells.forEach(({ answers: { emitterVolume } }, k) => {
          expect(Math.abs(data[i]!.y[k]! * size - emitterVolume)).toBeLessThan(1e-3 * emitterVolume + 1e-9);
        });
        // log10 of seconds
        const worst = cells.findIndex(({ duration }) => duration === critical.emitterVolume?.duration);
        if (worst >= 0) expect(data[rows.length + i]!.x[0]).toBe(data[i]!.x[worst]);
      });
    }
    const seconds = sweepCurveFigure(sweeps[0]!)!.data[0]!.x.map((x) => 10 ** x);
    [900, 1800, 3600, 7200, 21_600, 86_400].forEach((each, i) => expect(Math.abs(seconds[i]! / each - 1)).toBeLessThan(1e-3));
  });

  test("name the duration and what it comes to as the table has it; one duration is no curve", () => {
    const [first] = sweeps;
    const words = wordsOf(sweepCurveFigure(first!, { width: 960 })!);
    for (const { returnPeriod, critical } of first!.designs[0]!.rows) {
      expect(words).toContain(`${returnPeriod.replace(" ", "-")}: most in ${critical.emitterVolume!.duration}, ${volumeText(critical.emitterVolume!.value, "us")}`);
    }
    const rows = first!.designs[0]!.rows.map((row) => ({ ...row, cells: row.cells.slice(0, 1) }));
    expect(sweepCurveFigure({ ...first!, designs: [{ ...first!.designs[0]!, rows }] })).toBeNull();
  });
});

describe("the picture of a sizing", () => {
  test("has a point for every design, full where it does all that is asked, and a line at the limit", () => {
    const each = sizings[1]!;
    const { data, layout } = sizeFigure(each, { width: 1080 });
    const [thumbs, hollow, full] = data;
    expect([thumbs!.x.length, hollow!.x.length, full!.x.length]).toEqual([
      1, each.designs.filter(({ met }) => met.includes(false)).length, each.designs.filter(({ met }) => !met.includes(false)).length + 1,
    ]);
    // the best lies between the steps
    expect(each.designs).not.toContain(each.best);
    expect(Math.min(...full!.x)).toBeCloseTo(each.best!.cost!, 3);
    expect(layout.shapes.filter(({ line }) => line.dash === "dash").map(({ y0, y1 }) => [y0, y1])).toEqual([[0, 0]]);
  });

  test("has no label over a point, at every width", () => {
    for (const width of WIDTHS) {
      for (const each of sizings) {
        const figure = sizeFigure(each, { width });
        expect(covered(figure, width)).toEqual([]);
        // and the best and the limit have their names
        expect(wordsOf(figure).some((text) => text.includes("binds: "))).toBe(each.binding.length > 0);
        expect(wordsOf(figure).filter((text) => text.startsWith("asked: "))).toHaveLength(1);
      }
    }
  });

  test("names the best, what binds, what is asked and the rule of thumb", () => {
    const words = wordsOf(sizeFigure(sizings[1]!, { width: 1080 }));
    expect(words).toEqual(expect.arrayContaining([
      expect.stringMatching(/^3 chambers, 300.mm of stone under the chambers, 17.7.m of trench binds: chambers, stone under them, trench's length$/),
      "asked: no more than this", "rule of thumb: room for 25 mm of rain",
    ]) as string[]);
    expect(wordsOf(sizeFigure(sizings[2]!, { width: 1080 }))).toContain("asked: at least this");
  });
});

/** Words of a figure's labels, markup left out. */
function wordsOf({ layout }: Figure): string[] {
  return layout.annotations.map(({ text }) => text.replace(/<br>/g, " ").replace(/<[^>]*>/g, ""));
}

interface Box {
  readonly words: string;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** Labels that overlap, or that stand out of the picture. */
function meetings(figure: Figure, width: number): string[] {
  const boxes = figure.layout.annotations.map((label) => boxOf(label, figure, width));
  const out = boxes.filter(({ left, right, top, bottom }) => left < -1 || right > width + 1 || top < 0 || bottom > figure.layout.height)
    .map(({ words }) => `${width}: ${words} leaves`);
  const meet = (a: Box, b: Box): boolean => (
    a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 1 && b.top < a.bottom - 1
  );
  const over = boxes.flatMap((a, i) => boxes.slice(i + 1).filter((b) => meet(a, b)).map((b) => `${width}: ${a.words} over ${b.words}`));
  return [...out, ...over];
}

/** Points of the panel that lie under a label. */
function covered(figure: Figure, width: number): string[] {
  const { layout: { annotations, margin, height, xaxis, yaxis }, data } = figure;
  const [low, top] = yaxis.domain!;
  const points = data.flatMap(({ x, y }) => x.map((each, i) => ({
    x: margin.l + (width - margin.l - margin.r) * along(each, xaxis.range!),
    y: margin.t + (height - margin.t - margin.b) * (1 - low - (top - low) * along(Number(y[i]), yaxis.range!)),
  })));
  return annotations.map((label) => boxOf(label, figure, width)).flatMap(({ words, left, right, top: upper, bottom }) => (
    points.some((point) => point.x > left && point.x < right && point.y > upper && point.y < bottom) ? [`${width}: ${words} over a point`] : []
  ));
}

function along(value: number, [from, to]: readonly [number, number]): number {
  return (value - from) / (to - from);
}

/** Where a label stands [px from the upper left], its letters taken to be as high as they are. */
function boxOf(label: Annotation, { layout }: Figure, width: number): Box {
  const { margin } = layout;
  const [wide, high] = [width - margin.l - margin.r, layout.height - margin.t - margin.b];
  const [low, top] = layout.yaxis.domain ?? [0, 1];
  const x = margin.l + wide * (label.xref === "paper" ? label.x : along(label.x, layout.xaxis.range!)) + (label.xshift ?? 0);
  const share = label.yref === "paper" ? label.y : low + (top - low) * along(label.y, layout.yaxis.range!);
  const y = margin.t + high * (1 - share) - (label.yshift ?? 0);
  const rows = label.text.split("<br>");
  const { size: letters } = label.font;
  const half = Math.max(...rows.map((row) => textWidth(row.replace(/<[^>]*>/g, ""), letters, row.includes("<b>")))) / 2;
  const tall = (rows.length - 1) * letters * 1.3 + letters;
  const middle = x + { left: half, center: 0, right: -half }[label.xanchor];
  const upper = y - { top: 0, middle: tall / 2, bottom: tall }[label.yanchor];
  return { words: rows.join(" "), left: middle - half, right: middle + half, top: upper, bottom: upper + tall };
}
