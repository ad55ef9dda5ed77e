import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { displayUnits, waterText } from "../text/format.ts";
import { SHARES, type HowSure } from "../study/howSure.ts";
import type { Annotation, Figure, LineTrace } from "./figure.ts";
import { labelHeight, levelLabels, type LevelPanel } from "./levelLabels.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { answerTitle, baseLayout, font, letterSizes, lines, quietAxis, quietConfig } from "./look.ts";
import { stackPanels } from "./panels.ts";
import { plotText } from "../text/plainText.ts";
import { NARROW, plotEdges } from "./plotEdges.ts";
import { rainPanel } from "./rainPanel.ts";
import { runSubtitle } from "./runSubtitle.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { sureAnswer } from "./sureAnswer.ts";
import { textWidth } from "./textWidth.ts";
import { hoursTo, hourSpan, timeAxis } from "./timeAxis.ts";

/**
 * The level of the pit against time as far as it is known: at every hour 90 of 100 cases lie in the pale band, half of them in
 * the dark one, and the line is the middle. No single case follows the edge of a band. The title is the answer.
 */
export function fanFigure(sure: HowSure, options: FigureOptions = {}): Figure {
  const { run, fan } = sure;
  const highest = sure.answers.pitPeak[SHARES.length - 1]!;
  const width = options.width ?? 960;
  const narrow = width < NARROW;
  const { label, size: unit } = displayUnits(run.site.units).level;
  const { left, right, bottom, plotWidth, references, range } = plotEdges(run, width);
  const shown = { low: leastOf([range.low, ...fan.levels[0]!]), high: Math.max(range.high, highest) };
  const span = hoursTo(Math.max(hourSpan(run, plotWidth).end * 3600, fanRests(fan)), run.until, plotWidth);
  const rain = rainPanel(run, span, width);
  const panel: LevelPanel = { axis: "y2", ...shown, unit, height: Math.max(narrow ? 280 : 340, references.length * labelHeight(width)) };
  const stack = stackPanels([
    { heading: rain.heading, height: narrow ? 44 : 60 },
    { heading: `water level in the pit, ${label}; pale: 90 of 100 cases, dark: half of them, line: the middle`, height: panel.height },
  ].map((each) => (narrow ? { ...each, heading: each.heading.replace(/^water level in the pit, (.*); pale.*$/, "pit, $1; pale: 90 of 100, dark: 50") } : each)), width);
  const still = levelLabels(references, panel, width);
  const answer = sureAnswer(sure, options.storm);
  const title = options.title === false ? null
    : answerTitle(plotText(answer, Infinity), plotText(runSubtitle(run, options.storm), Infinity), width);
  const top = title?.height ?? 4;
  return {
    data: [rain.trace, ...bandTraces(fan, unit, span.end)],
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(top + stack.height + bottom),
      margin: { l: left, r: right, t: top, b: bottom },
      hovermode: false,
      dragmode: "zoom",
      xaxis: timeAxis(run, span, width, "y2"),
      yaxis: { ...quietAxis(width), domain: stack.domains[0]!, range: [rain.most, 0], nticks: 3, fixedrange: true },
      yaxis2: { ...quietAxis(width), domain: stack.domains[1]!, range: [shown.low / unit, shown.high / unit], nticks: 9, fixedrange: true },
      annotations: [...stack.headings, ...still.annotations, ...bandNames(sure, panel, width, plotWidth / span.end)],
      shapes: [...still.shapes, ...rain.shapes],
    },
    config: quietConfig(),
    answer,
    description: `Bands of the water level in the pit over ${sure.table.count - sure.stopped} cases. ${answer}`,
  };
}

/** How strongly each band is inked, the widest first. */
const INK = ["30", "66"] as const;

function bandTraces({ time, levels }: HowSure["fan"], unit: number, end_h: number): LineTrace[] {
  const shown = time.filter((each) => each <= end_h * 3600 + 1);
  const hours = Array.from(shown, (each) => shortNumber(each / 3600));
  const levelsAt = (share: number): number[] => Array.from(shown, (_, i) => shortNumber(levels[share]![i]! / unit));
  const band = (i: number): LineTrace => ({
    type: "scatter", mode: "lines", name: `${Math.round(100 * (SHARES[4 - i]! - SHARES[i]!))} of 100 cases`,
    x: [...hours, ...[...hours].reverse()], y: [...levelsAt(4 - i), ...levelsAt(i).reverse()],
    line: { color: `${lines.pit.color}80`, width: 0.6 }, fill: "toself", fillcolor: `${lines.pit.color}${INK[i]!}`, hoverinfo: "skip",
    xaxis: "x", yaxis: "y2", showlegend: false,
  });
  return [band(0), band(1), {
    type: "scatter", mode: "lines", name: "the middle", x: hours, y: levelsAt(2), line: { ...lines.pit, width: 2.4 }, hoverinfo: "skip",
    xaxis: "x", yaxis: "y2", showlegend: false,
  }];
}

/**
 * What 95 of 100 cases stay below at all times is named at its level over the peak of the upper edge, which cases reach at different
 * times and so may end lower; and the middle, where there is room.
 */
function bandNames({ fan: { time, levels }, answers, run }: HowSure, panel: LevelPanel, width: number, hour: number): Annotation[] {
  const { body } = letterSizes(width);
  const name = (share: number, words: string, level: number): Annotation => {
    const at = levels[share]!.indexOf(greatestOf(levels[share]!));
    const across = (time[at]! / 3600) * hour;
    const room = Math.max(0, Math.min(across, width - textWidth(words, body, true) - 180));
    return {
      text: `<b>${words}</b>`, x: room / hour, y: level / panel.unit, xref: "x", yref: panel.axis, xanchor: "left", yanchor: "bottom",
      yshift: 2, showarrow: false, font: font(body, lines.pit.color), bgcolor: "rgba(255,255,255,0.8)", borderpad: 0,
    };
  };
  const [middle, highest] = [greatestOf(levels[2]!), answers.pitPeak[4]!];
  const apart = (highest - middle) * (panel.height / (panel.high - panel.low));
  return [name(4, `95 of 100 stay below ${waterText(highest, run.site.units)}`, highest), ...(apart > 2 * body ? [name(2, "the middle", middle)] : [])];
}

/** When the whole fan has come to rest: within a centimetre of where it ends [s]. */
function fanRests({ time, levels }: HowSure["fan"]): number {
  const last = levels.map((each) => each.findLastIndex((level) => Math.abs(level - each.at(-1)!) > 0.01));
  return time[Math.min(time.length - 1, greatestOf([0, ...last]) + 1)]!;
}
