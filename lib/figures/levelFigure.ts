import { seriesLevel } from "../ground/seriesLevel.ts";
import { firstAfter } from "../numerics/firstAfter.ts";
import { toldFirings } from "../simulate/firings.ts";
import type { Run } from "../simulate/run.ts";
import { displayUnits, flowText, volumeText, waterText } from "../text/format.ts";
import { lastingText, momentText } from "../text/hours.ts";
import { plotText } from "../text/plainText.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { answerSentence, emitterTotals } from "./answer.ts";
import { type BodyView, bodyViews, DRY } from "./bodyViews.ts";
import { drawnTimes } from "./drawnTimes.ts";
import type { Annotation, Figure, Layout, LineTrace, Trace } from "./figure.ts";
import { labelCurves } from "./labelCurves.ts";
import { labelHeight, levelLabels, type LevelPanel } from "./levelLabels.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig } from "./look.ts";
import { stackPanels } from "./panels.ts";
import { namedLevels, NARROW, plotEdges, type PlotEdges } from "./plotEdges.ts";
import { rainPanel } from "./rainPanel.ts";
import type { ReferenceLevel } from "./referenceLevels.ts";
import { runSubtitle } from "./runSubtitle.ts";
import { textWidth } from "./textWidth.ts";
import { hourSpan, type HourSpan, timeAxis } from "./timeAxis.ts";

/** A water level as it is drawn, and what it is called. */
interface LevelCurve {
  /** the body; null for groundwater */
  readonly body: string | null;
  readonly words: string;
  readonly trace: LineTrace;
}

/**
 * The level of each body as a line, the pit first so that the others lie over it. A body has no line while it is dry;
 * the line reaches down to the floor before it stops.
 *
 * @param times  to draw them at [s]
 */
function levelCurves(run: Run, times: readonly number[]): LevelCurve[] {
  const { label, size } = displayUnits(run.site.units).level;
  return pitFirst(run).map((view) => {
    const levels = run.levels(view.body, times);
    // A dry point beside a wet one is drawn too: the line comes down to the floor.
    const drawn = levels.map((_, i) => Number([i - 1, i, i + 1].some((at) => (levels[at] ?? view.floor) - view.floor > DRY)));
    return {
      body: view.body,
      words: view.words,
      trace: {
        type: "scatter", name: plotText(view.words), mode: "lines", x: times.map((time) => shortNumber(time / 3600)),
        y: Array.from(levels, (level, i) => (drawn[i] === 1 ? shortNumber(level / size) : null)),
        line: lines[view.tone], connectgaps: false, hovertemplate: `${plotText(view.words)}: %{y:.2f} ${label}<extra></extra>`,
        xaxis: "x", yaxis: "y2", showlegend: false,
      },
    };
  });
}

function pitFirst(run: Run): BodyView[] {
  return [...bodyViews(run)].sort((a, b) => Number(b.tone === "pit") - Number(a.tone === "pit"));
}

/** A page draws a run's levels at many widths, from the same points. */
const TIMES = new WeakMap<Run, readonly number[]>();

function timesOf(run: Run): readonly number[] {
  const known = TIMES.get(run);
  if (known !== undefined) return known;
  const views = bodyViews(run);
  const times = drawnTimes(views.map(({ body }) => (time: number) => run.level(body, time)), knotsOf(run, views), { tolerance: TOLERANCE });
  TIMES.set(run, times);
  return times;
}

/** Ends of steps at least so far apart as an eye can tell while a line moves, and times between them where they are far apart. */
function timesOfSteps(run: Run, end_h: number, plotWidth: number): number[] {
  const pixel = (end_h * 3600) / plotWidth;
  const times = [0];
  for (const time of [...run.times, run.until]) {
    const last = times.at(-1)!;
    if (time - last < 2.5 * pixel && time < run.until) continue;
    const pieces = Math.min(100, Math.ceil((time - last) / (12 * pixel)));
    for (let i = 1; i <= pieces; i++) times.push(last + (i / pieces) * (time - last));
  }
  return times;
}

/** The groundwater round the pit that moves, as a line; none where it is fixed or far below. */
function groundwaterCurve(run: Run): LevelCurve[] {
  const water = run.site.chamberBank.groundwater;
  if (water === null || water.level.length < 2) return [];
  const { label, size } = displayUnits(run.site.units).level;
  const times = [0, ...water.time.filter((time) => time > 0 && time < run.until), run.until];
  return [{
    body: null,
    words: "groundwater",
    trace: {
      type: "scatter", name: "groundwater", mode: "lines", x: times.map((time) => shortNumber(time / 3600)),
      y: times.map((time) => shortNumber(seriesLevel(water, time) / size)), line: { ...lines.rain, dash: "longdash" },
      hovertemplate: `groundwater: %{y:.2f} ${label}<extra></extra>`, xaxis: "x", yaxis: "y2", showlegend: false,
    },
  }];
}

/** Where a level may turn: ends of steps, tops, and both ends of every firing. */
function knotsOf(run: Run, views: readonly BodyView[]): number[] {
  const turns = [
    ...run.times,
    ...views.map(({ body }) => run.peaks[body]!.time),
    ...run.firings.flatMap(({ start, end }) => [start, end ?? run.until]),
  ];
  return [0, ...turns.filter((time) => time > 0 && time < run.until), run.until].sort((a, b) => a - b);
}

/** What every figure of a run takes. */
export interface FigureOptions {
  /** the storm's name, for the subtitle */
  readonly storm?: string;
  /** the picture will be shown this wide [px]; names are placed for it. 960 where not given */
  readonly width?: number;
  /** false: no title, where the page around has one */
  readonly title?: boolean;
}

/** A level picture whose axes stand still while something in it is pulled. */
export interface LevelHold {
  readonly axes: { readonly span: HourSpan; readonly edges: PlotEdges; readonly rainMost: number };
  /** the run before, whose pit stays as a thin line */
  readonly before: Run | null;
  /** while a hand pulls, where each curve's name stands [h]: names then only rise and fall, and lines are drawn from step to step */
  readonly names: ReadonlyMap<string, number> | null;
}

/** Where the names of a level picture's curves stand [h], to be held. */
export function curveHours({ annotations }: Layout): ReadonlyMap<string, number> {
  return new Map(annotations.flatMap(({ name, x }) => (name?.startsWith(CURVE) === true ? [[name.slice(CURVE.length), x]] : [])));
}

/** What the name of a curve is called among the texts of the picture. */
const CURVE = "curve ";

/** The axes of a run's level picture, to be held. */
export function levelAxes(run: Run, width: number): LevelHold["axes"] {
  const edges = plotEdges(run, width);
  const span = hourSpan(run, edges.plotWidth);
  return { span, edges, rainMost: rainPanel(run, span, width).most };
}

/**
 * The water level of every body against time, with the rain hanging from the top, every level that matters as a named
 * line, and along the foot when the emitter fires. The title is the answer.
 *
 * A body that is dry has no line. Lines are within a millimetre of the run unless it turns more often than 600 points
 * can follow, and the picture ends when the water has come to rest.
 */
export function levelFigure(run: Run, options: FigureOptions = {}): Figure {
  const answer = answerSentence(run);
  const { title } = options;
  const drawn = drawnLevels(run, options, title === false ? null : answer, null);
  return { ...drawn, config: quietConfig(), answer, description: levelDescription(run) };
}

/** The level picture of a page that is awake, which asks for its words when it has the time. */
export function levelDrawing(run: Run, width: number, hold: LevelHold): Pick<Figure, "data" | "layout"> {
  return drawnLevels(run, { width }, null, hold);
}

function drawnLevels(run: Run, options: FigureOptions, answer: string | null, hold: LevelHold | null): Pick<Figure, "data" | "layout"> {
  const width = options.width ?? 960;
  const narrow = width < NARROW;
  const { label, size: unit } = displayUnits(run.site.units).level;
  const { left, right, bottom, plotWidth, range, references: held } = hold?.axes.edges ?? plotEdges(run, width);
  // as many names as before: one more would push the rest
  const now = hold === null ? held : namedLevels(run.site, width);
  const references = held.length === now.length ? now : held;
  const span = hold?.axes.span ?? hourSpan(run, plotWidth);

  const rain = rainPanel(run, span, width);
  const firings = firingStrip(run, narrow);
  const panel: LevelPanel = { axis: "y2", ...range, unit, height: Math.max(narrow ? 300 : 360, references.length * labelHeight(width)) };
  const stack = stackPanels([
    { heading: rain.heading, height: narrow ? 54 : 76 },
    { heading: `water level, ${label}${narrow ? "" : " above the site's datum"}`, height: panel.height },
    ...(firings === null ? [] : [{ heading: firings.heading, height: narrow ? 14 : 16 }]),
  ], width);
  const still = levelLabels(references, panel, width);
  const names = hold?.names ?? null;
  const curves = [...groundwaterCurve(run), ...levelCurves(run, names === null ? timesOf(run) : timesOfSteps(run, span.end, plotWidth))];
  const words = names === null ? curveNames(run, curves, references, panel, { width, plotWidth, end: span.end })
    : heldNames(run, curves, names, panel, width);
  const title = answer === null ? null
    : answerTitle(plotText(answer, Infinity), plotText(runSubtitle(run, options.storm), Infinity), width);
  // a page's knob of the rain's duration lies on the panel's top, under its heading
  const knob = hold === null ? 0 : 12;
  const top = (title?.height ?? 4) + knob;
  const [rainHeading, ...headings] = stack.headings;

  return {
    data: [
      rain.trace, ...(hold === null || hold.before === null ? [] : ghost(hold.before)), ...curves.map(({ trace }) => trace),
      ...(firings?.traces ?? []),
    ],
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(top + stack.height + bottom),
      margin: { l: left, r: right, t: top, b: bottom },
      hovermode: "x unified",
      hoversubplots: "axis",
      dragmode: "zoom",
      xaxis: timeAxis(run, span, width, firings === null ? "y2" : "y3"),
      yaxis: { ...quietAxis(width), domain: stack.domains[0]!, range: [hold?.axes.rainMost ?? rain.most, 0], nticks: 3, fixedrange: true },
      yaxis2: {
        ...quietAxis(width), domain: stack.domains[1]!, range: [range.low / unit, range.high / unit], nticks: 9, fixedrange: true,
      },
      ...(firings === null ? {} : {
        yaxis3: {
          domain: stack.domains[2]!, range: [0, 1], showticklabels: false, showgrid: false, zeroline: false, fixedrange: true,
        },
      }),
      annotations: [
        ...(rainHeading === undefined ? [] : [{ ...rainHeading, yshift: (rainHeading.yshift ?? 0) + knob }]), ...headings,
        ...still.annotations, ...words,
      ],
      shapes: [...still.shapes, ...rain.shapes],
    },
  };
}

/** The pit's level of the run before, thin and grey. */
function ghost(before: Run): LineTrace[] {
  const known = GHOSTS.get(before);
  if (known !== undefined) return known;
  const made = levelCurves(before, timesOf(before)).filter(({ body }) => body === "chamberBank").map(({ trace }): LineTrace => ({
    ...trace, name: "before", line: { color: ink.soft, width: 1.2, dash: "solid" },
  }));
  GHOSTS.set(before, made);
  return made;
}

/** It is drawn in every frame of a pull. */
const GHOSTS = new WeakMap<Run, LineTrace[]>();

// A still line may run behind a name, not through it.
const HALO = "rgba(255,255,255,0.8)";

// A millimetre is less than a pixel of any panel.
const TOLERANCE = 0.001;

function curveNames(
  run: Run, curves: readonly LevelCurve[], references: readonly ReferenceLevel[], panel: LevelPanel,
  plot: { readonly width: number; readonly plotWidth: number; readonly end: number },
): Annotation[] {
  const { body: size } = letterSizes(plot.width);
  const hour = plot.plotWidth / plot.end;
  const pixel = (panel.high - panel.low) / panel.height;
  const height = (level: number): number => (level - panel.low) / pixel;
  // The shortest lines have the fewest places and choose first.
  const order = [...curves].sort((a, b) => drawnPoints(a) - drawnPoints(b));
  const places = labelCurves(order.map(({ body, words, trace }) => ({
    x: trace.x.map((hours) => hours * hour),
    y: trace.y.map((shown) => (shown === null ? null : height(shown * panel.unit))),
    labelWidth: textWidth(words + aside(run, body, plot.width), size, true),
    labelHeight: size * 1.25,
  })), { width: plot.plotWidth, height: panel.height, still: references.map(({ level }) => height(level)) });
  return order.flatMap((curve, i) => {
    const place = places[i];
    if (place === null || place === undefined) return [];
    return [curveName(run, curve, { hour: place.x / hour, level: (panel.low + place.y * pixel) / panel.unit }, panel, plot.width, size)];
  });
}

function curveName(
  run: Run, { body, words, trace }: LevelCurve, at: { readonly hour: number; readonly level: number }, panel: LevelPanel, width: number,
  size: number,
): Annotation {
  return {
    name: `${CURVE}${words}`, text: `<b>${plotText(words)}</b>${aside(run, body, width)}`,
    x: at.hour, y: at.level, xref: "x", yref: panel.axis, xanchor: "left", yanchor: "bottom",
    showarrow: false, align: "left", font: font(size, trace.line.color), bgcolor: HALO, borderpad: 0,
  };
}

/** Names at the hours where they stood, on their curves as these are now; a curve that is dry there has none. */
function heldNames(
  run: Run, curves: readonly LevelCurve[], hours: ReadonlyMap<string, number>, panel: LevelPanel, width: number,
): Annotation[] {
  const { body: size } = letterSizes(width);
  // a little over the line
  const rise = 3 * ((panel.high - panel.low) / panel.height / panel.unit);
  return curves.flatMap((curve) => {
    const hour = hours.get(curve.words);
    if (hour === undefined) return [];
    const { x, y } = curve.trace;
    const level = y[firstAfter(x, hour, x.length - 1)] ?? null;
    return level === null ? [] : [curveName(run, curve, { hour, level: level + rise }, panel, width, size)];
  });
}

function drawnPoints({ trace }: LevelCurve): number {
  return trace.y.filter((level) => level !== null).length;
}

/** A box that never falls below its outlet says why: else its level looks like a fault. */
function aside(run: Run, body: string | null, width: number): string {
  const box = run.site.settlingBoxes.find(({ name }) => name === body);
  const full = box !== undefined && run.level(box.name, run.until) > box.outlet.crest - 0.01;
  return full && width >= NARROW ? " (its sump stays full)" : "";
}

/** The level picture in words, for anyone who cannot see it: the answer, then each body's start, top and end. */
export function levelDescription(run: Run): string {
  const bodies = bodyViews(run).map(({ body, words, floor }) => {
    const level = (metres: number): string => (metres - floor <= DRY ? "dry" : waterText(metres, run.site.units));
    const top = run.peaks[body]!;
    return `${words}: at the start ${level(run.level(body, 0))}, highest ${level(top.level)} at ${momentText(top.time)}, at the end ${level(run.level(body, run.until))}`;
  });
  return `Water level against hours since the rain began. ${answerSentence(run)} ${bodies.join("; ")}.`;
}

/** The strip on the time axis that shows when the emitter fires. */
interface FiringStrip {
  readonly heading: string;
  /** bars where the lid is open, and a line without ink that holds the strip where it never is */
  readonly traces: Trace[];
}

/**
 * When the emitter fires, as bars along the time axis, and in words over them.
 *
 * @returns  null where the site has no emitter
 */
function firingStrip(run: Run, narrow: boolean): FiringStrip | null {
  const { site } = run;
  const firings = toldFirings(run);
  if (site.emitter === null) return null;
  const { color } = lines.emitter;
  const bars = firings.map(({ start, end }) => ({ start: start / 3600, end: (end ?? run.until) / 3600 }));
  return {
    heading: `<span style="color:${color}">${headingWords(run, narrow)}</span>`,
    traces: [{
      type: "scatter", name: "emitter", mode: "lines", x: [0, run.until / 3600], y: [0, 0], line: { color: "rgba(0,0,0,0)", width: 1 }, hoverinfo: "skip",
      xaxis: "x", yaxis: "y3", showlegend: false,
    }, ...(bars.length === 0 ? [] : [{
      type: "bar" as const, name: "emitter fires", x: bars.map(({ start, end }) => (start + end) / 2), y: bars.map(() => 1),
      width: bars.map(({ start, end }) => end - start),
      // The outline keeps a firing of minutes visible among days.
      marker: { color, line: { color, width: 1 } },
      customdata: firings.map(({ start, end, open, volume, peakFlow }) =>
        `${momentText(start)} ${end === null ? "on" : `for ${lastingText(open)}`}, ${volumeText(volume, site.units)}, up to ${flowText(peakFlow, site.units)}`),
      hovertemplate: "emitter fires: %{customdata}<extra></extra>", xaxis: "x" as const, yaxis: "y3" as const, showlegend: false as const,
    }])],
  };
}

function headingWords(run: Run, narrow: boolean): string {
  const totals = emitterTotals(run);
  if (totals === null) return "emitter: stays shut";
  const words = `emitter fires for ${lastingText(totals.open)}, ${volumeText(totals.volume, run.site.units)}`;
  return narrow ? words : `${words}, from ${momentText(totals.first)}, at most ${flowText(totals.peakFlow, run.site.units)}`;
}
