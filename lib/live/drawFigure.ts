import type { Figure, Layout, Shape, YAxis } from "../figures/figure.ts";
import { FONT } from "../figures/look.ts";
import { axisTicks } from "./axisTicks.ts";
import { drawTexts } from "./drawTexts.ts";
import { drawTraces, strokeOf } from "./drawTraces.ts";
import { yAxisOf, type PlotFrame } from "./plotFrame.ts";
import { svgNode } from "./svgNode.ts";

/**
 * A figure drawn at once, as plotly would draw it but without what follows a pointer: plotly takes 100 ms and more for one
 * of these pictures on a slow machine, this a few, and a picture that is pulled has to follow the hand. It knows what the
 * level picture and the section are made of, not all of plotly.
 *
 * @param frame  of its layout, from `plotFrame`
 * @param id     tells the patterns of pictures on one page apart
 */
export function drawFigure({ data, layout }: Figure, frame: PlotFrame, id: string): SVGElement {
  const { marks, patterns } = drawTraces(data, frame, id);
  const { left, right, top, bottom, width, height } = frame;
  const clip = `${id}-clip`;
  return svgNode("svg", { width, height, viewBox: `0 0 ${width} ${height}`, "font-family": FONT, "aria-hidden": "true" }, [
    svgNode("defs", {}, [
      ...patterns,
      svgNode("clipPath", { id: clip }, [svgNode("rect", { x: left - 2, y: top - 2, width: right - left + 4, height: bottom - top + 4 })]),
    ]),
    ...drawGrid(layout, frame), ...drawShapes(layout, frame, "below"), svgNode("g", { "clip-path": `url(#${clip})` }, marks),
    ...drawAxes(layout, frame), ...drawShapes(layout, frame, "above"), ...drawTexts(layout, frame),
  ]);
}

function uprightAxes(layout: Layout): YAxis[] {
  return Object.keys(layout).filter((key) => /^yaxis\d*$/.test(key)).map((key) => key.replace("axis", "") as YAxis);
}

function drawGrid(layout: Layout, frame: PlotFrame): SVGElement[] {
  const lines: string[] = [];
  const { xaxis } = layout;
  for (const name of uprightAxes(layout)) {
    const axis = yAxisOf(layout, name);
    const scale = frame.y(name);
    if (axis.showgrid !== false) for (const { at } of axisTicks(axis)) lines.push(`M${frame.left} ${scale.pixel(at)}H${frame.right}`);
    if (xaxis.showgrid !== false) for (const { at } of axisTicks(xaxis)) lines.push(`M${frame.x.pixel(at)} ${scale.from}V${scale.to}`);
  }
  return lines.length === 0 ? [] : [svgNode("path", { d: lines.join(""), stroke: layout.xaxis.gridcolor ?? "#e6eaec", fill: "none" })];
}

function drawAxes(layout: Layout, frame: PlotFrame): SVGElement[] {
  const { xaxis } = layout;
  const drawn: SVGElement[] = [];
  for (const name of uprightAxes(layout)) {
    const axis = yAxisOf(layout, name);
    if (axis.showticklabels === false) continue;
    const scale = frame.y(name);
    for (const { at, text } of axisTicks(axis)) {
      drawn.push(svgNode("text", { x: frame.left - 5, y: scale.pixel(at) + 4, "text-anchor": "end", "font-size": axis.tickfont!.size, fill: axis.tickfont!.color }, [text]));
    }
  }
  if (xaxis.showticklabels === false) return drawn;
  const foot = xaxis.anchor === undefined ? frame.bottom : frame.y(xaxis.anchor).from;
  const { size, color } = xaxis.tickfont!;
  const ticks = axisTicks(xaxis);
  drawn.push(svgNode("path", {
    d: `M${frame.left} ${foot}H${frame.right}${ticks.map(({ at }) => `M${frame.x.pixel(at)} ${foot}v${xaxis.ticklen ?? 0}`).join("")}`, stroke: xaxis.linecolor ?? null, fill: "none",
  }));
  for (const { at, text } of ticks) {
    drawn.push(svgNode("text", {
      x: frame.x.pixel(at), y: foot + (xaxis.ticklen ?? 0) + 4 + size, "text-anchor": "middle", "font-size": size, fill: color, "data-tick": text,
    }, [text]));
  }
  if (xaxis.title !== undefined) {
    const { text, font, standoff } = xaxis.title;
    const y = foot + (xaxis.ticklen ?? 0) + 4 + size + standoff + font.size;
    drawn.push(svgNode("text", { x: (frame.left + frame.right) / 2, y, "text-anchor": "middle", "font-size": font.size, fill: font.color }, [text]));
  }
  return drawn;
}

function drawShapes(layout: Layout, frame: PlotFrame, layer: Shape["layer"]): SVGElement[] {
  const alongX = ({ xref, xsizemode, xanchor }: Shape, x: number): number => {
    const place = (value: number): number => (xref === "paper" ? frame.left + value * (frame.right - frame.left) : frame.x.pixel(value));
    // a size in pixels counts from the anchor
    return xsizemode === "pixel" ? place(xanchor!) + x : place(x);
  };
  const alongY = ({ yref }: Shape, y: number): number => (yref === "paper" ? frame.bottom - y * (frame.bottom - frame.top) : frame.y(yref).pixel(y));
  return layout.shapes.filter((shape) => shape.layer === layer && shape.type === "line").map((shape) => svgNode("line", {
    x1: alongX(shape, shape.x0!), x2: alongX(shape, shape.x1!), y1: alongY(shape, shape.y0!), y2: alongY(shape, shape.y1!),
    ...strokeOf(shape.line),
  }));
}
