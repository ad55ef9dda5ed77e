import { greatestOf } from "../numerics/extremes.ts";
import { depthText, displayUnits, intensityText, flowText } from "../text/format.ts";
import type { Run } from "../simulate/run.ts";
import type { Shape, Trace } from "./figure.ts";
import { inflowSum } from "./inflowSum.ts";
import { lastingText, momentText } from "../text/hours.ts";
import { ink, lines } from "./look.ts";
import type { HourSpan } from "./timeAxis.ts";
import { shortNumber } from "../text/shortNumber.ts";

/** The panel that hangs from the top of a picture: the rain, or the inflow of a run that was given no rain. */
export interface RainPanel {
  readonly heading: string;
  readonly trace: Trace;
  /** end of its axis, which points down */
  readonly most: number;
  readonly shapes: Shape[];
}

/**
 * The rain of a run as intensity, hanging from the top; of a run that was given inflows alone, their sum instead.
 *
 * @param width  the picture is drawn for [px]
 */
export function rainPanel(run: Run, span: HourSpan, width: number): RainPanel {
  const units = displayUnits(run.site.units);
  const { rain } = run;
  const unit = rain === null ? units.flow : units.intensity;
  const steps = rain === null ? inflowSteps(run) : rainSteps(rain);
  const shown = steps.value.map((value) => shortNumber(value / unit.size));
  const most = Math.max(0, greatestOf(shown));
  // a block storm has no moment at which it rains most
  const isBlock = rain !== null && shown.every((value) => value < 1e-6 * most || value > (1 - 1e-3) * most);
  const peak = most > 0 && !isBlock ? ` at ${momentText(steps.time[shown.indexOf(most)]!)}` : "";
  const text = rain === null ? flowText : intensityText;
  const narrow = width < 560;
  const what = rain === null ? "inflow" : "rain";
  const amount = rain === null ? "" : rainText(run);
  const heading = most === 0 ? `${what}, ${unit.label}: none`
    : `${what}, ${unit.label}${narrow ? "" : ` — ${amount}${amount === "" ? "" : ", "}at most ${text(most * unit.size, run.site.units)}${peak}`}`;
  return {
    heading,
    most: most === 0 ? 1 : most * 1.08,
    trace: {
      type: "scatter", name: what, mode: "lines", x: steps.time.map((time) => shortNumber(time / 3600)), y: shown,
      line: { color: lines.rain.color, width: 1, shape: rain === null ? "linear" : "hv" }, fill: "tozeroy", fillcolor: `${lines.rain.color}b0`,
      hovertemplate: `${what}: %{y:.2~f} ${unit.label}<extra></extra>`, xaxis: "x", yaxis: "y", showlegend: false,
    },
    shapes: [{
      type: "line", xref: "x", yref: "y", x0: 0, x1: span.end, y0: 0, y1: 0, line: { color: ink.rule, width: 1, dash: "solid" }, layer: "below",
    }],
  };
}

/** All of a run's rain in words: `3.00 in over 24 h`; empty where it was given none. */
export function rainText(run: Run): string {
  const { rain, site } = run;
  if (rain === null) return "";
  const wet = Array.from(rain.depth, (depth, i) => (depth > 0 ? i : -1)).filter((i) => i >= 0);
  if (wet.length === 0) return "no rain";
  const total = rain.depth.reduce((sum, depth) => sum + depth, 0);
  return `${depthText(total, site.units)} over ${lastingText(rain.time[wet.at(-1)! + 1]! - rain.time[wet[0]!]!)}`;
}

interface Steps {
  readonly time: readonly number[];
  readonly value: readonly number[];
}

function rainSteps({ time, depth }: NonNullable<Run["rain"]>): Steps {
  const value = Array.from(depth, (fallen, i) => fallen / (time[i + 1]! - time[i]!));
  return { time: Array.from(time), value: [...value, 0] };
}

function inflowSteps({ inflows }: Run): Steps {
  const { time, flow } = inflowSum(Object.values(inflows));
  return { time, value: flow };
}
