import { greatestOf, leastOf } from "../numerics/extremes.ts";
import type { Sweep, SweepRow } from "../study/sweep.ts";
import { displayUnits, volumeText, waterText } from "../text/format.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { quantity } from "../text/quantity.ts";
import { shortNumber } from "../text/shortNumber.ts";
import type { Figure, Line, LineTrace, PointTrace } from "./figure.ts";
import { labelCurves } from "./labelCurves.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig } from "./look.ts";
import { stackPanels } from "./panels.ts";
import { NARROW } from "./plotEdges.ts";
import { periodWords } from "./sweepAnswer.ts";
import { textWidth } from "./textWidth.ts";

/**
 * What storms of one design come to over their duration, a curve for each return period, its top named: what the emitter lets out, or,
 * where it stays shut in every storm or the site has no emitter, the pit's highest level. Between two durations nothing was run.
 *
 * @returns  null where no return period has two durations that came to their end
 */
export function sweepCurveFigure(sweep: Sweep, options: FigureOptions = {}): Figure | null {
  const { rows, site } = sweep.designs[0]!;
  const width = options.width ?? 960;
  const narrow = width < NARROW;
  const { small } = letterSizes(width);
  const isLetOut = rows.some(({ critical }) => critical.emitterVolume !== null);
  const { volume, level } = displayUnits(site.units);
  const { label, size } = isLetOut ? volume : level;
  const curves = rows.map((row, i) => curveOf(row, isLetOut, size, i)).filter(({ y }) => y.filter((value) => value !== null).length > 1);
  if (curves.length === 0) return null;
  const durations = curves[0]!.x;
  const values = curves.flatMap(({ y }) => y.filter((value) => value !== null));
  const [low, high] = [isLetOut ? 0 : leastOf(values), greatestOf(values)];
  const air = 0.12 * (high - low) || 0.5;
  const rangeOf = (from: number, to: number, more: number): [number, number] => [from - more, to + more];
  const range = { x: rangeOf(leastOf(durations), greatestOf(durations), 0.06), y: rangeOf(low, high, air) };
  const margin = { l: narrow ? 46 : 58, r: 16, t: 4, b: BOTTOM };
  const panel = { width: width - margin.l - margin.r, height: narrow ? 240 : 280 };
  const stack = stackPanels([{ heading: `${isLetOut ? "let out by the emitter" : "the pit's highest level"}, ${label}`, height: panel.height }], width);
  const text = (value: number): string => (isLetOut ? volumeText(value * size, site.units) : waterText(value * size, site.units));
  const most = ({ duration, y }: Curve["top"]): string => (
    `${isLetOut ? "most" : "highest"} in ${plainText(duration, 12)}${narrow ? "" : `, ${text(y)}`}`);
  const names = curves.map(({ row, top }) => `${periodWords(row.returnPeriod)}: ${isLetOut && top.y === 0 ? "none" : most(top)}`);
  const across = (x: number): number => ((x - range.x[0]) / (range.x[1] - range.x[0])) * panel.width;
  const up = (y: number): number => ((y - range.y[0]) / (range.y[1] - range.y[0])) * panel.height;
  const places = labelCurves(curves.map(({ x, y }, i) => ({
    x: x.map(across), y: y.map((value) => (value === null ? null : up(value))),
    labelWidth: textWidth(names[i]!, small, true) + 4, labelHeight: small * 1.3,
  })), { ...panel, still: [] });
  const answer = `${curves.map((_, i) => names[i]!).join("; ")}.`;
  return {
    data: [...curves.map(lineOf), ...curves.map(topOf)],
    layout: {
      ...baseLayout(width),
      height: Math.round(4 + stack.height + BOTTOM),
      margin,
      hovermode: false,
      dragmode: false,
      xaxis: {
        ...quietAxis(width), range: range.x, anchor: "y", fixedrange: true, tickvals: durations.map(shortNumber),
        ticktext: sweep.durations.map((each) => plotText(plainText(each, 12))), ticks: "outside", ticklen: 4, tickcolor: ink.rule, showline: true,
        linecolor: ink.rule, title: { text: "duration of the storm", font: font(small, ink.text), standoff: 8 },
      },
      yaxis: { ...quietAxis(width), domain: stack.domains[0]!, range: range.y, nticks: 6, fixedrange: true },
      annotations: [...stack.headings, ...places.flatMap((place, i) => (place === null ? [] : [{
        text: `<b>${plotText(names[i]!, Infinity)}</b>`, x: shortNumber(range.x[0] + ((place.x + 2) / panel.width) * (range.x[1] - range.x[0])),
        y: shortNumber(range.y[0] + (place.y / panel.height) * (range.y[1] - range.y[0])), xref: "x" as const, yref: "y" as const,
        xanchor: "left" as const, yanchor: "bottom" as const, showarrow: false, font: font(small, curves[i]!.line.color),
      }]))],
      shapes: [],
    },
    config: quietConfig(),
    answer,
    description: `A curve for each return period over the duration of its storms. ${answer}`,
  };
}

const BOTTOM = 46;

interface Curve {
  readonly row: SweepRow;
  /** logarithm of the duration, and what it comes to in the unit shown; null where the run was stopped */
  readonly x: number[];
  readonly y: (number | null)[];
  readonly top: { readonly x: number; readonly y: number; readonly duration: string };
  readonly line: Line;
}

const DASHES: readonly NonNullable<Line["dash"]>[] = ["solid", "dash", "dot", "dashdot", "longdash"];

function curveOf(row: SweepRow, isLetOut: boolean, size: number, i: number): Curve {
  const value = ({ answers }: SweepRow["cells"][number]): number | null => (
    answers.stopped === 1 ? null : (isLetOut ? answers.emitterVolume : answers.pitPeak) / size);
  const x = row.cells.map(({ duration }) => Math.log10(quantity(duration, "time", "duration")));
  const y = row.cells.map(value);
  const best = y.reduce((at: number, each, k) => ((each ?? -Infinity) > (y[at] ?? -Infinity) ? k : at), 0);
  const top = { x: x[best] ?? 0, y: y[best] ?? 0, duration: row.cells[best]?.duration ?? "" };
  return { row, x, y, top, line: { color: lines[isLetOut ? "emitter" : "pit"].color, width: 2, dash: DASHES[i % DASHES.length]! } };
}

function lineOf({ row, x, y, line }: Curve): LineTrace {
  return {
    type: "scatter", mode: "lines", name: periodWords(row.returnPeriod), x: x.map(shortNumber), y: y.map((each) => (each === null ? null : shortNumber(each))),
    line, hoverinfo: "skip", xaxis: "x", yaxis: "y", showlegend: false,
  };
}

function topOf({ row, top, line: { color } }: Curve): PointTrace {
  return {
    type: "scatter", mode: "markers", name: `top of ${periodWords(row.returnPeriod)}`, x: [shortNumber(top.x)], y: [shortNumber(top.y)],
    marker: { color, size: 8, symbol: "circle", line: { color, width: 1 } }, hoverinfo: "skip", xaxis: "x", yaxis: "y", showlegend: false,
  };
}
