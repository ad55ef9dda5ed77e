import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { depthText, displayUnits, threeFigures } from "../text/format.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { shortNumber } from "../text/shortNumber.ts";
import type { Season } from "../dips/season.ts";
import type { Figure, Line, Shape, Trace, YAxis } from "./figure.ts";
import type { FillTestFigureOptions } from "./fillTestFigure.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig } from "./look.ts";
import { stackPanels } from "./panels.ts";
import { NARROW } from "./plotEdges.ts";

/**
 * A season of a logger: the rain by the day, the readings with the run of the works as they were found, and what the readings lie off that
 * run, over the same days, so that what the model misses stands under the weather it came with.
 * Uprights: dashed for a reported cleaning; for an unreported change, with its band in dots.
 */
export function seasonFigure(season: Season, options: FillTestFigureOptions = {}): Figure {
  const { site, record, fit, answer } = season;
  const width = options.width ?? 960;
  const narrow = width < NARROW;
  const { small } = letterSizes(width);
  const { depth, level } = displayUnits(site.units);
  const heights = [narrow ? 56 : 60, narrow ? 190 : 200, narrow ? 60 : 70];
  const stack = stackPanels([
    { heading: plotText(`rain by the day, ${depth.label}`), height: heights[0]! },
    { heading: plotText(`level in the pit, ${level.label}: read, and run`), height: heights[1]! },
    { heading: plotText(`read less run, ${depth.label}`), height: heights[2]! },
  ], width);
  const days = Float64Array.from(record.time, (time) => time / 86_400);
  const rain = byDay(season);
  const wet = (i: number): boolean => record.dry[i] === 0;
  const levels = [...fit.fitted, ...record.level.filter((_, i) => wet(i))].map((each) => each / level.size);
  const [low, high] = [leastOf(levels), greatestOf(levels)];
  const most = Math.max(1e-3, greatestOf(fit.residual.map((each) => (Number.isNaN(each) ? 0 : Math.abs(each))))) / depth.size;
  const shown = thinned(record.time.length);
  const line = (name: string, y: (i: number) => number, yaxis: YAxis, color: string, thick: number): Trace => ({
    type: "scatter", mode: "lines", name, x: shown.map((i) => shortNumber(days[i]!)), y: shown.map((i) => (Number.isNaN(y(i)) ? null : shortNumber(y(i)))), connectgaps: false,
    line: { color, width: thick, dash: "solid" }, hovertemplate: `${name}: %{y:.3~g}<extra></extra>`, xaxis: "x", yaxis, showlegend: false,
  });
  const title = options.title === false ? null : answerTitle(plotText(answer, Infinity), plotText(`${plainText(site.name, 60)} · ${record.time.length} readings`, Infinity), width);
  const top = title?.height ?? 4;
  const span: [number, number] = [days[0]!, days.at(-1)!];
  const upright = (moment: number, dash: NonNullable<Line["dash"]>): Shape => ({
    type: "line", xref: "x", yref: "paper", x0: moment / 86_400, x1: moment / 86_400, y0: 0, y1: stack.domains[1]![1],
    line: { color: lines.emitter.color, width: 1.5, dash }, layer: "below",
  });
  const axis = (i: number, range: readonly [number, number]) => ({
    ...quietAxis(width), domain: stack.domains[i]!, range: [...range] as [number, number], fixedrange: true, nticks: i === 1 ? 6 : 3,
  });
  return {
    data: [
      {
        type: "bar", name: "rain", x: rain.map((_, i) => i + 0.5), y: rain.map((each) => shortNumber(each / depth.size)), width: rain.map(() => 0.9),
        marker: { color: lines.rain.color, line: { color: lines.rain.color, width: 0 } },
        hovertemplate: `rain: %{y:.3~g} ${depth.label}<extra></extra>`, xaxis: "x", yaxis: "y", showlegend: false,
      },
      line("run", (i) => fit.fitted[i]! / level.size, "y2", ink.soft, 1.6),
      line("read", (i) => (wet(i) ? record.level[i]! / level.size : NaN), "y2", lines.pit.color, 1.4),
      line("read less run", (i) => fit.residual[i]! / depth.size, "y3", lines.pit.color, 1),
    ],
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(top + stack.height + BOTTOM),
      margin: { l: narrow ? 44 : 54, r: 18, t: top, b: BOTTOM },
      hovermode: "closest", dragmode: false, barmode: "overlay",
      xaxis: {
        ...quietAxis(width), range: span, anchor: "y3", fixedrange: true, nticks: narrow ? 5 : 10, ticks: "outside", ticklen: 4, tickcolor: ink.rule,
        showline: true, linecolor: ink.rule, title: { text: plotText(`days since ${season.start.slice(0, 10)}`), font: font(small, ink.text), standoff: 8 },
      },
      yaxis: axis(0, [0, 1.05 * Math.max(greatestOf(rain) / depth.size, 1e-6)]),
      yaxis2: axis(1, [low - 0.05 * (high - low || 1), high + 0.05 * (high - low || 1)]),
      yaxis3: axis(2, [-1.1 * most, 1.1 * most]),
      annotations: stack.headings,
      shapes: [
        { type: "line", xref: "paper", yref: "y3", x0: 0, x1: 1, y0: 0, y1: 0, line: { color: ink.rule, width: 1, dash: "solid" }, layer: "below" },
        ...record.cleanings.map((moment) => upright(moment, "dash")),
        ...(season.change === null ? [] : [upright(season.change.at, "solid"), ...season.change.band.map((moment) => upright(moment, "dot"))]),
      ],
    },
    config: quietConfig(),
    answer,
    description: `${record.time.length} readings of a level logger beside the rain and the run of the works as found. ${answer} Readings lie ${depthText(fit.errors.deviation, site.units)} about the run; the soil ${threeFigures(season.numbers[0]!.value)} times the design's.`,
  };
}

const BOTTOM = 44;

/** More points than a screen has columns show nothing. */
function thinned(count: number): number[] {
  const every = Math.max(1, Math.ceil(count / 1500));
  return Array.from({ length: Math.ceil(count / every) }, (_, i) => i * every);
}

/** Rain of each day from the record's first moment [m]. */
function byDay({ record: { rain, time } }: Season): number[] {
  const days = new Array<number>(Math.ceil(time.at(-1)! / 86_400)).fill(0);
  rain.depth.forEach((depth, i) => {
    const [from, to] = [rain.time[i]!, rain.time[i + 1]!];
    for (let day = Math.floor(from / 86_400); depth > 0 && day < Math.min(days.length, Math.ceil(to / 86_400)); day++) {
      days[day]! += (depth * Math.max(0, Math.min(to, (day + 1) * 86_400) - Math.max(from, day * 86_400))) / (to - from);
    }
  });
  return days;
}
