import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { depthText, displayUnits, durationText } from "../text/format.ts";
import type { FailedPit, RankedCause } from "../dips/failedPit.ts";
import { failedPitAnswer } from "../dips/failedPitWords.ts";
import { TELLS_LITTLE, type Measurement } from "../dips/nextMeasurement.ts";
import type { Cause } from "../dips/pitCauses.ts";
import type { Annotation, Figure, Line, Shape, Trace, YAxis } from "./figure.ts";
import { drawnTimes } from "./drawnTimes.ts";
import { momentText } from "../text/hours.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig, type Tone } from "./look.ts";
import { stackPanels } from "./panels.ts";
import { placeLabels } from "./placeLabels.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { NARROW } from "./plotEdges.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { textWidth } from "./textWidth.ts";

/**
 * The dips against the best curves of the leading causes, a panel for each body that was dipped, the pit's first; an upright line
 * where one more dip would tell most. The title is the answer.
 */
export function failedPitFigure(diagnosis: FailedPit, options: FigureOptions = {}): Figure {
  const { site, log } = diagnosis;
  const width = options.width ?? 960;
  const narrow = width < NARROW;
  const { small } = letterSizes(width);
  const causes = drawnCauses(diagnosis);
  const telling = diagnosis.next.find(({ kind, separation }) => kind === "level" && separation >= TELLS_LITTLE) ?? null;
  const end = endOf(diagnosis, telling);
  const panels = panelsOf(diagnosis, causes, telling, end, narrow);
  const right = Math.ceil(18 + greatestOf(causes.map((cause, i) => textWidth(label(cause), small, i === 0))));
  const left = narrow ? 40 : 50;
  const { label: unit, size } = displayUnits(site.units).level;
  const stack = stackPanels(panels.map(({ heading, height }) => ({ heading: plotText(`${heading}, level in ${unit}`), height })), width);
  const answer = failedPitAnswer(diagnosis);
  const subtitle = [site.name, ...(options.storm === undefined ? [] : [options.storm])].map((name) => plainText(name, 60)).join(" · ");
  const many = log.read.length > log.dips.length ? `${log.read.length} readings, of which ${log.dips.length} count` : `${log.dips.length} ${log.dips.length === 1 ? "dip" : "dips"}`;
  const count = `${many}, each give or take ${depthText(log.dipError, site.units)}`;
  const title = options.title === false ? null : answerTitle(plotText(answer, Infinity), plotText(`${subtitle} · ${count}`, Infinity), width);
  const top = title?.height ?? 4;
  const axis = (i: number): YAxis => (i === 0 ? "y" : (`y${i + 1}` as YAxis));
  return {
    data: panels.flatMap((panel, i) => panelTraces(panel, axis(i), size, (end / 3600) / (width - left - right), log.dipError)),
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(top + stack.height + BOTTOM),
      margin: { l: left, r: right, t: top, b: BOTTOM },
      hovermode: "closest",
      dragmode: false,
      barmode: "overlay",
      xaxis: {
        ...quietAxis(width), range: [0, end / 3600], anchor: axis(panels.length - 1), fixedrange: true, nticks: narrow ? 5 : 10, ticks: "outside",
        ticklen: 4, tickcolor: ink.rule, showline: true, linecolor: ink.rule,
        title: { text: `hours since the ${log.load === "storm" ? "rain began" : "hose was opened"}`, font: font(small, ink.text), standoff: 8 },
      },
      yaxis: { ...quietAxis(width), domain: stack.domains[0]!, range: scaled(panels[0]!.range, size), fixedrange: true, nticks: 6 },
      ...Object.fromEntries(panels.slice(1).map(({ range }, i) => [`yaxis${i + 2}`, {
        ...quietAxis(width), domain: stack.domains[i + 1]!, range: scaled(range, size), fixedrange: true, nticks: 4,
      }])),
      annotations: [
        ...stack.headings, ...panels.flatMap((panel, i) => curveLabels(panel, axis(i), size, small)),
        ...tellingLabel(telling, log.dips.at(-1)!.time, end, panels.map(({ body }, i) => [body, stack.domains[i]![1]]), small),
      ],
      shapes: telling === null ? [] : panels.flatMap(({ body }, i) =>
        (body === telling.look!.body ? [upright(telling.look!.time / 3600, stack.domains[i]!)] : [])),
    },
    config: quietConfig(),
    answer,
    description: described(diagnosis, causes, answer),
  };
}

const BOTTOM = 44;
/** Side of the square that marks a dip [px]. */
const MARK = 7;
const MOST_CURVES = 4;

const SHORT: Readonly<Record<Cause, string>> = Object.freeze({
  asDesigned: "as designed", soilSlower: "soil slower", floorSealed: "floor sealed", waterTable: "water table", leak: "leak", lidShut: "lid shut",
  outletBlocked: "outlet blocked", holesClogged: "holes clogged", inletBlocked: "pipe to trench choked", levelsOff: "levels off", stoneDirty: "dirty stone",
  roofMore: "more roof", trenchLeak: "trench leaks", somethingElse: "something else",
});

/** The leading causes, and always the works as designed, for that is what one compares with. */
function drawnCauses(diagnosis: FailedPit): RankedCause[] {
  // something else has no curve
  const causes = diagnosis.causes.filter(({ fault }) => fault !== null);
  const leading = causes.filter(({ share }, i) => i < 2 || (i < MOST_CURVES && share >= LEADING));
  const designed = causes.find(({ cause }) => cause === "asDesigned");
  return designed === undefined || leading.includes(designed) ? leading : [...leading, designed];
}

/** Share from which a cause is drawn. */
const LEADING = 0.05;

function label({ cause, share }: RankedCause): string {
  const percent = share < 0.005 ? "< 1" : share >= 0.995 ? "> 99" : (100 * share).toFixed(0);
  return `${SHORT[cause]} ${percent} %`;
}

/** The last dip and the telling one, where that is not far beyond, and a little air [s]. */
function endOf({ log, run, causes }: FailedPit, telling: Measurement | null): number {
  const last = log.dips.at(-1)!.time;
  const runs = run(causes.find(({ fault }) => fault !== null)!.cause).until;
  return Math.min(runs, 1.04 * Math.max(last, log.loadEnd, telling?.look?.time ?? 0, 3600));
}

interface DipPanel {
  readonly body: string;
  readonly heading: string;
  readonly height: number;
  readonly tone: Tone;
  readonly range: readonly [number, number];
  readonly dips: FailedPit["log"]["dips"];
  /** all readings of a long series, of which the dips are those that count; empty else */
  readonly series: FailedPit["log"]["read"];
  readonly curves: readonly { readonly cause: RankedCause; readonly time: readonly number[]; readonly level: Float64Array }[];
}

function panelsOf(
  diagnosis: FailedPit, causes: readonly RankedCause[], telling: Measurement | null, end: number, narrow: boolean,
): DipPanel[] {
  const { log, site } = diagnosis;
  const bodies = [...new Set(["chamberBank", ...log.dips.map(({ body }) => body), ...(telling === null ? [] : [telling.look!.body])])];
  return bodies.map((body, i) => {
    const dips = log.dips.filter((dip) => dip.body === body);
    const read = log.read.filter((dip) => dip.body === body);
    const series = read.length > dips.length ? read : [];
    const curves = causes.map((cause) => {
      const run = diagnosis.run(cause.cause);
      const knots = [...Array.from(run.times).filter((time) => time < end), end];
      const time = drawnTimes([(at) => run.level(body, at)], knots, { tolerance: 1e-3, points: 300 });
      return { cause, time, level: run.levels(body, time) };
    });
    const all = [...curves.flatMap(({ level }) => Array.from(level)), ...[...dips, ...series].map(({ level }) => level)];
    const [low, high] = [leastOf(all), greatestOf(all)];
    const air = 0.08 * Math.max(high - low, 0.05);
    const box = site.settlingBoxes.find(({ name }) => name === body);
    return {
      body, dips, series, curves, range: [low - air, high + air] as const, height: i === 0 ? (narrow ? 220 : 290) : (narrow ? 120 : 140),
      tone: body === "chamberBank" ? "pit" : box !== undefined ? "box" : "trench",
      heading: body === "chamberBank" ? "pit" : box === undefined ? "overflow trench" : site.settlingBoxes.length === 1 ? "settling box" : `box “${plainText(body, 24)}”`,
    };
  });
}

/** The likeliest cause in the body's own line, the others grey, each with its own dash. */
function lineOf(tone: Tone, rank: number): Line {
  if (rank === 0) return { color: lines[tone].color, width: 2.6, dash: "solid" };
  return { color: ink.soft, width: 1.5, dash: DASHES[(rank - 1) % DASHES.length]! };
}

const DASHES: readonly NonNullable<Line["dash"]>[] = ["dash", "dot", "dashdot", "longdash"];

function panelTraces(
  { dips, series, curves, tone, range }: DipPanel, yaxis: YAxis, size: number, hoursPerPixel: number, dipError: number,
): Trace[] {
  const drawn = curves.map(({ cause, time, level }, i): Trace => ({
    type: "scatter", mode: "lines", name: SHORT[cause.cause],
    x: time.map((at) => shortNumber(at / 3600)), y: Array.from(level, (each) => shortNumber(each / size)),
    line: lineOf(tone, i), hovertemplate: `${SHORT[cause.cause]}: %{y:.2f}<extra></extra>`,
    xaxis: "x", yaxis, showlegend: false,
  }));
  if (dips.length === 0) return drawn.toReversed();
  // more points than a screen has columns show nothing
  const every = Math.max(1, Math.ceil(series.length / 1200));
  const shown = series.filter((_, i) => i % every === 0 || i === series.length - 1);
  const readings: Trace[] = series.length === 0 ? [] : [{
    type: "scatter", mode: "lines", name: "readings", x: shown.map(({ time }) => shortNumber(time / 3600)), y: shown.map(({ level }) => shortNumber(level / size)),
    line: { color: ink.text, width: 1.2, dash: "solid" }, hovertemplate: "read: %{y:.2f}<extra></extra>", xaxis: "x", yaxis, showlegend: false,
  }];
  const half = Math.max(dipError, 0.006 * (range[1] - range[0]));
  return [...drawn.toReversed(), ...readings, {
    type: "bar", name: "dips", x: dips.map(({ time }) => shortNumber(time / 3600)), y: dips.map(() => shortNumber((2 * half) / size)),
    base: dips.map(({ level }) => shortNumber((level - half) / size)), width: dips.map(() => MARK * hoursPerPixel),
    marker: { color: ink.paper, line: { color: ink.text, width: 1.5 } },
    customdata: dips.map(({ level }) => String(shortNumber(level / size))),
    hovertemplate: "dip %{customdata}<extra></extra>", xaxis: "x", yaxis, showlegend: false,
  }];
}

/** Each curve's name at the right edge. */
function curveLabels({ curves, tone, range, height }: DipPanel, yref: YAxis, size: number, letters: number): Annotation[] {
  const perPixel = (range[1] - range[0]) / height;
  const wishes = curves.map(({ level }) => ({ at: (level.at(-1)! - range[0]) / perPixel, size: letters * 1.3 }));
  const middles = placeLabels(wishes, { from: 0, to: height });
  return curves.map(({ cause }, i) => ({
    text: i === 0 ? `<b>${plotText(label(cause))}</b>` : plotText(label(cause)), x: 1,
    y: shortNumber((range[0] + middles[i]! * perPixel) / size), xref: "paper", yref,
    xanchor: "left", yanchor: "middle", xshift: 8, showarrow: false, align: "left", font: font(letters, lineOf(tone, i).color),
  }));
}

function upright(hours: number, [from, to]: readonly [number, number]): Shape {
  return {
    type: "line", xref: "x", yref: "paper", x0: hours, x1: hours, y0: from, y1: to, layer: "below",
    line: { color: lines.emitter.color, width: 1.5, dash: "dash" },
  };
}

function tellingLabel(
  telling: Measurement | null, last: number, end: number, tops: readonly (readonly [body: string, top: number])[], letters: number,
): Annotation[] {
  if (telling === null) return [];
  const { body, time } = telling.look!;
  const later = time === last ? "now" : `${durationText(time - last)} on`;
  return [{
    text: `the dip that tells most: ${later}`, x: shortNumber(time / 3600), y: tops.find(([each]) => each === body)![1],
    xref: "x", yref: "paper",
    xanchor: time > end / 2 ? "right" : "left", yanchor: "top", xshift: time > end / 2 ? -5 : 5, showarrow: false,
    font: font(letters, lines.emitter.color), bgcolor: "rgba(255,255,255,0.8)",
  }];
}

function scaled([low, high]: readonly [number, number], size: number): [number, number] {
  return [low / size, high / size];
}

function described({ log, site }: FailedPit, causes: readonly RankedCause[], answer: string): string {
  const dips = log.dips.map(({ body, time, level }) => `${plainText(body, 24)} ${shortNumber(level / displayUnits(site.units).level.size)} at ${momentText(time)}`);
  return `Dips against what each cause would have given. ${answer} ${causes.map(label).join(", ")}. Dips in ${displayUnits(site.units).level.label}: ${dips.join(", ")}.`;
}
