import { ink } from "../../figures/look.ts";
import type { Markup } from "../markup.ts";
import { draw, svg, type Spot } from "./svg.ts";

/** A line of a chart; `y` null breaks it. */
export interface ChartLine {
  readonly label: string;
  readonly points: readonly (readonly [x: number, y: number])[];
  readonly dash?: string;
  readonly color?: string;
}

/** A plain chart with a grid fine enough to plot on by hand. */
export interface Chart {
  readonly words: string;
  readonly x: { readonly ticks: readonly number[]; readonly text: (value: number) => string; readonly title: string };
  /** from the bottom of the chart to its top, which may run downward */
  readonly y: { readonly bottom: number; readonly top: number; readonly ticks: readonly number[]; readonly text: (value: number) =>
    string; readonly title: string; readonly minor?: number };
  readonly lines: readonly ChartLine[];
  /** an area between two lines, shaded */
  readonly band?: { readonly points: readonly (readonly [x: number, y: number])[]; readonly color: string };
  readonly height?: number;
  readonly minor?: number;
}

export function chartDrawing({ words, x, y, lines, band, height = 250, minor = 0 }: Chart): Markup {
  const width = 700;
  const [left, right, top, bottom] = [62, width - 14, 10, height - 34];
  const [from, to] = [x.ticks[0]!, x.ticks.at(-1)!];
  const spot = ([xx, yy]: readonly [number, number]): Spot => [
    left + ((xx - from) / (to - from)) * (right - left),
    bottom - Math.max(-0.02, Math.min(1.02, (yy - y.bottom) / (y.top - y.bottom))) * (bottom - top),
  ];
  const strokes: string[] = [];
  if (band !== undefined) strokes.push(draw.area(band.points.map(spot), `fill="${band.color}" stroke="none"`));
  const fine = (ticks: readonly number[], parts: number): number[] => ticks.slice(1)
    .flatMap((tick, i) => Array.from({ length: parts }, (_, k) => ticks[i]! + ((k + 1) / (parts + 1)) * (tick - ticks[i]!)));
  for (const tick of fine(x.ticks, minor)) strokes.push(draw.line([spot([tick, y.bottom]), spot([tick, y.top])], `stroke="#dde2e4" stroke-width="0.5"`));
  for (const tick of fine(y.ticks, y.minor ?? minor)) strokes.push(draw.line([spot([from, tick]), spot([to, tick])], `stroke="#dde2e4" stroke-width="0.5"`));
  for (const tick of x.ticks) {
    const [at, base] = spot([tick, y.bottom]);
    strokes.push(draw.line([[at, base], spot([tick, y.top])], `stroke="#aeb8bf" stroke-width="0.8"`), draw.text([at, bottom + 14], x.text(tick), { size: 10.5, anchor: "middle", color: ink.soft }));
  }
  for (const tick of y.ticks) {
    const [, at] = spot([from, tick]);
    strokes.push(draw.line([[left, at], [right, at]], `stroke="#aeb8bf" stroke-width="0.8"`), draw.text([left - 5, at + 3.5], y.text(tick), { size: 10.5, anchor: "end", color: ink.soft }));
  }
  for (const { label, points, dash = "none", color = ink.text } of lines) {
    strokes.push(draw.line(points.map(spot), `stroke="${color}" stroke-width="2" stroke-dasharray="${dash}"`));
    // over the line, to the side from which it falls away
    const i = Math.floor(points.length * 0.62);
    const [at, next] = [spot(points[i]!), spot(points[Math.min(i + 1, points.length - 1)]!)];
    const anchor = next[1] > at[1] + 0.2 ? "start" : next[1] < at[1] - 0.2 ? "end" : "middle";
    if (label !== "") strokes.push(draw.text([at[0], at[1] - 5], label, { size: 11, color, anchor, bold: true }));
  }
  strokes.push(draw.text([(left + right) / 2, height - 4], x.title, { size: 11, anchor: "middle" }), draw.text([12, (top + bottom) / 2], y.title, { size: 11, anchor: "middle", turn: -90 }));
  return svg(width, height, words, strokes);
}

/** Round ticks over a range: some five steps of 1, 2 or 5. */
export function roundTicks(least: number, most: number, about: number = 5): number[] {
  const step = roundStep((most - least) / about);
  const first = Math.floor(least / step + 1e-9);
  const count = Math.max(1, Math.ceil(most / step - 1e-9) - first);
  return Array.from({ length: count + 1 }, (_, i) => Number(((first + i) * step).toPrecision(12)));
}

function roundStep(rough: number): number {
  if (!(rough > 0)) return 1;
  const magnitude = 10 ** Math.floor(Math.log10(rough));
  return [1, 2, 5, 10].find((each) => each * magnitude >= rough - 1e-12)! * magnitude;
}
