import { greatestOf } from "../numerics/extremes.ts";
import type { LifeEvent, PitLife } from "../dips/pitLife.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { shortNumber } from "../text/shortNumber.ts";
import type { Years } from "../upkeep/years.ts";
import type { Annotation, Axis, Figure, Trace, YAxis } from "./figure.ts";
import type { FillTestFigureOptions } from "./fillTestFigure.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig } from "./look.ts";
import { stackPanels } from "./panels.ts";
import { placeLabels } from "./placeLabels.ts";
import { NARROW } from "./plotEdges.ts";
import { textWidth } from "./textWidth.ts";

/**
 * The life of a pit: how long it takes to empty after the storm that is asked, by the line that was drawn on day one (solid: boxes cleaned,
 * dashed: left alone) and, over it, as it was measured, each with its band of 95 percent; beneath, what was done and seen.
 *
 * @param years  of the works as drawn, run with the storm of `life.asDrawn`
 */
export function pitLifeFigure(life: PitLife, years: Years, options: FillTestFigureOptions = {}): Figure {
  const width = options.width ?? 960;
  const narrow = width < NARROW;
  const { small } = letterSizes(width);
  const half = life.asDrawn?.half ?? false;
  const rows = eventRows(life.events);
  const heights = [narrow ? 220 : 280, ...(rows.length === 0 ? [] : [10 + 18 * rows.length])];
  const stack = stackPanels([
    { heading: plotText(`hours until the pit is ${half ? "half empty" : "empty"}`), height: heights[0]! },
    ...(rows.length === 0 ? [] : [{ heading: "done and seen", height: heights[1]! }]),
  ], width);
  const curves = ([["drawn, boxes cleaned", years.cleaned, "solid"], ["drawn, left alone", years.left, "dash"]] as const).map(([name, course, dash]) => ({
    name, dash, at: course.years.map(({ year }) => year), hours: course.years.map(({ answers }) => hoursOf(answers[0]![half ? "half" : "empty"])),
  }));
  const shown = life.points.filter(({ emptying }) => emptying.time !== null);
  const asked = life.asDrawn?.asked ?? null;
  const highest = shown.map(({ emptying: { time, band } }) => Math.min(band.high ?? Infinity, 2.5 * time!) / 3600);
  const drawn = curves.flatMap(({ hours }) => hours.flatMap((each) => each ?? []));
  const most = 1.08 * greatestOf([1, ...drawn, ...highest, ...(asked === null ? [] : [asked.time / 3600])]);
  const last = years.cleaned.years.length - 1;
  const labels = [
    ...curves.flatMap(({ name, hours }, i) => {
      const at = hours.at(-1) ?? null;
      return at === null || (i === 1 && at === curves[0]!.hours.at(-1)) ? [] : [{ text: name, at }];
    }),
    ...(asked === null ? [] : [{ text: "asked", at: asked.time / 3600 }]),
  ];
  const words = [...labels.map(({ text }) => text), ...rows.map(({ label }) => label)];
  const right = Math.ceil(18 + greatestOf([0, ...words.map((text) => textWidth(text, small))]));
  const title = options.title === false ? null
    : answerTitle(plotText(life.answer, Infinity), plotText(`${plainText(life.drawn.name, 60)} · ${plainText(life.asDrawn?.storm ?? "", 60)}`, Infinity), width);
  const top = title?.height ?? 4;
  const bars = shown.flatMap(({ years: at, emptying: { time, band } }): Trace[] => [{
    type: "scatter", mode: "lines", name: "band", x: [shortNumber(at), shortNumber(at)],
    y: [shortNumber((band.low ?? 0) / 3600), shortNumber(Math.min(most, band.high === null ? most : band.high / 3600))],
    line: { color: lines.pit.color, width: 2, dash: "solid" }, hoverinfo: "skip", xaxis: "x", yaxis: "y", showlegend: false,
  }, {
    type: "scatter", mode: "markers", name: "measured", x: [shortNumber(at)], y: [shortNumber(time! / 3600)],
    marker: { color: ink.paper, size: 9, symbol: "square", line: { color: lines.pit.color, width: 2 } },
    hovertemplate: "measured: %{y:.3~g} h<extra></extra>", xaxis: "x", yaxis: "y", showlegend: false,
  }]);
  const eventAxis: Axis = {
    ...quietAxis(width), domain: stack.domains.at(-1)!, range: [0.4, rows.length + 0.6], fixedrange: true, tickvals: [], ticktext: [],
  };
  const lower: YAxis = rows.length === 0 ? "y" : "y2";
  return {
    data: [
      ...curves.map(({ name, dash, at, hours }): Trace => ({
        type: "scatter", mode: "lines", name, x: at, y: hours.map((each) => (each === null ? null : shortNumber(each))), connectgaps: false,
        line: { color: ink.soft, width: 1.8, dash }, hovertemplate: `${name}: %{y:.3~g} h<extra></extra>`, xaxis: "x", yaxis: "y", showlegend: false,
      })),
      ...bars,
      ...rows.map(({ events, label }, r): Trace => ({
        type: "scatter", mode: "markers", name: label, x: events.map((each) => shortNumber(each.years)), y: events.map(() => rows.length - r),
        customdata: events.map((each) => plotText(`${each.date.slice(0, 10)}: ${each.words}`, 90)),
        marker: { color: ink.text, size: 7, symbol: "diamond", line: { color: ink.text, width: 0 } },
        hovertemplate: "%{customdata}<extra></extra>", xaxis: "x", yaxis: "y2", showlegend: false,
      })),
    ],
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(top + stack.height + BOTTOM),
      margin: { l: narrow ? 38 : 48, r: right, t: top, b: BOTTOM },
      hovermode: "closest", dragmode: false,
      xaxis: {
        ...quietAxis(width), range: [-0.02 * last, last], anchor: lower, fixedrange: true, nticks: narrow ? 5 : 11, ticks: "outside", ticklen: 4,
        tickcolor: ink.rule, showline: true, linecolor: ink.rule, title: { text: plotText(`years since ${life.dayOne.slice(0, 10)}`), font: font(small, ink.text), standoff: 8 },
      },
      yaxis: { ...quietAxis(width), domain: stack.domains[0]!, range: [0, most], fixedrange: true, nticks: 6 },
      ...(rows.length === 0 ? {} : { yaxis2: eventAxis }),
      annotations: [...stack.headings, ...endLabels(labels, most, heights[0]!, small), ...rows.map(({ label }, r): Annotation => ({
        text: plotText(label), x: 1, y: rows.length - r, xref: "paper", yref: "y2", xanchor: "left", yanchor: "middle", xshift: 8, showarrow: false, align: "left", font: font(small, ink.soft),
      }))],
      shapes: asked === null ? [] : [{
        type: "line", xref: "paper", yref: "y", x0: 0, x1: 1, y0: shortNumber(asked.time / 3600), y1: shortNumber(asked.time / 3600),
        line: { color: lines.emitter.color, width: 1.2, dash: "dot" }, layer: "below",
      }],
    },
    config: quietConfig(),
    answer: life.answer,
    description: `The life of the pit since ${life.dayOne.slice(0, 10)}. ${life.answer} ${life.points.length} measurements and ${life.events.length} days told.`,
  };
}

const BOTTOM = 46;

function hoursOf(time: number | null): number | null {
  return time === null ? null : time / 3600;
}

interface EventRow {
  readonly label: string;
  readonly events: readonly LifeEvent[];
}

const ROWS: readonly (readonly [label: string, kinds: readonly LifeEvent["kind"][]])[] = [
  ["as built", ["built"]], ["measured", ["fill test", "logger", "diagnosis"]], ["cleaned", ["cleaned"]], ["lid seen", ["lid"]], ["noted", ["note"]],
];

function eventRows(events: readonly LifeEvent[]): EventRow[] {
  return ROWS.map(([label, kinds]) => ({ label, events: events.filter(({ kind }) => kinds.includes(kind)) }))
    .filter((row) => row.events.length > 0);
}

function endLabels(
  labels: readonly { readonly text: string; readonly at: number }[], most: number, height: number, letters: number,
): Annotation[] {
  const perPixel = most / height;
  const middles = placeLabels(labels.map(({ at }) => ({ at: at / perPixel, size: letters * 1.3 })), { from: 0, to: height });
  return labels.map(({ text }, i) => ({
    text: plotText(text), x: 1, y: shortNumber(middles[i]! * perPixel), xref: "paper", yref: "y", xanchor: "left", yanchor: "middle", xshift: 8, showarrow: false,
    align: "left", font: font(letters, ink.soft),
  }));
}
