import type { BarTrace, FillPattern, Line, LineTrace, Trace } from "../figures/figure.ts";
import { linePath, type PixelPoint } from "./linePath.ts";
import type { PlotFrame } from "./plotFrame.ts";
import { svgNode } from "./svgNode.ts";

/** The lines, areas and bars of a figure, in its order, and the patterns that they are filled with. */
export interface DrawnTraces {
  readonly marks: SVGElement[];
  readonly patterns: SVGElement[];
}

/**
 * Draws the traces of a figure.
 *
 * @param id  of the picture: patterns are found by name in the whole page
 */
export function drawTraces(data: readonly Trace[], frame: PlotFrame, id: string): DrawnTraces {
  const known = new Map<string, SVGElement>();
  const patternFill = (pattern: FillPattern): string => {
    const name = `${id}-${pattern.shape.charCodeAt(0)}-${pattern.size}-${pattern.fgcolor.slice(1)}`;
    if (!known.has(name)) known.set(name, drawPattern(name, pattern));
    return `url(#${name})`;
  };
  const marks = data.flatMap((trace) => {
    if (trace.type === "bar") return drawBars(trace, frame);
    if (trace.mode === "lines") return drawLine(trace, frame, patternFill);
    throw new Error(`trace "${trace.name}": expected a line or bars, which are all that the pictures of a live page have, got points`);
  });
  return { marks, patterns: [...known.values()] };
}

/** The strokes of a line in the way of SVG; lengths of dashes are plotly's. */
export function strokeOf({ color, width, dash }: Line): Record<string, string | number | null> {
  const least = Math.max(3, width);
  const dashes = {
    dot: [least, least], dash: [3 * least, 3 * least], longdash: [5 * least, 5 * least], dashdot: [3 * least, least, least, least],
    solid: null,
  };
  return { fill: "none", stroke: color, "stroke-width": width, "stroke-dasharray": dashes[dash ?? "solid"]?.join(" ") ?? null };
}

function drawLine(trace: LineTrace, frame: PlotFrame, patternFill: (pattern: FillPattern) => string): SVGElement[] {
  const axis = frame.y(trace.yaxis);
  const points = trace.x.map((x, i): PixelPoint => {
    const y = trace.y[i] ?? null;
    return y === null ? null : [frame.x.pixel(x), axis.pixel(y)];
  });
  const path = linePath(points, trace.line.shape === "hv");
  if (path === "") return [];
  const marks: SVGElement[] = [];
  if (trace.fill === "toself") {
    marks.push(svgNode("path", { d: `${path}Z`, fill: trace.fillpattern === undefined ? trace.fillcolor! : patternFill(trace.fillpattern) }));
  } else if (trace.fill === "tozeroy") {
    const [first, last] = [points[0]!, points.at(-1)!];
    const zero = axis.pixel(0);
    marks.push(svgNode("path", { d: `${path}L${last[0]} ${zero}L${first[0]} ${zero}Z`, fill: trace.fillcolor! }));
  }
  if (trace.line.width > 0 && trace.line.color !== "rgba(0,0,0,0)") marks.push(svgNode("path", { d: path, ...strokeOf(trace.line) }));
  return marks;
}

function drawBars(trace: BarTrace, frame: PlotFrame): SVGElement[] {
  const axis = frame.y(trace.yaxis);
  const { color, line } = trace.marker;
  return trace.x.map((middle, i) => {
    const [left, right] = [frame.x.pixel(middle - trace.width[i]! / 2), frame.x.pixel(middle + trace.width[i]! / 2)];
    const [top, foot] = [axis.pixel(trace.y[i] ?? 0), axis.pixel(0)];
    return svgNode("rect", { x: left, y: top, width: Math.max(0, right - left), height: Math.max(0, foot - top), fill: color, stroke: line.color, "stroke-width": line.width });
  });
}

/** A texture of dots or strokes; `solidity` is the share of it that is ink. */
function drawPattern(id: string, { shape, size, solidity, fgcolor, bgcolor }: FillPattern): SVGElement {
  const mark = {
    ".": () => svgNode("circle", { cx: size / 2, cy: size / 2, r: Math.sqrt((solidity * size * size) / Math.PI), fill: fgcolor }),
    "-": () => svgNode("path", { d: `M0 ${size / 2}H${size}`, stroke: fgcolor, "stroke-width": solidity * size }),
    "/": () => svgNode("path", {
      d: `M${-size / 4} ${size / 4}L${size / 4} ${-size / 4}M0 ${size}L${size} 0M${(3 * size) / 4} ${(5 * size) / 4}L${(5 * size) / 4} ${(3 * size) / 4}`,
      stroke: fgcolor, "stroke-width": (solidity * size) / Math.SQRT2,
    }),
  }[shape]();
  return svgNode("pattern", { id, width: size, height: size, patternUnits: "userSpaceOnUse" }, [
    svgNode("rect", { width: size, height: size, fill: bgcolor }), mark,
  ]);
}
