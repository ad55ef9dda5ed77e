import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { displayUnits, threeFigures, type DisplayUnit } from "../text/format.ts";
import { comparedAnswer, type HowSure, type Swing } from "../study/howSure.ts";
import type { Annotation, BarTrace, Figure } from "./figure.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig } from "./look.ts";
import { plotText } from "../text/plainText.ts";
import { runSubtitle } from "./runSubtitle.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { comparedWords, DOUBT, mostOf, swingsInOrder, swingWidth } from "./sureAnswer.ts";
import { textWidth } from "./textWidth.ts";

/**
 * Which doubt matters most: for each a bar from the answer at its low end to that at its high end (5 and 95 of 100), all else in the
 * middle, which is the soil as given or measured and the rest as the site file says, the farthest-reaching on top. The answer is what the
 * emitter lets out, or the pit's peak where it stays shut.
 */
export function swingFigure(sure: HowSure, options: FigureOptions = {}): Figure {
  const { run } = sure;
  const width = options.width ?? 960;
  const { body, small } = letterSizes(width);
  const view = viewOf(sure);
  const rows = swingsInOrder(sure);
  const answer = swingAnswer(sure);
  const title = options.title === false ? null
    : answerTitle(plotText(answer, Infinity), plotText(runSubtitle(run, options.storm), Infinity), width);
  const top = title?.height ?? 4;
  const rowHeight = body * 1.3 + BAR + GAP;
  const height = rows.length * rowHeight;
  const ends = [view.middle, ...rows.flatMap(({ low, high }) => [low[view.name], high[view.name]])].map((value) => value / view.unit.size);
  const [least, most] = [leastOf(ends), greatestOf(ends)];
  const edge = Math.ceil(16 + greatestOf(rows.flatMap((row) => endWords(row, view).map((words) => textWidth(words, small)))));
  const air = 0.02 * (most - least) || 1;
  const barTop = (i: number): number => i * rowHeight + body * 1.3 + 4;
  return {
    data: rows.map((row, i) => barOf(row, view, barTop(i))),
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(top + height + BOTTOM),
      margin: { l: edge, r: edge, t: top, b: BOTTOM },
      hovermode: false,
      dragmode: false,
      barmode: "overlay",
      xaxis: {
        ...quietAxis(width), range: [least - air, most + air], anchor: "y", nticks: width < 560 ? 4 : 8, fixedrange: true, ticks: "outside",
        ticklen: 4, tickcolor: ink.rule, showline: true, linecolor: ink.rule,
        title: { text: view.heading, font: font(small, ink.text), standoff: 8 },
      },
      yaxis: { range: [height, 0], showticklabels: false, showgrid: false, zeroline: false, fixedrange: true },
      annotations: rows.flatMap((row, i) => rowNames(row, view, barTop(i), { body, small, least: least - air })),
      shapes: [{
        type: "line", xref: "x", yref: "y", x0: view.middle / view.unit.size, x1: view.middle / view.unit.size, y0: 0, y1: height,
        line: { color: ink.text, width: 1, dash: "dot" }, layer: "above",
      }],
    },
    config: quietConfig(),
    answer,
    description: `${answer} ${rows.map((row) => `${DOUBT[row.drawn].words}: ${endWords(row, view).join(" to ")}`).join("; ")}.`,
  };
}

// A bar, the air under it, and the foot [px].
const BAR = 12;
const GAP = 8;
const BOTTOM = 46;

interface SwingView {
  readonly name: "emitterVolume" | "pitPeak";
  readonly heading: string;
  readonly unit: DisplayUnit;
  /** with the soil as given or measured, and all else as the site file says [m3] or [m] */
  readonly middle: number;
}

function viewOf(sure: HowSure): SwingView {
  const { volume, level } = displayUnits(sure.run.site.units);
  if (comparedAnswer(sure) === "emitterVolume") {
    return { name: "emitterVolume", unit: volume, middle: sure.asMeasured.emitted, heading: `let out by the emitter, ${volume.label}; dotted: all in the middle` };
  }
  const middle = sure.asMeasured.peaks["chamberBank"]!.level;
  return { name: "pitPeak", unit: level, middle, heading: `the pit's highest level, ${level.label}; dotted: all in the middle` };
}

function swingAnswer(sure: HowSure): string {
  const most = mostOf(sure);
  const of = comparedWords(sure);
  if (most === null) return `None of the doubts moves ${of}.`;
  const [, second] = swingsInOrder(sure);
  const { matters } = DOUBT[most.drawn];
  if (second === undefined) return `Only ${DOUBT[most.drawn].words} ${/s$/.test(DOUBT[most.drawn].words) ? "were" : "was"} taken to be in doubt.`;
  const answer = comparedAnswer(sure);
  const times = swingWidth(most, answer) / swingWidth(second, answer);
  const than = `than ${DOUBT[second.drawn].words}`;
  const sentence = times < 1.25 ? `${matters} most for ${of}, hardly more ${than}` : times > 1000 ? `${matters} for ${of}, and nothing else to speak of`
    : `${matters} most for ${of}, ${threeFigures(Math.round(times * 10) / 10)} times as much as ${DOUBT[second.drawn].words}`;
  return `${sentence.charAt(0).toUpperCase()}${sentence.slice(1)}.`;
}

function barOf({ drawn, low, high }: Swing, { name, unit }: SwingView, at: number): BarTrace {
  const [from, to] = [Math.min(low[name], high[name]) / unit.size, Math.max(low[name], high[name]) / unit.size];
  const { color } = lines[name === "pitPeak" ? "pit" : "emitter"];
  return {
    type: "bar", orientation: "h", name: DOUBT[drawn].words, x: [shortNumber(to - from)], y: [at + BAR / 2], base: [shortNumber(from)], width: [BAR],
    marker: { color: `${color}a0`, line: { color, width: 1 } }, hoverinfo: "skip", xaxis: "x", yaxis: "y", showlegend: false,
  };
}

/** The name over its bar, and at the bar's ends which end of the doubt that is. */
function rowNames(
  row: Swing, view: SwingView, at: number,
  { body, small, least }: { readonly body: number; readonly small: number; readonly least: number },
): Annotation[] {
  const { color } = lines[view.name === "pitPeak" ? "pit" : "emitter"];
  const [low, high] = [row.low[view.name], row.high[view.name]];
  const [lowWords, highWords] = endWords(row, view);
  const end = (text: string, value: number, isLeft: boolean): Annotation => ({
    text: plotText(text), x: shortNumber(value / view.unit.size), y: at + BAR / 2, xref: "x", yref: "y", xanchor: isLeft ? "right" : "left", yanchor: "middle",
    xshift: isLeft ? -5 : 5, showarrow: false, font: font(small, color),
  });
  return [
    { text: `<b>${plotText(DOUBT[row.drawn].words)}</b>`, x: least, y: at - 1, xref: "x", yref: "y", xanchor: "left", yanchor: "bottom", showarrow: false, font: font(body, ink.text) },
    end(lowWords, low, low <= high),
    end(highWords, high, low > high),
  ];
}

/** `slow 310`, `fast 0` */
function endWords({ drawn, low, high }: Swing, { name, unit }: SwingView): [string, string] {
  const figure = (value: number): string => (name === "pitPeak" ? (value / unit.size).toFixed(2) : threeFigures(value / unit.size));
  return [`${DOUBT[drawn].low} ${figure(low[name])}`, `${DOUBT[drawn].high} ${figure(high[name])}`];
}
