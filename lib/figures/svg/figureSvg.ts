import type { Axis, Figure, Layout, Shape, YAxis } from "../figure.ts";
import { FONT } from "../look.ts";
import { axisTicks } from "./axisTicks.ts";
import { plotFrame, yAxisOf, type PlotFrame } from "./plotFrame.ts";
import { richText } from "./richText.ts";
import { strokeOf } from "./strokeOf.ts";
import { svgMarks } from "./svgMarks.ts";
import { svgMarkup, svgTag, tenth, type SvgTag } from "./svgTag.ts";
import { svgTexts, svgTitle, textTag } from "./svgTexts.ts";

/**
 * A figure as an SVG drawing: the same data that plotly takes, drawn to a tenth of a pixel in a few milliseconds and a few
 * kilobytes, in Node and in a page alike. It knows what the library's own figures are made of, not all of plotly; what it does
 * not know it refuses.
 *
 * @param width  the picture was made for [px]
 * @param id     tells the patterns of pictures on one page apart; letters, digits and hyphens
 * @throws Error  for a part of plotly that the library's figures do not use
 */
export function figureSvg(figure: Figure, { width, id }: { readonly width: number; readonly id: string }): string {
  return svgMarkup(figureDrawing(figure, { width, id, frame: plotFrame(figure.layout, width) }));
}

/** A figure as a drawing by its elements. */
export function figureDrawing({ data, layout }: Pick<Figure, "data" | "layout">, { width, id, frame }: {
  readonly width: number; readonly id: string; readonly frame: PlotFrame;
}): SvgTag {
  const { marks, patterns } = svgMarks(data, frame, id);
  const { left, right, top, bottom, height } = frame;
  const clip = `${id}-clip`;
  const clipTag = svgTag("clipPath", { id: clip }, [svgTag("rect", { x: left - 4, y: top - 4, width: right - left + 8, height: bottom - top + 8 })]);
  return svgTag("svg", { xmlns: "http://www.w3.org/2000/svg", width, height, viewBox: `0 0 ${width} ${height}`, "font-family": FONT, "aria-hidden": "true" }, [
    svgTag("defs", {}, [clipTag, ...patterns]), svgTag("g", {}, [...gridTag(layout, frame), ...shapeTags(layout, frame, "below")]),
    svgTag("g", { "clip-path": `url(#${clip})` }, marks), svgTag("g", {}, [...axisTags(layout, frame), ...shapeTags(layout, frame, "above")]),
    svgTag("g", {}, [...svgTexts(layout, frame), ...svgTitle(layout)]),
  ]);
}

function uprightAxes(layout: Layout): YAxis[] {
  return Object.keys(layout).filter((key) => /^yaxis\d*$/.test(key)).map((key) => key.replace("axis", "") as YAxis);
}

function gridTag(layout: Layout, frame: PlotFrame): SvgTag[] {
  let path = "";
  const { xaxis } = layout;
  for (const name of uprightAxes(layout)) {
    const axis = yAxisOf(layout, name);
    const scale = frame.y(name);
    if (axis.showgrid !== false) for (const { at } of axisTicks(axis)) path += `M${frame.left} ${tenth(scale.pixel(at))}H${frame.right}`;
    if (xaxis.showgrid !== false) for (const { at } of axisTicks(xaxis)) path += `M${tenth(frame.x.pixel(at))} ${tenth(scale.from)}V${tenth(scale.to)}`;
  }
  return path === "" ? [] : [svgTag("path", { d: path, stroke: xaxis.gridcolor ?? layout.yaxis.gridcolor ?? "#e6eaec", fill: "none" })];
}

function axisTags(layout: Layout, frame: PlotFrame): SvgTag[] {
  const { xaxis } = layout;
  const drawn: SvgTag[] = [];
  for (const name of uprightAxes(layout)) {
    const axis = yAxisOf(layout, name);
    if (axis.showticklabels === false) continue;
    const scale = frame.y(name);
    for (const { at, text } of axisTicks(axis)) drawn.push(textTag(richText(text)[0]!, frame.left - 5, scale.pixel(at) + 4, axis.tickfont!, "end"));
  }
  return xaxis.showticklabels === false ? drawn : [...drawn, ...timeAxisTags(xaxis, frame)];
}

function timeAxisTags(axis: Axis, frame: PlotFrame): SvgTag[] {
  const foot = axis.anchor === undefined ? frame.bottom : frame.y(axis.anchor).from;
  const { size } = axis.tickfont!;
  const ticks = axisTicks(axis);
  const long = axis.ticks === "outside" ? axis.ticklen ?? 0 : 0;
  const strokes = (axis.showline === true ? `M${frame.left} ${tenth(foot)}H${frame.right}` : "")
    + (long > 0 ? ticks.map(({ at }) => `M${tenth(frame.x.pixel(at))} ${tenth(foot)}v${long}`).join("") : "");
  const first = foot + long + 4 + size;
  const rows = ticks.map(({ text }) => richText(text).length).reduce((most, each) => Math.max(most, each), 1);
  const words = ticks.flatMap(({ at, text }) => richText(text).map((line, i) =>
    textTag(line, frame.x.pixel(at), first + i * size * 1.3, axis.tickfont!, "middle", { "data-tick": text })));
  const title = axis.title === undefined ? [] : [textTag(
    richText(axis.title.text)[0]!, (frame.left + frame.right) / 2, first + (rows - 1) * size * 1.3 + axis.title.standoff + axis.title.font.size, axis.title.font, "middle",
  )];
  return [...(strokes === "" ? [] : [svgTag("path", { d: strokes, stroke: axis.linecolor ?? "#aeb8bf", fill: "none" })]), ...words, ...title];
}

function shapeTags(layout: Layout, frame: PlotFrame, layer: Shape["layer"]): SvgTag[] {
  return layout.shapes.filter((shape) => shape.layer === layer).map((shape) => shapeTag(shape, frame));
}

function shapeTag(shape: Shape, frame: PlotFrame): SvgTag {
  const { type, xref, yref, xsizemode, ysizemode, xanchor, yanchor } = shape;
  const placeX = (value: number): number => (xref === "paper" ? frame.left + value * (frame.right - frame.left) : frame.x.pixel(value));
  const placeY = (value: number): number => (yref === "paper" ? frame.bottom - value * (frame.bottom - frame.top) : frame.y(yref).pixel(value));
  // a size in pixels counts from the anchor, right and up
  const alongX = (x: number): number => (xsizemode === "pixel" ? placeX(xanchor!) + x : placeX(x));
  const alongY = (y: number): number => (ysizemode === "pixel" ? placeY(yanchor!) - y : placeY(y));
  if (type === "path") throw new Error("figureSvg: expected lines and boxes as shapes, got a path");
  const [x0, x1, y0, y1] = [alongX(shape.x0!), alongX(shape.x1!), alongY(shape.y0!), alongY(shape.y1!)];
  const stroke = shape.line.width > 0 && shape.line.color !== "rgba(0,0,0,0)" ? strokeOf(shape.line) : {};
  // a box of no height is a line: as a box it would not be drawn
  if (type === "line" || x0 === x1 || y0 === y1) return svgTag("line", { x1: x0, x2: x1, y1: y0, y2: y1, ...stroke });
  return svgTag("rect", {
    x: Math.min(x0, x1), y: Math.min(y0, y1), width: Math.abs(x1 - x0), height: Math.abs(y1 - y0), fill: shape.fillcolor ?? "none", ...stroke,
  });
}
