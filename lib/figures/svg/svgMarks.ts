import type { BarTrace, FillPattern, Line, LineTrace, PointTrace, Trace } from "../figure.ts";
import { strokeOf } from "./strokeOf.ts";
import { svgTag, tenth, type SvgTag } from "./svgTag.ts";
import type { PlotFrame } from "./plotFrame.ts";

/** The lines, areas, bars and points of a figure, in its order, and the patterns that they are filled with. */
export interface Marks {
  readonly marks: readonly SvgTag[];
  readonly patterns: readonly SvgTag[];
}

/**
 * Draws the traces of a figure.
 *
 * @param id  of the picture: patterns are found by name in the whole page
 */
export function svgMarks(data: readonly Trace[], frame: PlotFrame, id: string): Marks {
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
