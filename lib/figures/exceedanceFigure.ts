import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { displayUnits, levelText, threeFigures, volumeText } from "../text/format.ts";
import { wholeYears, YEAR } from "../text/unitTable.ts";
import { opensByGroundwater } from "../simulate/settledRun.ts";
import type { Exceeded } from "../study/exceeded.ts";
import type { HowOften } from "../study/often.ts";
import type { Banded } from "../study/onceIn.ts";
import type { Annotation, Axis, Figure, PointTrace, Shape, YAxis } from "./figure.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig, type Tone } from "./look.ts";
import { stackPanels } from "./panels.ts";
import { lastingText } from "../text/hours.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { NARROW } from "./plotEdges.ts";
import { soilText } from "./runSubtitle.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { measuredSoil, ruleSoil, soilCentre } from "../site/measuredSoil.ts";
import { surfaceWords } from "../site/surfaceWords.ts";
import { textWidth } from "./textWidth.ts";
import { capital, tenthsText } from "../text/words.ts";

/**
 * What is reached once in a number of years: the most that the emitter let out in one storm of a year, and the pit's highest level of
 * the year, a point a year, against the return period of its place. The title is the answer.
 *
 * @throws RangeError  for rain without a whole year, or without a storm in one: there are no return periods then
 */
export function exceedanceFigure(result: HowOften, options: FigureOptions = {}): Figure {
  const { site } = result;
  if (result.peak.length === 0) throw new RangeError(`exceedanceFigure: expected a whole year of rain with a storm in it, got ${yearsWords(result)}`);
  const width = options.width ?? 960;
  const narrow = width < NARROW;
  const { small } = letterSizes(width);
  const { volume, level } = displayUnits(site.units);
  const letOut = panelOf(`most let out in a storm of the year, ${volume.label}`, result.stormVolume, volume.size, "emitter", 0);
  const highest = panelOf(`the pit's highest level of the year, ${level.label}`, result.peak, level.size, "pit", null);
  const told = [...(site.emitter === null ? [] : [letOut]), highest].filter((panel) => !isOneLine(panel));
  // a panel in which every year is alike is one line: its figure is said, and it is left out where another has more to show
  const panels = told.length === 0 ? [highest] : told;
  const stack = stackPanels(panels.map(({ heading }) => ({ heading, height: narrow ? 150 : 190 })), width);
  const answer = oftenAnswer(result);
  const title = options.title === false ? null : answerTitle(plotText(answer, Infinity), plotText(oftenSubtitle(result), Infinity), width);
  const top = title?.height ?? 4;
  const ticks = TICKS.filter((years) => years <= 1.3 * greatestOf([1, ...result.peak.map(({ returnPeriod }) => returnPeriod)]));
  const marks = panels.includes(highest) ? levelMarks(result, level.size, panels.length === 2 ? "y2" : "y") : { shapes: [], names: [] };
  const right = greatestOf([16, ...marks.names.map(({ text }) => Math.ceil(textWidth(text, small)) + 10)]);
  return {
    data: panels.map((panel, i) => pointsOf(panel, axisName(i))),
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(top + stack.height + BOTTOM),
      margin: { l: narrow ? 44 : 54, r: right, t: top, b: BOTTOM },
      hovermode: false,
      dragmode: false,
      xaxis: {
        ...quietAxis(width), range: [Math.log10(0.95), Math.log10(1.3 * ticks.at(-1)!)], fixedrange: true,
        anchor: axisName(panels.length - 1),
        tickvals: ticks.map((years) => shortNumber(Math.log10(years))), ticktext: ticks.map(String), ticks: "outside",
        ticklen: 4, tickcolor: ink.rule, showline: true, linecolor: ink.rule,
        title: { text: "reached once in this many years", font: font(small, ink.text), standoff: 8 },
      },
      yaxis: axisOf(panels[0]!, stack.domains[0]!, width),
      ...(panels[1] === undefined ? {} : { yaxis2: axisOf(panels[1], stack.domains[1]!, width) }),
      annotations: [...stack.headings, ...marks.names.map((name) => ({ ...name, font: font(small, lines.still.color) }))],
      shapes: marks.shapes,
    },
    config: quietConfig(),
    answer,
    description: `Yearly extremes of ${yearsWords(result)} against their return periods. ${answer}${panels.includes(highest) ? "" : ` The pit's highest level of every year is ${levelText(result.peak[0]!.value, site.units)}, within a centimetre.`}`,
  };
}

const BOTTOM = 46;
const TICKS = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000];

/**
 * How often in a sentence: storms a year in which the emitter fires and in which water comes out over rims, what part of the water goes
 * there, and what a ten-year storm sends. Without an emitter, how long the pit stands above half.
 */
export function oftenAnswer(result: HowOften): string {
  const { site, average, once, stopped, soils } = result;
  const over = surfaceWords(site);
  const counted = stopped === 0 ? "" : ` (${stopped} ${stopped === 1 ? "case" : "cases"} could not be run to the end)`;
  const even = result.rain.from === "climate" ? "; there are no cloudbursts in these years, made of averages alone" : "";
  const end = `${shortWords(result)}${even}${counted}.`;
  const times = (average: number): string => timesWords(average, result.years);
  const all = `in ${result.years < 1.5 ? "" : "all of "}${spanWords(result.years)}${soils.length === 1 ? "" : ` with any of ${soils.length} soils`}`;
  const spillTimes = spillWords(result);
  const spills = spillTimes !== null ? `water comes out ${over} ${spillTimes}${site.lowSpot === null ? ` (${partText(average.spilledShare)})` : ""}` : null;
  if (site.emitter === null) {
    const out = spills ?? `nothing comes out ${over} ${all}`;
    return `${capital(out)}; the pit is above half for ${tenthsText(average.aboveHalf)} of the time${end}`;
  }
  const rims = spills === null ? "" : `; ${spills}`;
  if (average.emitterVolume === 0) return `The emitter stays shut ${all}${rims}${end}`;
  if (opensByGroundwater(site)) return `Groundwater opens the emitter without rain too; it stands open for ${tenthsText(average.open)} of the time${rims}${end}`;
  if (average.firingStorms === 0) return `The emitter lets out groundwater without rain, and nothing in any storm${rims}${end}`;
  const ten = once.find(({ years }) => years === 10)?.stormVolume;
  const volume = (each: Banded): string => bandText(each, (value) => volumeText(value, site.units));
  const byRule = result.byRule?.once.find(({ years }) => years === 10)?.stormVolume;
  const rule = byRule === undefined ? "" : `, ${volume(byRule)} with the ${ruleSoil(site)}`;
  const tenth = ten === undefined ? "" : `; once in ten years a storm sends ${volume(ten)} out of it${rule}`;
  return `The emitter fires ${times(average.firingStorms)} and lets out ${partText(average.emitterShare)}${tenth}${rims}${end}`;
}

/** How often water comes to the surface elsewhere than at the emitter, as `timesWords` says it; null where it never does. */
export function spillWords({ average, years }: HowOften): string | null {
  return average.spilled > NOTHING ? timesWords(average.spillStorms, years) : null;
}

/** `820 gal (600 gal to 1100 gal)` */
export function bandText({ value, low, high }: Banded, text: (value: number) => string): string {
  const [least, most] = [text(low), text(high)];
  return least === most ? text(value) : `${text(value)} (${least} to ${most})`;
}

/** What part of the rain's water comes out at a place: more than all of it is groundwater too, and no part. */
export function partText(share: number): string {
  return share > 1 ? "more than runs in, groundwater with it" : `${tenthsText(share)} of what runs in`;
}

/** A year's average of less is no water [m3]. */
const NOTHING = 1e-9;

function isShort({ years }: HowOften): boolean {
  return wholeYears(years * YEAR) < 1;
}

/** Why there are no return periods; "" where there are. */
function shortWords(result: HowOften): string {
  if (result.peak.length > 0) return "";
  return isShort(result) ? `; ${yearsWords(result)} is too short for return periods` : "; without a storm in a whole year there are no return periods";
}

/** `in 4.2 storms a year`, `in about one storm a year`, `in one storm in 5 years`, beyond a third
 * of the years `in less than one storm in 10 years`; of less than a year `in 2 storms`. */
export function timesWords(storms: number, years: number): string {
  if (storms === 0) return "between storms only";
  if (wholeYears(years * YEAR) < 1) return `in ${threeFigures(storms * years)} ${threeFigures(storms * years) === "1" ? "storm" : "storms"}`;
  if (storms >= 1.05) return `in ${threeFigures(Math.round(storms * 10) / 10)} storms a year`;
  if (storms > 0.95) return "in about one storm a year";
  const third = Math.floor(years / 3);
  if (third >= 1 && 1 / storms > third * (1 + 1e-9)) return `in less than one storm in ${third === 1 ? "a year" : `${third} years`}`;
  return `in one storm in ${threeFigures(Math.round(10 / storms) / 10)} years`;
}

/** Years in words; less than one as what it is: `30 years`, `1 year`, `3.1 days`. */
export function spanWords(years: number): string {
  if (wholeYears(years * YEAR) < 1) return lastingText(years * YEAR);
  const words = threeFigures(Math.round(years * 100) / 100);
  return `${words} ${words === "1" ? "year" : "years"}`;
}

/** `30 years of rain, each with 9 soils`, `10 years of invented rain` */
export function yearsWords({ years, soils, rain: { from } }: HowOften): string {
  return `${spanWords(years)} of ${from === "record" ? "" : "invented "}rain${soils.length === 1 ? "" : `, ${years < 2 ? "" : "each "}with ${soils.length} soils`}`;
}

function oftenSubtitle(result: HowOften): string {
  const { site } = result;
  const { factorOfSafety } = site.soil;
  const soil = measuredSoil(site) !== null ? `soil as ${soilCentre(site)}`
    : factorOfSafety === 1 ? soilText(site) : `soil as tested or given, not divided by ${threeFigures(factorOfSafety)}`;
  return `${plainText(site.name, 60)} · ${yearsWords(result)} · ${soil}`;
}

/** Whether every year of a panel comes to the same: within a centimetre, or a hundredth of the most. */
function isOneLine({ points, tone }: Panel): boolean {
  const values = points.map(({ value }) => value);
  const [low, high] = [leastOf(values), greatestOf(values)];
  return high - low <= (tone === "pit" ? 0.01 : 0.01 * Math.abs(high));
}

interface Panel {
  readonly heading: string;
  readonly points: readonly Exceeded[];
  readonly size: number;
  readonly tone: Tone;
  readonly range: [number, number];
}

/** @param least  where the axis begins; null: a little below the lowest point */
function panelOf(heading: string, points: readonly Exceeded[], size: number, tone: Tone, least: number | null): Panel {
  const values = points.map(({ value }) => value / size);
  const [low, high] = [least ?? leastOf(values), greatestOf(values)];
  const air = 0.08 * (high - low) || 0.5;
  return { heading, points, size, tone, range: [low - air, high + air] };
}

function axisOf({ range }: Panel, domain: [number, number], width: number): Axis {
  return { ...quietAxis(width), domain, range, nticks: 6, fixedrange: true };
}

function pointsOf({ points, size, tone, heading }: Panel, yaxis: YAxis): PointTrace {
  const shown = points.filter(({ returnPeriod }) => returnPeriod >= 1);
  return {
    type: "scatter", mode: "markers", name: heading, x: shown.map(({ returnPeriod }) => shortNumber(Math.log10(returnPeriod))),
    y: shown.map(({ value }) => shortNumber(value / size)),
    marker: { color: `${lines[tone].color}60`, size: 7, symbol: tone === "pit" ? "circle" : "diamond", line: { color: lines[tone].color, width: 1 } },
    hoverinfo: "skip", xaxis: "x", yaxis, showlegend: false,
  };
}

/** The levels that matter in the pit's panel, where they lie in it. */
function levelMarks(result: HowOften, size: number, yref: YAxis): { readonly shapes: Shape[]; readonly names: Omit<Annotation, "font">[] } {
  const { site, peak } = result;
  const levels = [
    { words: "emitter opens", level: site.emitter?.opensAt ?? null },
    { words: "ground", level: site.chamberBank.ground },
    { words: "lowest rim", level: leastOf(site.settlingBoxes.map(({ rim }) => rim)) },
  ].filter((each): each is { words: string; level: number } => each.level !== null);
  const [lowest, highest] = [peak.at(-1)!.value, peak[0]!.value];
  const shown = levels.filter(({ level }) => level > lowest && level < highest);
  return {
    shapes: shown.map(({ level }) => ({
      type: "line", xref: "paper", yref, x0: 0, x1: 1, y0: level / size, y1: level / size,
      line: { color: lines.still.color, width: 1, dash: "dot" }, layer: "below",
    })),
    names: shown.map(({ words, level }) => ({
      text: words, x: 1, y: level / size, xref: "paper", yref, xanchor: "left", yanchor: "middle", xshift: 6, showarrow: false,
    })),
  };
}

function axisName(i: number): YAxis {
  return i === 0 ? "y" : "y2";
}
