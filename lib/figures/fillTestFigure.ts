import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { depthText, displayUnits, twoFigures } from "../text/format.ts";
import type { FillTestResult } from "../dips/fillTest.ts";
import type { Annotation, Axis, Figure, Trace, YAxis } from "./figure.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig } from "./look.ts";
import { stackPanels } from "./panels.ts";
import { placeLabels } from "./placeLabels.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { NARROW } from "./plotEdges.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { textWidth } from "./textWidth.ts";

export interface FillTestFigureOptions {
  /** the picture will be shown this wide [px]; 960 where not given */
  readonly width?: number;
  /** false: no title, where the page around has one */
  readonly title?: boolean;
}

/**
 * A fill test: the dips, the line of the fitted works through them with its 95 percent band, and dashed what the works as drawn would
 * have done with the same water; beneath, what the line leaves over. Residuals that bend say that the model lacks something. The
 * title is the verdict.
 */
export function fillTestFigure(result: FillTestResult, options: FillTestFigureOptions = {}): Figure {
  const width = options.width ?? 960;
  const view = viewOf(result);
  const narrow = width < NARROW;
  const { small } = letterSizes(width);
  const heights = [narrow ? 210 : 290, narrow ? 60 : 76];
  const right = Math.ceil(16 + greatestOf(view.labels.map(({ text }) => textWidth(text, small, true))));
  const ticks = residualTicks(view.residual);
  const left = greatestOf([narrow ? 36 : 46, ...ticks.ticktext.map((text) => Math.ceil(12 + textWidth(text, small)))]);
  const frame = frameOf(view, width - left - right, heights);
  const stack = stackPanels([
    { heading: `water over the pit's floor, ${view.unit}`, height: heights[0]! }, { heading: `dip less line, ${view.unit}`, height: heights[1]! },
  ], width);
  const subtitle = `${plainText(result.site.name, 60)} · ${view.words}`;
  const { sentence } = result.verdict;
  const title = options.title === false ? null : answerTitle(plotText(sentence, Infinity), plotText(subtitle, Infinity), width);
  const top = title?.height ?? 4;
  const axis = (name: "y" | "y2", i: number): Axis => ({ ...quietAxis(width), domain: stack.domains[i]!, range: frame[name].range, fixedrange: true });
  return {
    data: [...lineTraces(view), ...dipTraces(view, frame)],
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(top + stack.height + BOTTOM),
      margin: { l: left, r: right, t: top, b: BOTTOM },
      hovermode: "closest",
      dragmode: false,
      barmode: "overlay",
      xaxis: {
        ...quietAxis(width), range: frame.across, anchor: "y2", fixedrange: true, nticks: narrow ? 5 : 10, ticks: "outside", ticklen: 4,
        tickcolor: ink.rule, showline: true, linecolor: ink.rule,
        title: { text: view.acrossLabel, font: font(small, ink.text), standoff: 8 },
      },
      yaxis: { ...axis("y", 0), nticks: 6 },
      yaxis2: { ...axis("y2", 1), ...ticks },
      annotations: [...stack.headings, ...endLabels(view, frame, width)],
      shapes: [{
        type: "line", xref: "paper", yref: "y2", x0: 0, x1: 1, y0: 0, y1: 0, line: { color: ink.rule, width: 1, dash: "solid" }, layer: "below",
      }],
    },
    config: quietConfig(),
    answer: sentence,
    description: `Dips of a fill test against the works as drawn. ${sentence} ${plainText(subtitle)}.`,
  };
}

const BOTTOM = 44;
/** Side of the square that marks a dip [px]. */
const MARK = 6;

/** The test in the units of its axes, depths over the pit's floor. */
interface View {
  readonly unit: string;
  readonly acrossLabel: string;
  readonly words: string;
  readonly dips: { readonly at: readonly number[]; readonly depth: readonly number[] };
  readonly residual: readonly number[];
  readonly at: readonly number[];
  readonly fitted: readonly number[];
  readonly low: readonly number[];
  readonly high: readonly number[];
  readonly design: readonly number[];
  readonly labels: readonly { readonly text: string; readonly depth: number; readonly color: string; readonly strong: boolean }[];
}

function viewOf({ site, dips, line, rms }: FillTestResult): View {
  const { label, size } = displayUnits(site.units).depth;
  const depth = (levels: Float64Array): number[] => Array.from(levels, (level) => (level - site.chamberBank.floor) / size);
  const clock = line.time.at(-1)! < 3 * 3600 ? { name: "minutes", size: 60 } : line.time.at(-1)! < 4 * 86400 ? { name: "hours", size: 3600 } : { name: "days", size: 86400 };
  const hours = (times: Float64Array): number[] => Array.from(times, (time) => time / clock.size);
  const [fitted, design] = [depth(line.level), depth(line.design)];
  return {
    unit: label,
    acrossLabel: `${clock.name} on the test's clock`,
    words: `${dips.time.length} dips, which lie ${depthText(rms, site.units)} about the fitted line; its band is of 95 percent`,
    dips: { at: hours(dips.time), depth: depth(dips.level) },
    residual: Array.from(dips.residual, (residual) => residual / size),
    at: hours(line.time), fitted, design, low: depth(line.low), high: depth(line.high),
    labels: [
      { text: "as built, fitted", depth: fitted.at(-1)!, color: lines.pit.color, strong: true },
      { text: "as drawn", depth: design.at(-1)!, color: lines.still.color, strong: false },
    ],
  };
}

/** Ranges of the axes, and what one pixel is on each. */
interface Frame {
  readonly across: [number, number];
  readonly pixelAcross: number;
  readonly y: { readonly range: [number, number]; readonly pixel: number };
  readonly y2: { readonly range: [number, number]; readonly pixel: number };
}

function frameOf(view: View, plotWidth: number, heights: readonly number[]): Frame {
  const across = widened(view.at[0]!, view.at.at(-1)!, 0.02);
  const depths = [...view.dips.depth, ...view.fitted, ...view.design];
  const upper = widened(Math.min(0, leastOf(depths)), greatestOf(depths), 0.05);
  const most = 1.15 * Math.max(greatestOf(view.residual.map(Math.abs)), LEAST_SHOWN);
  return {
    across, pixelAcross: (across[1] - across[0]) / plotWidth,
    y: { range: upper, pixel: (upper[1] - upper[0]) / heights[0]! },
    y2: { range: [-most, most], pixel: (2 * most) / heights[1]! },
  };
}

/** Residuals below this are round-off and none to be drawn large. */
const LEAST_SHOWN = 1e-3;

function widened(low: number, high: number, share: number): [number, number] {
  const air = share * (high - low) || 1;
  return [low - air, high + air];
}

/** The largest residual, either way, as people write it. */
function residualTicks(residual: readonly number[]): { tickvals: number[]; ticktext: string[] } {
  const most = greatestOf(residual.map(Math.abs));
  return most < LEAST_SHOWN ? { tickvals: [0], ticktext: ["0"] }
    : { tickvals: [-most, 0, most], ticktext: [`−${twoFigures(most)}`, "0", `+${twoFigures(most)}`] };
}

function lineTraces({ at, fitted, low, high, design, unit }: View): Trace[] {
  const common = { type: "scatter" as const, mode: "lines" as const, xaxis: "x" as const, yaxis: "y" as const, showlegend: false as const };
  const x = at.map(shortNumber);
  return [
    {
      ...common, name: "95 percent band", x: [...x, ...x.toReversed()], y: [...high, ...low.toReversed()].map(shortNumber),
      line: { color: "rgba(11,74,120,0)", width: 0 }, fill: "toself", fillcolor: "rgba(11,74,120,0.16)", hoverinfo: "skip",
    },
    { ...common, name: "as drawn", x, y: design.map(shortNumber), line: { ...lines.still, width: 1.6, dash: "dash" }, hovertemplate: `as drawn: %{y:.3~g} ${unit}<extra></extra>` },
    { ...common, name: "as built, fitted", x, y: fitted.map(shortNumber), line: { ...lines.pit, width: 1.8 }, hovertemplate: `fitted: %{y:.3~g} ${unit}<extra></extra>` },
  ];
}

/** Dips as small squares, which plotly's bars draw sharp, and their residuals as bars. */
function dipTraces({ dips, residual, unit }: View, { pixelAcross, y }: Frame): Trace[] {
  const { color } = lines.pit;
  const side = MARK * y.pixel;
  const common = { type: "bar" as const, x: dips.at.map(shortNumber), xaxis: "x" as const, showlegend: false as const, hovertemplate: "%{customdata}<extra></extra>" };
  return [
    {
      ...common, name: "dips", y: dips.depth.map(() => side), base: dips.depth.map((depth) => depth - side / 2),
      width: dips.at.map(() => MARK * pixelAcross), marker: { color: ink.paper, line: { color, width: 1.5 } },
      customdata: dips.depth.map((depth) => `${shortNumber(depth)} ${unit}`), yaxis: "y",
    },
    {
      ...common, name: "dip less line", y: residual.map((value) => shortNumber(value) + 0), width: dips.at.map(() => (MARK / 2) * pixelAcross),
      marker: { color, line: { color, width: 0 } }, customdata: residual.map((value) => `${shortNumber(value)} ${unit}`), yaxis: "y2" as YAxis,
    },
  ];
}

function endLabels({ labels }: View, { y: { range, pixel } }: Frame, width: number): Annotation[] {
  const { small } = letterSizes(width);
  const middles = placeLabels(labels.map(({ depth }) => ({ at: (depth - range[0]) / pixel, size: small * 1.3 })), {
    from: 0, to: (range[1] - range[0]) / pixel,
  });
  return labels.map(({ text, color, strong }, i) => ({
    text: strong ? `<b>${text}</b>` : text, x: 1, y: range[0] + middles[i]! * pixel, xref: "paper", yref: "y", xanchor: "left", yanchor: "middle",
    xshift: 8, showarrow: false, align: "left", font: font(small, color),
  }));
}
