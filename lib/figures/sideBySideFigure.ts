import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { depthText, displayUnits } from "../text/format.ts";
import { readiness } from "../simulate/readiness.ts";
import type { Run } from "../simulate/run.ts";
import type { Annotation, Figure, LineTrace, YAxis } from "./figure.ts";
import { labelCurves } from "./labelCurves.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { momentText } from "../text/hours.ts";
import { answerTitle, baseLayout, font, letterSizes, lines, quietAxis, quietConfig, type Tone } from "./look.ts";
import { stackPanels } from "./panels.ts";
import { NARROW } from "./plotEdges.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { rainText } from "./rainPanel.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { textWidth } from "./textWidth.ts";
import { hourSpan, timeAxis } from "./timeAxis.ts";

/** A run under the name it goes by in a comparison. */
export interface NamedRun {
  readonly name: string;
  readonly run: Run;
}

/**
 * The same storm on several sites, or the same works in several places, in one picture: how deep the water stands in each
 * pit, and beneath it how much rain each could take again before water comes out. The title says how ready each is a day
 * after the rain.
 *
 * @param runs  two to four
 * @throws RangeError  for another number of runs
 */
export function sideBySideFigure(runs: readonly NamedRun[], options: Omit<FigureOptions, "storm"> = {}): Figure {
  if (runs.length < 2 || runs.length > TONES.length) throw new RangeError(`sideBySideFigure: expected two to four runs, got ${runs.length}`);
  const { width = 960 } = options;
  const narrow = width < NARROW;
  const [{ run: first }] = runs as readonly [NamedRun];
  const { level, depth } = displayUnits(first.site.units);
  const plotWidth = width - LEFT - RIGHT;
  const spans = runs.map(({ run }) => hourSpan(run, plotWidth));
  const span = spans.reduce((longest, each) => (each.end > longest.end ? each : longest));
  const height = narrow ? 190 : 230;
  const stack = stackPanels([
    { heading: `water in the pit over its floor, ${level.label}`, height },
    { heading: `rain the works could take again, ${depth.label}`, height },
  ], width);
  const panels = [
    panel(runs, span.end, "y", level.size, ({ run }, time) => run.level("chamberBank", time) - run.site.chamberBank.floor),
    panel(runs, span.end, "y2", depth.size, ({ run }, time) => readiness(run, [time]).rain?.[0] ?? 0),
  ];
  const answer = readinessAnswer(runs);
  const subtitle = rainText(first) === "" ? "the inflow as given" : rainText(first);
  const title = options.title === false ? null : answerTitle(plotText(answer, Infinity), plotText(subtitle, Infinity), width);
  const top = title?.height ?? 4;
  return {
    data: panels.flatMap(({ traces }) => traces),
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(top + stack.height + BOTTOM),
      margin: { l: LEFT, r: RIGHT, t: top, b: BOTTOM },
      hovermode: "x unified",
      hoversubplots: "axis",
      dragmode: "zoom",
      xaxis: timeAxis(first, span, width, "y2"),
      yaxis: { ...quietAxis(width), domain: stack.domains[0]!, range: [0, panels[0]!.most], nticks: 6, fixedrange: true },
      yaxis2: { ...quietAxis(width), domain: stack.domains[1]!, range: [0, panels[1]!.most], nticks: 6, fixedrange: true },
      annotations: [...stack.headings, ...panels.flatMap((each) => names(each, { width, plotWidth, height, end: span.end }))],
      shapes: [],
    },
    config: quietConfig(),
    answer,
    description: `Water in the pit and rain that the works could take again, against hours since the rain began. ${answer}`,
  };
}

const LEFT = 46;
const RIGHT = 14;
const BOTTOM = 44;

// colour, weight and dash differ, as in every picture
const TONES: readonly Tone[] = Object.freeze(["pit", "emitter", "trench", "box"]);

interface ComparedPanel {
  readonly axis: YAxis;
  readonly traces: readonly LineTrace[];
  /** top of its axis, in the unit shown */
  readonly most: number;
}

function panel(
  runs: readonly NamedRun[], end: number, axis: YAxis, unit: number, value: (run: NamedRun, time: number) => number,
): ComparedPanel {
  const traces = runs.map((each, i): LineTrace => {
    const until = Math.min(end * 3600, each.run.until);
    const even = Array.from({ length: POINTS + 1 }, (_, k) => (k / POINTS) * until);
    const times = [...even, each.run.peaks["chamberBank"]!.time].filter((time) => time <= until).sort((a, b) => a - b);
    return {
      type: "scatter", name: plotText(each.name), mode: "lines", x: times.map((time) => shortNumber(time / 3600)),
      y: times.map((time) => shortNumber(value(each, time) / unit)), line: lines[TONES[i]!], hovertemplate: `${plotText(each.name)}: %{y:.3~r}<extra></extra>`,
      xaxis: "x", yaxis: axis, showlegend: false,
    };
  });
  return { axis, traces, most: 1.1 * greatestOf([1e-6, ...traces.flatMap(({ y }) => y.map((each) => each ?? 0))]) };
}

/** enough for a line of a thousand pixels */
const POINTS = 300;

function names(
  { axis, traces, most }: ComparedPanel,
  plot: { readonly width: number; readonly plotWidth: number; readonly height: number; readonly end: number },
): Annotation[] {
  const { body: size } = letterSizes(plot.width);
  const places = labelCurves(traces.map(({ name, x, y }) => ({
    x: x.map((hours) => (hours / plot.end) * plot.plotWidth), y: y.map((each) => ((each ?? 0) / most) * plot.height),
    labelWidth: textWidth(name, size, true), labelHeight: size * 1.25,
  })), { width: plot.plotWidth, height: plot.height, still: [] });
  return traces.flatMap(({ name, line }, i) => {
    const place = places[i];
    return place === null || place === undefined ? [] : [{
      text: `<b>${name}</b>`, x: (place.x / plot.plotWidth) * plot.end, y: (place.y / plot.height) * most, xref: "x" as const, yref: axis,
      xanchor: "left" as const, yanchor: "bottom" as const, showarrow: false, align: "left" as const, font: font(size, line.color),
    }];
  });
}

/** A day after the rain, or at the end of a shorter run. */
function readinessAnswer(runs: readonly NamedRun[]): string {
  const [{ run: first }] = runs as readonly [NamedRun];
  const rainEnds = Object.values(first.inflows).reduce((last, { time }) => Math.max(last, time.at(-1)!), first.rain?.time.at(-1) ?? 0);
  const at = leastOf([rainEnds + 86400, ...runs.map(({ run }) => run.until)]);
  const parts = runs.map(({ name, run }) => {
    const { rain } = readiness(run, [0, at]);
    const words = rain === null ? "no catchment" : `${depthText(rain[1]!, run.site.units)} of ${depthText(rain[0]!, run.site.units)}`;
    return `${plainText(name, 30)} ${words}`;
  });
  return `At ${momentText(at)}, a day after the last inflow, the works are ready for rain again: ${parts.join(", ")}.`;
}
