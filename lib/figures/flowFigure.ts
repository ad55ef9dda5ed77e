import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { displayUnits, flowText } from "../text/format.ts";
import type { Run } from "../simulate/run.ts";
import { drawnTimes } from "./drawnTimes.ts";
import type { Annotation, Axis, Figure, Layout, Trace, YAxis } from "./figure.ts";
import { flowRows, NO_FLOW, type FlowRow } from "./flowRows.ts";
import { momentText } from "../text/hours.ts";
import { inflowSum } from "./inflowSum.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { answerTitle, baseLayout, font, letterSizes, lines, quietAxis, quietConfig, type Tone } from "./look.ts";
import { stackPanels } from "./panels.ts";
import { plotText } from "../text/plainText.ts";
import { plotEdges } from "./plotEdges.ts";
import { runSubtitle } from "./runSubtitle.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { hourSpan, timeAxis } from "./timeAxis.ts";

/**
 * Every flow of a run against time, one strip each in the water's way, each in its own scale with its peak written over
 * it: they differ by a thousand times, and one common scale would show the first alone. A strip where nothing flows is
 * a line that says so.
 */
export function flowFigure(run: Run, options: FigureOptions = {}): Figure {
  const width = options.width ?? 960;
  const { left, right, bottom, plotWidth } = plotEdges(run, width);
  const span = hourSpan(run, plotWidth);
  const strips = flowStrips(run);
  const stack = stackPanels(strips.map((strip) => ({ heading: heading(strip), height: still(strip) ? 2 : 40 })), width);
  const answer = flowAnswer(run, strips);
  const title = options.title === false ? null
    : answerTitle(plotText(answer, Infinity), plotText(runSubtitle(run, options.storm), Infinity), width);
  const top = title?.height ?? 4;
  const axes = strips.map((strip, i): [string, Axis] => [axisKey(i), flowAxis(run, strip, stack.domains[i]!, width)]);
  const layout: Omit<Layout, "yaxis"> & { yaxis?: Axis } = {
    ...baseLayout(width),
    ...(title === null ? {} : { title: title.title }),
    height: Math.round(top + stack.height + bottom),
    margin: { l: left, r: right, t: top, b: bottom },
    hovermode: "x unified",
    hoversubplots: "axis",
    dragmode: "zoom",
    xaxis: timeAxis(run, span, width, axisName(strips.length - 1)),
    annotations: [...stack.headings, ...strips.flatMap((strip, i) => peakLabels(run, strip, stack.domains[i]!, width))],
    shapes: [],
    ...Object.fromEntries(axes),
  };
  return {
    data: strips.map((strip, i) => flowTrace(run, strip, i)),
    layout: { ...layout, yaxis: axes[0]![1] },
    config: quietConfig(),
    answer,
    description: `Flows against hours since the rain began. ${answer} ${strips.map((strip) => peakWords(run, strip)).join("; ")}.`,
  };
}

interface FlowStrip {
  readonly words: string;
  readonly tone: Tone;
  readonly time: readonly number[];
  readonly flow: readonly number[];
  /** the largest and the most negative flow drawn [m3/s], and when the largest was [s] */
  readonly peak: number;
  readonly least: number;
  readonly peakTime: number;
}

/** A page draws a run's flows at many widths, from the same points. */
const STRIPS = new WeakMap<Run, readonly FlowStrip[]>();

function flowStrips(run: Run): readonly FlowStrip[] {
  const strips = STRIPS.get(run) ?? drawnStrips(run);
  STRIPS.set(run, strips);
  return strips;
}

/** The inflow by its own points, the passages at shared times within half a percent of each one's peak. */
function drawnStrips(run: Run): FlowStrip[] {
  const inflow = inflowSum(Object.values(run.inflows));
  const rows = flowRows(run);
  const largest = rows.map(() => NO_FLOW);
  for (const time of run.times) rows.forEach(({ flow }, i) => { largest[i] = Math.max(largest[i]!, Math.abs(flow(time))); });
  const shares = rows.map(({ flow }, i) => (time: number): number => flow(time) / largest[i]!);
  const times = drawnTimes(shares, knotsOf(run), { tolerance: 0.005, points: 400 });
  return [
    strip({ words: inflowWords(run), tone: "rain" }, inflow.time, inflow.flow),
    ...rows.map((row) => strip(row, times, times.map(row.flow))),
  ];
}

function inflowWords({ inflows, site }: Run): string {
  const boxes = new Set(site.settlingBoxes.map(({ name }) => name));
  if (!Object.keys(inflows).every((body) => boxes.has(body))) return "running in";
  return boxes.size === 1 ? "into the box" : "into the boxes";
}

function strip({ words, tone }: Pick<FlowRow, "words" | "tone">, time: readonly number[], flow: readonly number[]): FlowStrip {
  const peak = Math.max(0, greatestOf(flow));
  return { words, tone, time, flow, peak, least: Math.min(0, leastOf(flow)), peakTime: time[flow.indexOf(peak)] ?? 0 };
}

/** Ends of steps, and both sides of each jump of the emitter. */
function knotsOf(run: Run): number[] {
  const jumps = run.firings.flatMap(({ start, end }) => [start - JUST, start, (end ?? run.until) - JUST, end ?? run.until]);
  return [0, ...[...run.times, ...jumps].filter((time) => time > 0 && time < run.until), run.until].sort((a, b) => a - b);
}

/** Just before a jump [s]. */
const JUST = 1e-3;

function flowTrace(run: Run, { words, tone, time, flow }: FlowStrip, i: number): Trace {
  const { label, size } = displayUnits(run.site.units).flow;
  const { color } = lines[tone];
  return {
    type: "scatter", name: plotText(words), mode: "lines", x: time.map((seconds) => shortNumber(seconds / 3600)),
    y: flow.map((each) => shortNumber(each / size)), line: { color, width: 1.3 }, fill: "tozeroy", fillcolor: `${color}38`,
    hovertemplate: `${plotText(words)}: %{y:.3~r} ${label}<extra></extra>`, xaxis: "x", yaxis: axisName(i), showlegend: false,
  };
}

function flowAxis(run: Run, strip: FlowStrip, domain: [number, number], width: number): Axis {
  const { size } = displayUnits(run.site.units).flow;
  const [low, high] = still(strip) ? [0, 1] : [strip.least / size, Math.max(strip.peak, -strip.least / 10) / size];
  const air = 0.04 * (high - low);
  return {
    ...quietAxis(width), domain, range: [low - (low < 0 ? air : 0), high + air], fixedrange: true,
    tickvals: still(strip) ? [] : [low, 0, high], showticklabels: false,
  };
}

function heading(strip: FlowStrip): string {
  const words = `<span style="color:${lines[strip.tone].color}"><b>${plotText(strip.words)}</b></span>`;
  return still(strip) ? `${words}: nothing` : words;
}

/** The peak at the right edge, in line with the names of the level picture. */
function peakLabels(run: Run, strip: FlowStrip, domain: [number, number], width: number): Annotation[] {
  if (still(strip)) return [];
  const { units } = run.site;
  const peak = strip.peak > NO_FLOW ? `up to ${flowText(strip.peak, units)}<br>at ${momentText(strip.peakTime)}` : "";
  const back = strip.least < -NO_FLOW ? `back ${flowText(-strip.least, units)}` : "";
  return [{
    text: [peak, back].filter((text) => text !== "").join("<br>"), x: 1, y: (domain[0] + domain[1]) / 2, xref: "paper", yref: "paper",
    xanchor: "left", yanchor: "middle", xshift: 8, showarrow: false, align: "left", font: font(letterSizes(width).small, lines[strip.tone].color),
  }];
}

function still({ peak, least }: FlowStrip): boolean {
  return peak <= NO_FLOW && least >= -NO_FLOW;
}

function peakWords(run: Run, { words, peak, peakTime, least }: FlowStrip): string {
  const { units } = run.site;
  const back = least < -NO_FLOW ? `, back up to ${flowText(-least, units)}` : "";
  return peak > NO_FLOW ? `${words}: up to ${flowText(peak, units)} at ${momentText(peakTime)}${back}` : `${words}: nothing${back}`;
}

function flowAnswer(run: Run, strips: readonly FlowStrip[]): string {
  const { units } = run.site;
  const inflow = strips[0]!;
  // the strips but the first share their times: the most of all at one time, not the sum of what each takes at its own
  const soils = strips.filter(({ words }) => / to soil/.test(words));
  const soil = greatestOf([0, ...(soils[0]?.time ?? []).map((_, i) => soils.reduce((sum, { flow }) => sum + Math.max(0, flow[i]!), 0))]);
  if (inflow.peak <= NO_FLOW) return "Nothing runs in.";
  const takes = soil <= NO_FLOW ? `takes in ${soil > 0 ? "next to " : ""}nothing` : `takes ${flowText(soil, units)} at most`;
  return `Up to ${flowText(inflow.peak, units)} runs in at ${momentText(inflow.peakTime)}; the soil ${takes}.`;
}

function axisName(i: number): YAxis {
  return i === 0 ? "y" : (`y${i + 1}` as YAxis);
}

function axisKey(i: number): string {
  return axisName(i).replace("y", "yaxis");
}
