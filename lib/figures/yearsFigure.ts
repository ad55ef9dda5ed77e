import { greatestOf } from "../numerics/extremes.ts";
import { YEAR } from "../text/unitTable.ts";
import { displayUnits, volumeText } from "../text/format.ts";
import { solidsBook } from "../upkeep/solidsBook.ts";
import { everyText } from "../upkeep/upkeepCalendar.ts";
import type { YearAnswer } from "../upkeep/yearAnswer.ts";
import type { Course, Years } from "../upkeep/years.ts";
import type { Annotation, Axis, Figure, LineTrace, Shape, YAxis } from "./figure.ts";
import { lastingText } from "../text/hours.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig, type Tone } from "./look.ts";
import { stackPanels } from "./panels.ts";
import { placeLabels } from "./placeLabels.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { NARROW } from "./plotEdges.ts";
import { soilText } from "./runSubtitle.ts";
import { shortNumber } from "../text/shortNumber.ts";

/**
 * The years of a site under one of its storms: how long the pit takes to drain and what the emitter lets out, with the boxes
 * cleaned and with nobody looking after them, and beneath, how full the fullest box is. The title is the answer.
 *
 * @param options.storm  name of one of the storms; the first where missing
 * @throws RangeError  for a storm the years were not run with
 */
export function yearsFigure(result: Years, options: FigureOptions = {}): Figure {
  const { site, cleaned } = result;
  const width = options.width ?? 960;
  const narrow = width < NARROW;
  const storms = cleaned.years[0]!.answers.map(({ storm }) => storm);
  const s = options.storm === undefined ? 0 : storms.indexOf(options.storm);
  if (s < 0) throw new RangeError(`storm: expected one of ${storms.map((name) => `"${name}"`).join(", ")}, got "${options.storm!}"`);

  const rows = yearRows(result, s);
  const { small } = letterSizes(width);
  const stack = stackPanels(rows.map(({ heading, tone }) => ({ heading, height: tone === "box" ? 90 : narrow ? 110 : 130 })), width);
  const answer = yearsAnswer(result, s);
  const subtitle = `${plainText(site.name, 60)} · ${plainText(storms[s]!, 60)} · ${soilText(site)}`;
  const title = options.title === false ? null : answerTitle(plotText(answer, Infinity), plotText(subtitle, Infinity), width);
  const top = title?.height ?? 4;
  const last = cleaned.years.length - 1;
  const axes = rows.map((row, i): [string, Axis] => [axisName(i).replace("y", "yaxis"), {
    ...quietAxis(width), domain: stack.domains[i]!, range: [0, row.most], fixedrange: true, nticks: 4,
  }]);
  return {
    data: rows.flatMap((row, i) => row.curves.map((curve) => rowTrace(row, curve, axisName(i)))),
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(top + stack.height + BOTTOM),
      margin: { l: narrow ? 36 : 46, r: narrow ? 92 : 124, t: top, b: BOTTOM },
      hovermode: "closest",
      dragmode: false,
      xaxis: {
        ...quietAxis(width), range: [0, last], anchor: axisName(rows.length - 1), fixedrange: true, nticks: narrow ? 5 : 11, ticks: "outside",
        ticklen: 4, tickcolor: ink.rule, showline: true, linecolor: ink.rule,
        title: { text: "years since it was built", font: font(small, ink.text), standoff: 8 },
      },
      yaxis: axes[0]![1],
      ...Object.fromEntries(axes.slice(1)),
      annotations: [...stack.headings, ...rows.flatMap((row, i) => endLabels(row, axisName(i), stack.domains[i]!, stack.height, small))],
      shapes: rows.flatMap((row, i) => limitLine(row, axisName(i))),
    },
    config: quietConfig(),
    answer,
    description: `What the years do to the works. ${answer} ${rows.map(({ words }) => words).join(" ")}`,
  };
}

const BOTTOM = 46;

/** The answer of the picture on its own: how long the pit takes to drain in the last year, cleaned and left alone, and when new. */
export function yearsAnswer({ cleaned, left, site }: Years, storm: number = 0): string {
  const measure = drainMeasure(cleaned, storm);
  const last = cleaned.years.length - 1;
  const box = site.settlingBoxes.length > 1 ? "boxes" : "box";
  const fate = (course: Course, year: number): string => fateWords(course.years[year]!.answers[storm]!, measure);
  if (new Set([fate(cleaned, last), fate(left, last), fate(cleaned, 0)]).size === 1) {
    return `The pit ${fate(cleaned, 0)}, new as in year ${last}, whether the ${box} ${box === "box" ? "is" : "are"} cleaned or not.`;
  }
  return `In year ${last} the pit ${fate(cleaned, last)} with the ${box} cleaned ${everyText(cleaned.cleanEvery!)}, `
    + `${fate(left, last)} with nobody looking after ${box === "box" ? "it" : "them"}; new it ${fate(cleaned, 0)}.`;
}

/** What becomes of the pit's water: `drains empty in 44 h`, `never drains`. */
function fateWords(answer: YearAnswer, measure: DrainMeasure): string {
  const { [measure]: time, rest, never } = answer;
  if (rest === null) return "takes in no water to speak of";
  if (time === null) return never === "slow" ? "is still draining after ten years" : "never drains";
  return `${measure === "half" ? "is half empty" : BACK[rest]} in ${lastingText(time)}`;
}

const BACK: Readonly<Record<NonNullable<YearAnswer["rest"]>, string>> = Object.freeze({
  floor: "drains empty", groundwater: "is back at its groundwater", start: "is back where it stood",
});

type DrainMeasure = "empty" | "half";

/** What the pit is timed to: empty, half of its most, or the groundwater that stands in it. */
function timedTo({ years }: Course, storm: number, measure: DrainMeasure): string {
  if (measure === "half") return "to half";
  const { rest } = years[0]!.answers[storm]!;
  return rest === "groundwater" ? "to its groundwater" : rest === "start" ? "to where it stood" : "empty";
}

/** Half empty where the pit does not empty even when new but comes down by half. */
function drainMeasure({ years }: Course, storm: number): DrainMeasure {
  const { half, empty } = years[0]!.answers[storm]!;
  return empty === null && half !== null ? "half" : "empty";
}

interface Curve {
  readonly name: string;
  readonly dash: "solid" | "dash";
  readonly x: readonly number[];
  readonly y: readonly (number | null)[];
  /** its value in the last year, in words */
  readonly end: string;
}

interface YearRow {
  readonly heading: string;
  readonly tone: Tone;
  readonly curves: readonly Curve[];
  readonly most: number;
  /** a still line, and what it is */
  readonly limit: { readonly at: number; readonly name: string } | null;
  readonly words: string;
}

function yearRows(result: Years, storm: number): YearRow[] {
  const { site, cleaned, left } = result;
  const measure = drainMeasure(cleaned, storm);
  const times = [...cleaned.years, ...left.years].map(({ answers }) => answers[storm]![measure] ?? 0);
  const days = greatestOf(times) > 96 * 3600;
  const volume = displayUnits(site.units).volume;
  const row = (
    heading: string, tone: Tone, unit: number, of: (answer: YearAnswer) => number | null, word: (value: number | null) => string,
  ): YearRow => {
    const curves = ([["cleaned", "solid", cleaned], ["left alone", "dash", left]] as const).map(([name, dash, course]): Curve => {
      const values = course.years.map(({ answers }) => of(answers[storm]!));
      return {
        name, dash, x: values.map((_, year) => year), y: values.map((value) => (value === null ? null : shortNumber(value / unit))),
        end: word(values.at(-1)!),
      };
    });
    const most = Math.max(greatestOf(curves.flatMap(({ y }) => y.map((value) => value ?? 0))), 1e-3);
    return {
      heading, tone, curves, most: shortNumber(1.15 * most), limit: null,
      words: `${heading}: ${curves.map(({ name, end }) => `${name} ${end}`).join(", ")} in the last year.`,
    };
  };
  const drain = row(`time to drain ${timedTo(cleaned, storm, measure)}, ${days ? "days" : "h"}`, "pit", days ? 86_400 : 3600, (answer) => answer[measure],
    (time) => (time === null ? "never" : lastingText(time)));
  const fires = row(`let out by the emitter, ${volume.label}`, "emitter", volume.size, ({ emitter }) => emitter, (each) => volumeText(each!, site.units));
  return [drain, ...(site.emitter === null ? [] : [fires]), fillingRow(result)];
}

/** How full the fullest sump is: a saw with the boxes cleaned, a curve that comes to rest with nobody at it. */
function fillingRow({ places, cleaned, figures }: Years): YearRow {
  const last = cleaned.years.length - 1;
  const filling = (since: number): number => shortNumber(100 * greatestOf(places.map((place) => solidsBook(place, null, since).filling)));
  const every = cleaned.cleanEvery! / YEAR;
  const teeth = Array.from({ length: Math.ceil(last / every - 1e-9) }, (_, tooth) => tooth * every);
  const points = teeth.length > 100 ? [0, 1] : [0, 0.25, 0.5, 0.75, 1];
  const saw = teeth.flatMap((from) => points.map((part) => ({ at: part * Math.min(every, last - from), from })));
  const alone = Array.from({ length: 40 * last + 1 }, (_, i) => i / 40).filter((at, i) => at <= 4 || i % 40 === 0);
  const curve = (name: string, dash: Curve["dash"], x: readonly number[], y: readonly number[], end: string): Curve =>
    ({ name, dash, x: x.map(shortNumber), y, end });
  const aloneFilling = alone.map((at) => filling(at * YEAR));
  const peak = filling(Math.min(every, last) * YEAR);
  const words = (share: number): string => `${Math.round(share)} % full`;
  return {
    heading: "settled in the fullest box, % of its sump", tone: "box", most: 105,
    curves: [
      curve("cleaned", "solid", saw.map(({ at, from }) => from + at), saw.map(({ at }) => filling(at * YEAR)), words(peak)),
      curve("left alone", "dash", alone, aloneFilling, words(aloneFilling.at(-1)!)),
    ],
    limit: { at: 100 * figures.fillingLimit, name: "stirred up above" },
    words: `The fullest box: ${words(peak)} when it is cleaned, ${words(aloneFilling.at(-1)!)} left alone.`,
  };
}

function rowTrace({ heading, tone }: YearRow, { name, dash, x, y }: Curve, yaxis: YAxis): LineTrace {
  return {
    type: "scatter", mode: "lines", name, x: [...x], y: [...y], connectgaps: false,
    line: { ...lines[tone], width: dash === "solid" ? 2.4 : 1.8, dash },
    hovertemplate: `${name}, year %{x:.1f}: %{y:.3~g}<extra>${heading.split(",")[0]!}</extra>`, xaxis: "x", yaxis, showlegend: false,
  };
}

/** Name and last value of each curve beside its end, at the foot where it has none; they make room for one another. */
function endLabels(
  { tone, curves, most, limit }: YearRow, yref: YAxis, domain: readonly [number, number], stackHeight: number, size: number,
): Annotation[] {
  const height = (domain[1] - domain[0]) * stackHeight;
  const named = [
    ...curves.map(({ name, end, y }) => ({ text: `<b>${name}</b><br>${end}`, at: y.at(-1) ?? most, high: 2.5 * size, color: lines[tone].color })),
    ...(limit === null ? [] : [{ text: limit.name, at: limit.at, high: 1.3 * size, color: ink.soft }]),
  ].sort((a, b) => a.at - b.at);
  const wishes = named.map(({ at, high }) => ({ at: (at / most) * height, size: high }));
  const places = placeLabels(wishes, { from: -size, to: height + 0.4 * size });
  return named.map(({ text, color }, i) => ({
    text, x: 1, y: shortNumber((places[i]! / height) * most), xref: "paper", yref, xanchor: "left", yanchor: "middle", xshift: 8,
    showarrow: false, align: "left", font: font(size, color),
  }));
}

function limitLine({ limit }: YearRow, yref: YAxis): Shape[] {
  if (limit === null) return [];
  return [{
    type: "line", xref: "paper", yref, x0: 0, x1: 1, y0: limit.at, y1: limit.at, line: { color: ink.soft, width: 1, dash: "dot" }, layer: "below",
  }];
}

function axisName(i: number): YAxis {
  return i === 0 ? "y" : (`y${i + 1}` as YAxis);
}
