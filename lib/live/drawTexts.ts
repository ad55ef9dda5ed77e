import { greatestOf } from "../numerics/extremes.ts";
import type { Annotation, Layout } from "../figures/figure.ts";
import { textWidth } from "../figures/textWidth.ts";
import type { PlotFrame } from "./plotFrame.ts";
import { richText, type TextRun } from "./richText.ts";
import { svgNode } from "./svgNode.ts";

/** The texts and arrows of a figure. */
export function drawTexts(layout: Layout, frame: PlotFrame): SVGElement[] {
  return layout.annotations.flatMap((annotation) => drawText(annotation, frame));
}

// Lines of a text stand this many letter sizes apart, and letters that much above a line's middle, as in plotly.
const LINE = 1.3;
const RISE = 0.35;

function drawText(annotation: Annotation, frame: PlotFrame): SVGElement[] {
  const head = { x: placeX(annotation, frame), y: placeY(annotation, frame) };
  const foot = annotation.showarrow ? { x: head.x + (annotation.ax ?? 0), y: head.y + (annotation.ay ?? 0) } : head;
  const arrow = annotation.showarrow ? drawArrow(annotation, head, foot) : [];
  const lines = richText(annotation.text);
  if (lines.every((line) => line.every(({ text }) => text === ""))) return arrow;
  const { size, color } = annotation.font;
  const height = lines.length * size * LINE;
  const width = greatestOf(lines.map((line) => lineWidth(line, size)));
  const left = foot.x - width * ANCHOR[annotation.xanchor];
  const top = foot.y - height * ANCHOR[annotation.yanchor];
  const x = annotation.align === "right" ? left + width : left;
  return [
    ...arrow,
    ...(annotation.bgcolor === undefined ? [] : [svgNode("rect", { x: left - 1, y: top, width: width + 2, height, fill: annotation.bgcolor })]),
    ...lines.map((line, i) => svgNode("text", {
      x, y: top + (i + 0.5) * size * LINE + RISE * size, "font-size": size, fill: color, "text-anchor": annotation.align === "right" ? "end" : null,
    }, line.map(drawRun))),
  ];
}

const ANCHOR = { left: 0, center: 0.5, right: 1, top: 0, middle: 0.5, bottom: 1 } as const;

function drawRun({ text, bold, color }: TextRun): Node {
  if (!bold && color === null) return document.createTextNode(text);
  return svgNode("tspan", { "font-weight": bold ? "bold" : null, fill: color }, [text]);
}

function lineWidth(line: readonly TextRun[], size: number): number {
  return line.reduce((sum, { text, bold }) => sum + textWidth(text, size, bold), 0);
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

function drawArrow({ arrowcolor, arrowwidth, arrowside }: Annotation, head: Place, tail: Place): SVGElement[] {
  const [tip, end] = arrowside === "start" ? [tail, head] : [head, tail];
  const length = Math.hypot(tip.x - end.x, tip.y - end.y);
  if (length === 0) return [];
  const width = arrowwidth ?? 1;
  const [ux, uy] = [(tip.x - end.x) / length, (tip.y - end.y) / length];
  const [back, half] = [2 + 3 * width, 1.5 + 1.5 * width];
  const [bx, by] = [tip.x - ux * back, tip.y - uy * back];
  const color = arrowcolor ?? null;
  return [
    svgNode("line", { x1: end.x, y1: end.y, x2: bx, y2: by, stroke: color, "stroke-width": width }),
    svgNode("path", { d: `M${tip.x} ${tip.y}L${bx - uy * half} ${by + ux * half}L${bx + uy * half} ${by - ux * half}Z`, fill: color }),
  ];
}
