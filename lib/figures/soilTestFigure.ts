import type { ConstantHeadResult } from "../ground/test/constantHeadTest.ts";
import type { FallingHeadResult, FillResult, PercolationHoleResult } from "../ground/test/soilTestResult.ts";
import { usedConductivity } from "../ground/test/usedConductivity.ts";
import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { displayUnits, durationText, intensityBandText, intensityText, threeFigures, twoFigures, type UnitSystem } from "../text/format.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { shortNumber } from "../text/shortNumber.ts";
import type { Annotation, Axis, Figure, Trace, YAxis } from "./figure.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig } from "./look.ts";
import { stackPanels } from "./panels.ts";
import { placeLabels } from "./placeLabels.ts";
import { NARROW } from "./plotEdges.ts";
import { textWidth } from "./textWidth.ts";

export interface SoilTestFigureOptions {
  /** the test's name, for the subtitle */
  readonly name?: string;
  /** the system depths and conductivities are shown in; SI where not given */
  readonly units?: UnitSystem;
  /** the picture will be shown this wide [px]; 960 where not given */
  readonly width?: number;
  /** false: no title, where the page around has one */
  readonly title?: boolean;
}

/**
 * A test in the ground: the readings, the line that was fitted through them, and beneath what it leaves over. Residuals that
 * bend are the sign of a soil still drying in or of a water table; those that scatter are the tape's. Of several fills the
 * slowest, which is the result, is drawn strong. The title is the answer with its band.
 *
 * @param result  of `soilTest` or of the function of one kind
 */
export function soilTestFigure(result: FallingHeadResult | ConstantHeadResult, options: SoilTestFigureOptions = {}): Figure {
  const width = options.width ?? 960;
  const { units = "si" } = options;
  const view = "fills" in result ? fallingHeadView(result, units) : constantHeadView(result, units);
  const narrow = width < NARROW;
  const { small } = letterSizes(width);
  const { residual } = view.fills[view.governing]!;
  const heights = [narrow ? 200 : 260, ...(residual === null ? [] : [narrow ? 60 : 76])];
  const right = Math.ceil(16 + greatestOf(view.fills.map(({ name }) => textWidth(name, small, true))));
  const ticks = residual === null ? null : residualTicks(residual);
  const left = greatestOf([narrow ? 36 : 46, ...(ticks?.ticktext ?? []).map((text) => Math.ceil(12 + textWidth(text, small)))]);
  const frame = frameOf(view, { width: width - left - right, heights });
  const headings = [view.upLabel, `reading less line, ${view.upUnit}`];
  const stack = stackPanels(heights.map((height, i) => ({ heading: plotText(headings[i]!), height })), width);
  const subtitle = options.name === undefined ? view.subtitle : `${plainText(options.name, 60)} · ${view.subtitle}`;
  const title = options.title === false ? null : answerTitle(plotText(view.answer, Infinity), plotText(subtitle, Infinity), width);
  const top = title?.height ?? 4;
  const axes = frame.panels.map(({ range, name }, i): Axis => ({
    ...quietAxis(width), domain: stack.domains[i]!, range, fixedrange: true, ...(name === "y" ? { nticks: 6 } : ticks!),
  }));
  return {
    data: [...view.fills.flatMap((fill, i) => fillTraces(fill, i === view.governing, frame, view)), ...residualTraces(view, frame)],
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(top + stack.height + BOTTOM),
      margin: { l: left, r: right, t: top, b: BOTTOM },
      hovermode: "closest",
      dragmode: false,
      barmode: "overlay",
      xaxis: {
        ...quietAxis(width), range: frame.across, anchor: frame.panels.at(-1)!.name, fixedrange: true,
        ...(view.counts === null ? { nticks: narrow ? 5 : 10 } : { tickvals: [...view.counts] }), ticks: "outside", ticklen: 4, tickcolor: ink.rule, showline: true, linecolor: ink.rule,
        title: { text: view.acrossLabel, font: font(small, ink.text), standoff: 8 },
      },
      yaxis: axes[0]!,
      ...(axes.length > 1 ? { yaxis2: axes[1]! } : {}),
      annotations: [...stack.headings, ...lineLabels(view, frame, width)],
      shapes: residual === null ? [] : [{
        type: "line", xref: "paper", yref: "y2", x0: 0, x1: 1, y0: 0, y1: 0, line: { color: ink.rule, width: 1, dash: "solid" }, layer: "below",
      }],
    },
    config: quietConfig(),
    answer: view.answer,
    description: `Readings of a soil test. ${view.answer} ${plainText(subtitle)}.`,
  };
}

const BOTTOM = 44;
/** Side of the square that marks a reading [px]. */
const MARK = 6;

/** What one pixel is on each axis. */
interface Frame {
  readonly across: [number, number];
  readonly pixelAcross: number;
  readonly panels: readonly { readonly name: YAxis; readonly range: [number, number]; readonly pixel: number }[];
}

function frameOf({ fills, governing }: SoilTestView, plot: { readonly width: number; readonly heights: readonly number[] }): Frame {
  const ats = fills.flatMap(({ at, line }) => [...at, ...line.at]);
  const across = widened(leastOf(ats), greatestOf(ats), 0.02);
  const values = fills.flatMap(({ reading, line }) => [...reading, ...line.value]);
  const { residual } = fills[governing]!;
  const ranges = [widened(leastOf(values), greatestOf(values), 0.06)];
  if (residual !== null) {
    const most = Math.max(greatestOf(residual.map(Math.abs)), 1e-6);
    ranges.push([-1.15 * most, 1.15 * most]);
  }
  return {
    across,
    pixelAcross: (across[1] - across[0]) / plot.width,
    panels: ranges.map((range, i) => ({ name: i === 0 ? "y" : "y2", range, pixel: (range[1] - range[0]) / plot.heights[i]! })),
  };
}

/** The largest residual, either way, as people write it. */
function residualTicks(residual: readonly number[]): Pick<Axis, "tickvals" | "ticktext"> {
  const most = greatestOf(residual.map(Math.abs));
  return most < 1e-4 ? { tickvals: [0] } : { tickvals: [-most, 0, most], ticktext: [`−${twoFigures(most)}`, "0", `+${twoFigures(most)}`] };
}

/** Air at both ends; some also where all values are one. */
function widened(low: number, high: number, share: number): [number, number] {
  const air = share * (high - low) || 0.05 * Math.abs(high) || 1;
  return [low - air, high + air];
}

/** The line, and the readings as small squares, which plotly's bars draw sharp. */
function fillTraces(
  { name, at, reading, line }: DrawnFill, governs: boolean, { pixelAcross, panels }: Frame, { upUnit }: SoilTestView,
): Trace[] {
  const { color, width } = governs ? lines.pit : lines.still;
  const side = MARK * panels[0]!.pixel;
  return [
    {
      type: "bar", name: `readings, ${plotText(name)}`, x: at.map(shortNumber), y: reading.map(() => side), base: reading.map((value) => value - side / 2),
      width: reading.map(() => MARK * pixelAcross), marker: { color: ink.paper, line: { color, width: 1.5 } },
      customdata: reading.map((value) => `${shortNumber(value)} ${upUnit}`), hovertemplate: "%{customdata}<extra></extra>",
      xaxis: "x", yaxis: "y", showlegend: false,
    },
    {
      type: "scatter", mode: "lines", name: `line, ${plotText(name)}`, x: line.at.map(shortNumber), y: line.value.map(shortNumber),
      line: { color, width: governs ? width / 2 : width, dash: governs ? "solid" : "dash" }, hoverinfo: "skip", xaxis: "x", yaxis: "y", showlegend: false,
    },
  ];
}

function residualTraces({ fills, governing, upUnit }: SoilTestView, { pixelAcross }: Frame): Trace[] {
  const { at, residual } = fills[governing]!;
  if (residual === null) return [];
  const { color } = lines.pit;
  return [{
    type: "bar", name: "reading less line", x: at.map(shortNumber), y: residual.map((value) => shortNumber(value) + 0), width: at.map(() => (MARK / 2) * pixelAcross),
    marker: { color, line: { color, width: 0 } }, customdata: residual.map((value) => `${shortNumber(value)} ${upUnit}`),
    hovertemplate: "%{customdata}<extra></extra>", xaxis: "x", yaxis: "y2", showlegend: false,
  }];
}

/** Each line's name at the right edge, at its end or as near as the others leave room. */
function lineLabels({ fills, governing }: SoilTestView, { panels }: Frame, width: number): Annotation[] {
  const { small } = letterSizes(width);
  const { range, pixel } = panels[0]!;
  const middles = placeLabels(fills.map(({ line }) => ({ at: (line.value.at(-1)! - range[0]) / pixel, size: small * 1.3 })), {
    from: 0, to: (range[1] - range[0]) / pixel,
  });
  return fills.map(({ name }, i) => ({
    text: i === governing ? `<b>${plotText(name)}</b>` : plotText(name), x: 1, y: range[0] + middles[i]! * pixel, xref: "paper", yref: "y",
    xanchor: "left", yanchor: "middle", xshift: 8, showarrow: false, align: "left", font: font(small, (i === governing ? lines.pit : lines.still).color),
  }));
}

/** A soil test as a picture shows it: readings with the line through them, and what the line leaves over. */
interface SoilTestView {
  readonly fills: readonly DrawnFill[];
  /** which of them is the result */
  readonly governing: number;
  readonly acrossLabel: string;
  /** places of the figures on that axis, where they are counts; null for times */
  readonly counts: readonly number[] | null;
  readonly upLabel: string;
  /** unit of the upright axis, for labels */
  readonly upUnit: string;
  readonly answer: string;
  readonly subtitle: string;
}

/** In the units of the axes. */
interface DrawnFill {
  readonly name: string;
  readonly at: readonly number[];
  readonly reading: readonly number[];
  /** null where two readings are met exactly */
  readonly residual: readonly number[] | null;
  readonly line: { readonly at: readonly number[]; readonly value: readonly number[] };
}

/** A test in which the water falls: each fill counted from its own first reading, so that one lies over the other. */
function fallingHeadView(result: FallingHeadResult, units: UnitSystem): SoilTestView {
  const { label, size } = displayUnits(units).depth;
  const clock = clockOf(greatestOf(result.fills.map(({ time }) => time.at(-1)! - time[0]!)));
  const several = result.fills.length > 1;
  // the figure of the line, where the answer is the lower one
  const byGravity = usedConductivity(result, "lower").conductivity < result.hydraulicConductivity ? " by gravity" : "";
  return {
    fills: result.fills.map((fill, i): DrawnFill => ({
      name: `${several ? `fill ${i + 1}: ` : ""}${intensityText(fill.hydraulicConductivity, units)}${byGravity}`,
      at: Array.from(fill.time, (time) => (time - fill.time[0]!) / clock.size),
      reading: Array.from(fill.depth, (depth) => depth / size),
      residual: fill.residualDeviation === null ? null : Array.from(fill.residual, (residual) => residual / size),
      line: {
        at: Array.from(fill.line.time, (time) => (time - fill.time[0]!) / clock.size),
        value: Array.from(fill.line.depth, (depth) => depth / size),
      },
    })),
    governing: result.governing,
    acrossLabel: `${clock.label} since the first reading`,
    counts: null,
    upLabel: `water in the hole, ${label}`,
    upUnit: label,
    answer: result.drained ? drainedAnswer(result, "the fall of the water", units) : undrainedAnswer(result, units),
    subtitle: fitWords(result.fills[result.governing]!, several ? result.governing + 1 : null, units),
  };
}

/** A test in which the water is held: the readings of the flow one after the other, and their mean. */
function constantHeadView(result: ConstantHeadResult, units: UnitSystem): SoilTestView {
  const litresPerHour = 1 / 3_600_000;
  const reading = Array.from(result.residual, (residual) => (result.flow + residual) / litresPerHour);
  const mean = result.flow / litresPerHour;
  return {
    fills: [{
      name: `mean ${threeFigures(mean)} L/h`,
      at: reading.map((_, i) => i + 1),
      reading,
      residual: reading.length < 2 ? null : Array.from(result.residual, (residual) => residual / litresPerHour),
      line: { at: [0.5, reading.length + 0.5], value: [mean, mean] },
    }],
    governing: 0,
    acrossLabel: "reading",
    counts: reading.flatMap((_, i) => (i % Math.ceil(reading.length / 12) === 0 ? [i + 1] : [])),
    upLabel: "flow that holds the water, L/h",
    upUnit: "L/h",
    answer: drainedAnswer(result, "the flow over the floor", units),
    subtitle: `by ${result.method}, from ${reading.length === 1 ? "one reading" : `${reading.length} readings`}`,
  };
}

type Result = FallingHeadResult | PercolationHoleResult | ConstantHeadResult;

function drainedAnswer(result: Result, seen: string, units: UnitSystem): string {
  const { naive, naiveFactor } = result;
  const { conductivity, band } = usedConductivity(result, "lower");
  const factor = naiveFactor! >= 1 ? `${twoFigures(naiveFactor!)} times too high` : `${twoFigures(1 / naiveFactor!)} times too low`;
  return `The soil takes in ${intensityText(conductivity, units)}, within the site ${intensityBandText(band.low, band.high, units)}; `
    + `${seen} alone would have said ${intensityText(naive, units)}, ${factor}.`;
}

function undrainedAnswer(result: FallingHeadResult, units: UnitSystem): string {
  const { time } = result.fills[result.governing]!;
  return `In ${durationText(time.at(-1)! - time[0]!)} the water does not fall by more than the readings can show: this hole does not drain, or takes in `
    + `${intensityText(usedConductivity(result, "lower").band.high, units)} at most.`;
}

function fitWords({ residualDeviation, depth }: FillResult, number: number | null, units: UnitSystem): string {
  const fill = number === null ? "" : ` of fill ${number}, the slowest`;
  if (residualDeviation === null) return `from two readings${fill}, which leave no residual to judge by`;
  const { label, size } = displayUnits(units).depth;
  return `fitted to ${depth.length} readings${fill}; they lie ${threeFigures(residualDeviation / size)} ${label} about the line`;
}

/** A unit in which a test's time has two or three figures. */
function clockOf(span: number): { readonly label: string; readonly size: number } {
  if (span < 3 * 3600) return { label: "minutes", size: 60 };
  return span < 4 * 86400 ? { label: "hours", size: 3600 } : { label: "days", size: 86400 };
}
