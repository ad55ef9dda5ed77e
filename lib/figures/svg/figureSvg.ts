import { greatestOf } from "../../numerics/extremes.ts";
import type {
  Annotation, Axis, BarTrace, Figure, FillPattern, Font, Layout, Line, LineTrace, PointTrace, Shape, Trace, YAxis,
} from "../figure.ts";
import { FONT } from "../look.ts";
import { textWidth } from "../textWidth.ts";
import { axisTicks } from "./axisTicks.ts";
import { plotFrame, type PlotFrame, yAxisOf } from "./plotFrame.ts";
import { type Attributes, svgMarkup, svgTag, type SvgTag, tenth } from "./svgTag.ts";

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

/** The lines, areas, bars and points of a figure, in its order, and the patterns that they are filled with. */
interface Marks {
  readonly marks: readonly SvgTag[];
  readonly patterns: readonly SvgTag[];
}

/**
 * Draws the traces of a figure.
 *
 * @param id  of the picture: patterns are found by name in the whole page
 */
function svgMarks(data: readonly Trace[], frame: PlotFrame, id: string): Marks {
  const known = new Map<string, { readonly name: string; readonly tag: SvgTag }>();
  const fillOf = (pattern: FillPattern): string => {
    const key = JSON.stringify(pattern);
    const name = known.get(key)?.name ?? `${id}-p${known.size}`;
    if (!known.has(key)) known.set(key, { name, tag: patternTag(name, pattern) });
    return `url(#${name})`;
  };
  const marks = data.flatMap((trace) => (trace.type === "bar" ? bars(trace, frame) : trace.mode === "lines" ? line(trace, frame, fillOf) : points(trace, frame)));
  return { marks, patterns: [...known.values()].map(({ tag }) => tag) };
}

function line(trace: LineTrace, frame: PlotFrame, fillOf: (pattern: FillPattern) => string): SvgTag[] {
  const axis = frame.y(trace.yaxis);
  const path = linePath(trace, frame.x.pixel, axis.pixel);
  if (path === "") return [];
  const fill = trace.fill === "toself" ? [svgTag("path", { d: `${path}Z`, fill: trace.fillpattern === undefined ? trace.fillcolor! : fillOf(trace.fillpattern) })]
    : trace.fill === "tozeroy" ? [svgTag("path", { d: `${path}V${tenth(axis.pixel(0))}H${tenth(frame.x.pixel(trace.x[0]!))}Z`, fill: trace.fillcolor! })] : [];
  return isDrawn(trace.line) ? [...fill, svgTag("path", { d: path, fill: "none", ...strokeOf(trace.line) })] : fill;
}

function isDrawn({ width, color }: Line): boolean {
  return width > 0 && !/^rgba\(.*,\s*0\)$/.test(color);
}

/**
 * The path of a line, broken at gaps, to a tenth of a pixel in steps from point to point; what stands on the pixel before it, or
 * on the straight line between its neighbours, is left out: a browser then has less to read.
 */
function linePath({ x, y, line: { shape } }: LineTrace, across: (value: number) => number, up: (value: number) => number): string {
  let path = "";
  let last: Tenths | null = null;
  /** the end of the stroke that is not written yet: it goes on as long as it stays straight */
  let end: Tenths | null = null;
  let passed = 0;
  const write = (): void => {
    if (last === null || end === null) return;
    const [right, down] = [end[0] - last[0], end[1] - last[1]];
    if (shape === "hv") path += (right === 0 ? "" : `h${step(right)}`) + (down === 0 ? "" : `v${step(down)}`);
    else if (right !== 0 || down !== 0) path += `l${step(right)}${down < 0 ? "" : " "}${step(down)}`;
    [last, end, passed] = [end, null, 0];
  };
  for (let i = 0; i < x.length; i++) {
    const value = y[i] ?? null;
    if (value === null) {
      write();
      last = null;
      continue;
    }
    // in whole tenths, so that steps between them add up without drift
    const at: Tenths = [Math.round(across(x[i]!) * 10), Math.round(up(value) * 10)];
    if (last === null) {
      path += `M${at[0] / 10}${at[1] < 0 ? "" : " "}${at[1] / 10}`;
      last = at;
    } else {
      if (end !== null && (shape === "hv" || passed === MOST_PASSED || !isBetween(last, end, at))) write();
      if (end !== null) passed++;
      end = at;
    }
  }
  write();
  return path;
}

/** Points left out in one stroke: each may lie half a tenth of a pixel beside it. */
const MOST_PASSED = 6;

/** A point of the picture [tenths of a pixel]. */
type Tenths = readonly [number, number];

/** Whether a point lies on the way from one to another, to half a tenth of a pixel. */
function isBetween([fromX, fromY]: Tenths, [x, y]: Tenths, [toX, toY]: Tenths): boolean {
  const [wayX, wayY, x1, y1] = [toX - fromX, toY - fromY, x - fromX, y - fromY];
  const far = Math.hypot(wayX, wayY);
  const along = x1 * wayX + y1 * wayY;
  return along >= 0 && along <= far * far && Math.abs(x1 * wayY - y1 * wayX) <= 0.5 * far;
}

/** A step in tenths of a pixel as a path says it, without a nought before its point. */
function step(tenths: number): string {
  const [whole, tenth] = [Math.trunc(Math.abs(tenths) / 10), Math.abs(tenths) % 10];
  return (tenths < 0 ? "-" : "") + (whole === 0 && tenth !== 0 ? "" : whole) + (tenth === 0 ? "" : `.${tenth}`);
}

function bars(trace: BarTrace, frame: PlotFrame): SvgTag[] {
  const { x: across, y: axisOf } = frame;
  const up = axisOf(trace.yaxis);
  const { color, line: { color: stroke, width: weight } } = trace.marker;
  return trace.x.map((x, i) => {
    const [y, half, from] = [trace.y[i] ?? 0, trace.width[i]! / 2, trace.base?.[i] ?? 0];
    const [x0, x1, y0, y1] = trace.orientation === "h" ? [across.pixel(from), across.pixel(from + x), up.pixel(y - half), up.pixel(y + half)]
      : [across.pixel(x - half), across.pixel(x + half), up.pixel(from), up.pixel(from + y)];
    return svgTag("rect", {
      x: Math.min(x0, x1), y: Math.min(y0, y1), width: Math.abs(x1 - x0), height: Math.abs(y1 - y0), fill: color,
      ...(weight > 0 ? { stroke, "stroke-width": weight } : {}),
    });
  });
}

function points(trace: PointTrace, frame: PlotFrame): SvgTag[] {
  const axis = frame.y(trace.yaxis);
  const { color, size, symbol, line: { color: stroke, width } } = trace.marker;
  const half = size / 2;
  const drawn = trace.x.flatMap((x, i): SvgTag[] => {
    const y = trace.y[i] ?? null;
    if (y === null) return [];
    const [px, py] = [frame.x.pixel(x), axis.pixel(y)];
    if (symbol === "circle") return [svgTag("circle", { cx: px, cy: py, r: half })];
    if (symbol === "square") return [svgTag("rect", { x: px - half, y: py - half, width: size, height: size })];
    const reach = tenth(1.3 * half);
    return [svgTag("path", { d: `M${tenth(px)} ${tenth(py - reach)}l${reach} ${reach}l${-reach} ${reach}l${-reach} ${-reach}Z` })];
  });
  return [svgTag("g", { fill: color, stroke, "stroke-width": width }, drawn)];
}

/** A texture of dots or strokes; `solidity` is the share of it that is ink. */
function patternTag(id: string, { shape, size, solidity, fgcolor, bgcolor }: FillPattern): SvgTag {
  const marks = {
    ".": () => svgTag("circle", { cx: String(size / 2), cy: String(size / 2), r: Math.sqrt((solidity * size * size) / Math.PI).toFixed(2), fill: fgcolor }),
    "-": () => svgTag("path", { d: `M0 ${size / 2}H${size}`, stroke: fgcolor, "stroke-width": (solidity * size).toFixed(2) }),
    "/": () => svgTag("path", {
      d: `M${-size / 4} ${size / 4}L${size / 4} ${-size / 4}M0 ${size}L${size} 0M${(3 * size) / 4} ${(5 * size) / 4}L${(5 * size) / 4} ${(3 * size) / 4}`,
      stroke: fgcolor, "stroke-width": ((solidity * size) / Math.SQRT2).toFixed(2),
    }),
  };
  const whole = { width: String(size), height: String(size) };
  return svgTag("pattern", { id, ...whole, patternUnits: "userSpaceOnUse" }, [svgTag("rect", { ...whole, fill: bgcolor }), marks[shape]()]);
}

/** The texts and arrows of a figure. */
function svgTexts(layout: Layout, frame: PlotFrame): SvgTag[] {
  return layout.annotations.flatMap((annotation) => annotationTags(annotation, frame));
}

// Lines of a text stand this many letter sizes apart, and letters that much above a line's middle, as in plotly.
const LINE = 1.3;
const RISE = 0.35;

/** The title of a figure, hung from its upper left corner, its lines as far apart as plotly sets them. */
function svgTitle({ title }: Layout): SvgTag[] {
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
function textTag(line: readonly TextRun[], x: number, y: number, { size, color }: Font, anchor: "start" | "middle" | "end", more: Readonly<Record<string, string>> = {}): SvgTag {
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

/** The strokes of a line in the way of SVG; lengths of dashes are plotly's. */
function strokeOf({ color, width, dash }: Line): Attributes {
  const least = Math.max(3, width);
  const dashes = {
    dot: [least, least], dash: [3 * least, 3 * least], longdash: [5 * least, 5 * least], dashdot: [3 * least, least, least, least],
    solid: null,
  };
  return { stroke: color, "stroke-width": width, "stroke-dasharray": dashes[dash ?? "solid"]?.map((each) => Math.round(each * 10) / 10).join(" ") ?? null };
}

/** A run of letters in one style. */
interface TextRun {
  readonly text: string;
  readonly bold: boolean;
  /** null: as the whole has it */
  readonly color: string | null;
  readonly size: number | null;
}

/**
 * What a figure's text says, line by line: figures are written in plotly's marks, of which ours use `<b>`, `<br>` and
 * `<span style="font-size:...;color:...">`, with `&lt;`, `&gt;` and `&amp;` for the signs themselves. Whatever else stands between
 * brackets is text.
 */
function richText(text: string): TextRun[][] {
  const lines: TextRun[][] = [[]];
  let bold = false;
  const styles: { readonly color: string | null; readonly size: number | null }[] = [];
  for (const piece of text.split(/(<\/?b>|<br>|<span style="[^"]*">|<\/span>)/)) {
    if (piece === "") continue;
    const span = /^<span style="([^"]*)">$/.exec(piece);
    const { color = null, size = null } = styles.at(-1) ?? {};
    if (span !== null) {
      const own = span[1]!;
      const ownSize = /font-size:\s*([\d.]+)px/.exec(own);
      styles.push({ color: /(?:^|;)\s*color:\s*([^;]+)/.exec(own)?.[1] ?? color, size: ownSize === null ? size : Number(ownSize[1]) });
    } else if (piece === "</span>") styles.pop();
    else if (piece === "<b>") bold = true;
    else if (piece === "</b>") bold = false;
    else if (piece === "<br>") lines.push([]);
    else lines.at(-1)!.push({ text: plain(piece), bold, color, size });
  }
  return lines;
}

function plain(text: string): string {
  return text.replace(/&lt;/g, "<").replace(/&gt;/g, ">").replace(/&amp;/g, "&")
    // as wide as they were written
    .replace(/ {2,}/g, (spaces) => "\u00a0".repeat(spaces.length));
}
