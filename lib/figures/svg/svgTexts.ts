import { greatestOf } from "../../numerics/extremes.ts";
import type { Annotation, Font, Layout } from "../figure.ts";
import { textWidth } from "../textWidth.ts";
import type { PlotFrame } from "./plotFrame.ts";
import { richText, type TextRun } from "./richText.ts";
import { svgTag, tenth, type SvgTag } from "./svgTag.ts";

/** The texts and arrows of a figure. */
export function svgTexts(layout: Layout, frame: PlotFrame): SvgTag[] {
  return layout.annotations.flatMap((annotation) => annotationTags(annotation, frame));
}

// Lines of a text stand this many letter sizes apart, and letters that much above a line's middle, as in plotly.
const LINE = 1.3;
const RISE = 0.35;

/** The title of a figure, hung from its upper left corner, its lines as far apart as plotly sets them. */
export function svgTitle({ title }: Layout): SvgTag[] {
  if (title === undefined) return [];
  const { text, font, pad } = title;
  return richText(text).map((line, i) => textTag(line, pad.l, pad.t + i * font.size * LINE, font, "start"));
}

function annotationTags(annotation: Annotation, frame: PlotFrame): SvgTag[] {
  const head = { x: placeX(annotation, frame), y: placeY(annotation, frame) };
  const foot = annotation.showarrow ? { x: head.x + (annotation.ax ?? 0), y: head.y + (annotation.ay ?? 0) } : head;
  const arrow = annotation.showarrow ? arrowTags(annotation, head, foot) : [];
  const lines = richText(annotation.text);
  if (lines.every((line) => line.every(({ text }) => text === ""))) return arrow;
  const { font, bgcolor, xanchor, yanchor, align } = annotation;
  const height = lines.length * font.size * LINE;
  const width = greatestOf(lines.map((line) => lineWidth(line, font.size)));
  const left = foot.x - width * ANCHOR[xanchor];
  const top = foot.y - height * ANCHOR[yanchor];
  // a text of several lines stands at one edge or in its middle; one of a line where it is anchored, whatever its true width
  const anchor = lines.length > 1 ? (align === "right" ? "end" : align === "left" ? "start" : "middle") : ANCHORED[xanchor];
  const x = anchor === "start" ? left : anchor === "end" ? left + width : left + width / 2;
  return [
    ...arrow,
    ...(bgcolor === undefined ? [] : [svgTag("rect", { x: left - 1, y: top, width: width + 2, height, fill: bgcolor })]),
    ...lines.map((line, i) => textTag(line, x, top + (i + 0.5) * font.size * LINE + RISE * font.size, font, anchor)),
  ];
}

const ANCHOR = { left: 0, center: 0.5, right: 1, top: 0, middle: 0.5, bottom: 1 } as const;
const ANCHORED = { left: "start", center: "middle", right: "end" } as const;

/** A line of text whose letters stand on y. */
export function textTag(line: readonly TextRun[], x: number, y: number, { size, color }: Font, anchor: "start" | "middle" | "end", more: Readonly<Record<string, string>> = {}): SvgTag {
  const whole = line.length === 1 ? line[0]! : null;
  const runs = whole === null ? line.map(runTag) : whole.text;
  return svgTag("text", {
    x, y, "font-size": whole?.size ?? size, fill: whole?.color ?? color, "font-weight": whole?.bold === true ? "bold" : null,
    "text-anchor": anchor === "start" ? null : anchor, ...more,
  }, runs);
}

function runTag({ text, bold, color, size }: TextRun): SvgTag {
  return svgTag("tspan", { "font-weight": bold ? "bold" : null, fill: color, "font-size": size }, text);
}

function lineWidth(line: readonly TextRun[], size: number): number {
  return line.reduce((sum, run) => sum + textWidth(run.text, run.size ?? size, run.bold), 0);
}

function placeX({ x, xref, xshift }: Annotation, { left, right, x: axis }: PlotFrame): number {
  return (xref === "paper" ? left + x * (right - left) : axis.pixel(x)) + (xshift ?? 0);
}

function placeY({ y, yref, yshift }: Annotation, { top, bottom, y: axis }: PlotFrame): number {
  return (yref === "paper" ? bottom - y * (bottom - top) : axis(yref).pixel(y)) - (yshift ?? 0);
}

interface Place {
  readonly x: number;
  readonly y: number;
}

function arrowTags({ arrowcolor, arrowwidth, arrowside }: Annotation, head: Place, tail: Place): SvgTag[] {
  const [tip, end] = arrowside === "start" ? [tail, head] : [head, tail];
  const length = Math.hypot(tip.x - end.x, tip.y - end.y);
  if (length === 0) return [];
  const width = arrowwidth ?? 1;
  const [ux, uy] = [(tip.x - end.x) / length, (tip.y - end.y) / length];
  const [back, half] = [2 + 3 * width, 1.5 + 1.5 * width];
  const [bx, by] = [tip.x - ux * back, tip.y - uy * back];
  const at = (x: number, y: number): string => `${tenth(x)} ${tenth(y)}`;
  const color = arrowcolor ?? null;
  return [
    svgTag("line", { x1: end.x, y1: end.y, x2: bx, y2: by, stroke: color, "stroke-width": width }),
    svgTag("path", { d: `M${at(tip.x, tip.y)}L${at(bx - uy * half, by + ux * half)}L${at(bx + uy * half, by - ux * half)}Z`, fill: color }),
  ];
}
