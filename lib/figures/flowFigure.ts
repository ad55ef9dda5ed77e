import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { firstAfter } from "../numerics/firstAfter.ts";
import { passagesOf, type Run } from "../simulate/run.ts";
import { displayUnits, flowText, volumeText } from "../text/format.ts";
import { momentText } from "../text/hours.ts";
import { plotText } from "../text/plainText.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { drawnTimes } from "./drawnTimes.ts";
import type { Annotation, Figure, LineTrace, Shape } from "./figure.ts";
import { flowRows, NO_FLOW } from "./flowRows.ts";
import { inflowSum } from "./inflowSum.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig, type Tone } from "./look.ts";
import { stackPanels } from "./panels.ts";
import { placeLabels } from "./placeLabels.ts";
import { plotEdges } from "./plotEdges.ts";
import { runSubtitle } from "./runSubtitle.ts";
import { HALO } from "./sectionText.ts";
import { hourSpan, timeAxis } from "./timeAxis.ts";
import { waterBook } from "./waterBook.ts";

/**
 * What ran in, what the soil took and what came out, added up from the beginning, on one scale: the last two stand one on the other, so
 * that the gap between them and what ran in is what the works hold, over what they held before. The title says when that is most.
 */
export function flowFigure(run: Run, options: FigureOptions = {}): Figure {
  const width = options.width ?? 960;
  const narrow = width < 560;
  const { left, right, bottom, plotWidth } = plotEdges(run, width);
  const span = hourSpan(run, plotWidth);
  const { label, size } = displayUnits(run.site.units).volume;
  const sums = sumsOf(run);
  const ends = [0, ...[sums.cameIn, sums.soil, sums.gone].flatMap((each) => [...each])];
  const [low, high] = [leastOf(ends), Math.max(1e-4, greatestOf(ends))];
  const air = 0.05 * (high - low);
  const panel = { low: low < 0 ? low - air : 0, high: high + air, height: narrow ? 220 : 280 };
  const stack = stackPanels([{ heading: `${label} since the beginning`, height: panel.height }], width);
  const answer = flowAnswer(run, sums);
  const title = options.title === false ? null
    : answerTitle(plotText(answer, Infinity), plotText(runSubtitle(run, options.storm), Infinity), width);
  const top = title?.height ?? 4;
  const held = heldMark(run, sums, width);
  const line = (name: string, values: ArrayLike<number>, tone: Tone, fill: Pick<LineTrace, "fill" | "fillcolor"> = {}): LineTrace => ({
    type: "scatter", name, mode: "lines", x: sums.drawn.map((i) => shortNumber(sums.time[i]! / 3600)),
    y: sums.drawn.map((i) => shortNumber(values[i]! / size)), line: lines[tone], ...fill,
    hovertemplate: `${name}: %{y:.3~r} ${label}<extra></extra>`, xaxis: "x", yaxis: "y", showlegend: false,
  });
  return {
    data: [
      line("soil", sums.soil, "pit", { fill: "tozeroy", fillcolor: `${lines.pit.color}38` }),
      ...(sums.comesOut ? [band(sums, size), line("soil and out", sums.gone, "emitter")] : []),
      line("ran in", sums.cameIn, "rain"),
    ],
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(top + stack.height + bottom),
      margin: { l: left, r: right, t: top, b: bottom },
      hovermode: "x unified",
      dragmode: "zoom",
      xaxis: timeAxis(run, span, width, "y"),
      yaxis: { ...quietAxis(width), domain: stack.domains[0]!, range: [panel.low / size, panel.high / size], nticks: 6, fixedrange: true },
      annotations: [...stack.headings, ...endNames(run, sums, panel, size, width), ...held.names],
      shapes: held.shapes,
    },
    config: quietConfig(),
    answer,
    description: `What ran in, went into the soil and came out, added up against hours since the beginning. ${answer} ${peakFlows(run)}`,
  };
}

/** The largest flow of each way of the water and when it is, in a sentence for each that carries any. */
export function peakFlows(run: Run): string {
  const { units } = run.site;
  const { peaks } = sumsOf(run);
  const inflow = inflowSum(Object.values(run.inflows));
  const most = Math.max(0, greatestOf(inflow.flow));
  const words = [
    ...(most <= NO_FLOW ? [] : [`running in ${flowText(most, units)} at ${momentText(inflow.time[inflow.flow.indexOf(most)]!)}`]),
    ...peaks.filter(({ flow }) => flow > NO_FLOW).map(({ words: name, flow, time }) => `${name} ${flowText(flow, units)} at ${momentText(time)}`),
  ];
  return words.length === 0 ? "Nothing flows." : `At most: ${words.join("; ")}.`;
}

/** What has run in, gone into the soil, and gone there and out by the end of each step [m3]. */
interface Sums {
  readonly time: Float64Array;
  readonly cameIn: Float64Array;
  /** net: less than 0 where more groundwater came in */
  readonly soil: Float64Array;
  /** soil and out together */
  readonly gone: Float64Array;
  readonly comesOut: boolean;
  /** which of the steps' ends are drawn */
  readonly drawn: readonly number[];
  /** when the works hold most over what they held at the start [s, m3] */
  readonly most: { readonly time: number; readonly cameIn: number; readonly soil: number; readonly gone: number };
  readonly peaks: readonly { readonly words: string; readonly flow: number; readonly time: number }[];
}

/** A page draws a run's sums at many widths, from the same points. */
const SUMS = new WeakMap<Run, Sums>();

function sumsOf(run: Run): Sums {
  const sums = SUMS.get(run) ?? addedUp(run);
  SUMS.set(run, sums);
  return sums;
}

const SOIL = ["bankSeepage", "trenchSeepage", "lowSpotSeepage", "weep"] as const;
const OUT = ["emitter", "boxSpill", "bankSpill", "trenchSpill", "lowSpotOverflow"] as const;

/**
 * Flows added up step by step by Gauss' rule of two points, which never asks at the jumps between steps; their ends are the ledger's own
 * figures, to which the little that the rule misses is spread out in proportion.
 */
function addedUp(run: Run): Sums {
  const { times, ledger } = run;
  const ways = waysOf(run);
  const rows = flowRows(run);
  const peaks = rows.map(({ words }) => ({ words, flow: 0, time: 0 }));
  const parts = ways.map(() => new Float64Array(times.length));
  for (let i = 1; i < times.length; i++) {
    const [from, step] = [times[i - 1]!, times[i]! - times[i - 1]!];
    flowing(run, ways, from, step).forEach((volume, w) => { parts[w]![i] = parts[w]![i - 1]! + volume; });
    rows.forEach(({ flow }, r) => {
      const now = flow(times[i]!);
      if (now > peaks[r]!.flow) peaks[r] = { ...peaks[r]!, flow: now, time: times[i]! };
    });
  }
  ways.forEach(({ kind }, w) => closeOn(parts[w]!, ledger[kind]!));
  const sum = (kinds: readonly string[]): Float64Array =>
    Float64Array.from(times, (_, i) => ways.reduce((all, { kind }, w) => (kinds.includes(kind) ? all + parts[w]![i]! : all), 0));
  const inBy = cameInBy(run);
  const cameIn = Float64Array.from(times, inBy);
  const soil = sum(SOIL);
  const gone = sum([...SOIL, ...OUT]);
  const scale = Math.max(1e-6, greatestOf([...cameIn].map(Math.abs)), greatestOf([...gone].map(Math.abs)));
  const along = (values: Float64Array) => (time: number): number => {
    const i = Math.max(1, Math.min(times.length - 1, firstAfter(times, time)));
    const share = (time - times[i - 1]!) / Math.max(1e-9, times[i]! - times[i - 1]!);
    return (values[i - 1]! + share * (values[i]! - values[i - 1]!)) / scale;
  };
  const kept = times.length < 2 ? [0] : drawnTimes([cameIn, soil, gone].map(along), times, { tolerance: 0.003, points: 120 });
  return {
    time: times, cameIn, soil, gone, comesOut: OUT.some((kind) => (ledger[kind] ?? 0) > 1e-4), peaks,
    most: mostHeld(run, ways, inBy, { soil, gone }),
    drawn: [...new Set(kept.map((time) => Math.min(times.length - 1, Math.max(0, firstAfter(times, time) - 1))))],
  };
}

/** A way by which water leaves the works, as the ledger has it. */
interface Way {
  readonly kind: (typeof SOIL | typeof OUT)[number];
  readonly passages: readonly string[];
}

function waysOf(run: Run): Way[] {
  return [...SOIL, ...OUT].filter((kind) => (run.ledger[kind] ?? 0) !== 0).map((kind) => ({ kind, passages: passagesOf(run, kind) }));
}

/** What each way carries from a time on within one step [m3]. */
function flowing(run: Run, ways: readonly Way[], from: number, step: number): number[] {
  const added = ways.map(() => 0);
  for (const share of GAUSS) {
    ways.forEach(({ passages }, w) => {
      for (const passage of passages) added[w]! += (step / 2) * run.flow(passage, from + share * step);
    });
  }
  return added;
}

/** The moment between steps at which what ran in is farthest over what is gone, by thirds of the two steps round the best of their ends. */
function mostHeld(
  run: Run, ways: readonly Way[], inBy: (time: number) => number, { soil, gone }: Pick<Sums, "soil" | "gone">,
): Sums["most"] {
  const { times } = run;
  let best = 0;
  times.forEach((time, i) => { if (inBy(time) - gone[i]! > inBy(times[best]!) - gone[best]!) best = i; });
  const at = (time: number): Sums["most"] => {
    const i = Math.max(0, Math.min(times.length - 1, firstAfter(times, time) - 1));
    const added = flowing(run, ways, times[i]!, time - times[i]!);
    const sum = (kinds: readonly string[]): number =>
      added.reduce((all, volume, w) => (kinds.includes(ways[w]!.kind) ? all + volume : all), 0);
    return { time, cameIn: inBy(time), soil: soil[i]! + sum(SOIL), gone: gone[i]! + sum([...SOIL, ...OUT]) };
  };
  const held = (time: number): number => {
    const { cameIn, gone: left } = at(time);
    return cameIn - left;
  };
  let [low, high] = [times[Math.max(0, best - 1)]!, times[Math.min(times.length - 1, best + 1)]!];
  for (let i = 0; i < 40; i++) {
    const third = (high - low) / 3;
    if (held(low + third) < held(high - third)) low += third;
    else high -= third;
  }
  const found = (low + high) / 2;
  return held(found) > held(times[best]!) ? at(found) : at(times[best]!);
}

const GAUSS = [0.5 - Math.sqrt(3) / 6, 0.5 + Math.sqrt(3) / 6];

/**
 * Brings a sum to its true end: what it is off is spread out by what flowed. Where but a part of a kind leaves the works, as with boxes of
 * which one spills into a low spot, that is much; else it is what the rule misses.
 */
function closeOn(sum: Float64Array, end: number): void {
  const found = sum.at(-1)!;
  const missed = end - found;
  const moved = sum.reduce((all, each, i) => (i === 0 ? 0 : all + Math.abs(each - sum[i - 1]!)), 0);
  if (moved === 0) return;
  let gone = 0;
  let last = sum[0]!;
  for (let i = 1; i < sum.length; i++) {
    gone += Math.abs(sum[i]! - last);
    last = sum[i]!;
    sum[i] = last + missed * (gone / moved);
  }
}

/** What has run into all bodies by a time [m3]: exact, flows being straight lines between their points. */
function cameInBy({ inflows }: Run): (time: number) => number {
  const { time, flow } = inflowSum(Object.values(inflows));
  const before = [0];
  for (let i = 1; i < time.length; i++) before.push(before[i - 1]! + ((flow[i]! + flow[i - 1]!) / 2) * (time[i]! - time[i - 1]!));
  return (at) => {
    const i = firstAfter(time, at) - 1;
    if (i < 0 || time.length === 0) return 0;
    if (i >= time.length - 1) return before.at(-1)!;
    const part = at - time[i]!;
    const slope = (flow[i + 1]! - flow[i]!) / (time[i + 1]! - time[i]!);
    return before[i]! + part * (flow[i]! + (slope * part) / 2);
  };
}

/** What came out, over what the soil took. */
function band({ time, soil, gone, drawn }: Sums, size: number): LineTrace {
  const back = drawn.toReversed();
  return {
    type: "scatter", name: "out", mode: "lines", x: [...drawn, ...back].map((i) => shortNumber(time[i]! / 3600)),
    y: [...drawn.map((i) => gone[i]!), ...back.map((i) => soil[i]!)].map((volume) => shortNumber(volume / size)),
    line: { color: "rgba(0,0,0,0)", width: 0 }, fill: "toself", fillcolor: `${lines.emitter.color}38`, hoverinfo: "skip", xaxis: "x", yaxis: "y", showlegend: false,
  };
}

/** An upright stroke in the gap where it is widest, and what it means. */
function heldMark(run: Run, sums: Sums, width: number): { readonly shapes: Shape[]; readonly names: Annotation[] } {
  const { time, cameIn, gone } = sums.most;
  const volume = cameIn - gone;
  if (volume < 1e-3) return { shapes: [], names: [] };
  const { size } = displayUnits(run.site.units).volume;
  const [x, low, high] = [time / 3600, gone / size, cameIn / size];
  return {
    shapes: [{ type: "line", xref: "x", yref: "y", x0: x, x1: x, y0: low, y1: high, line: { color: ink.text, width: 2, dash: "solid" }, layer: "above" }],
    names: [{
      text: `held ${volumeText(volume, run.site.units)}`, x, y: (low + high) / 2, xref: "x", yref: "y", xanchor: "left", yanchor: "middle", xshift: 6, showarrow: false,
      font: font(letterSizes(width).body, ink.text), bgcolor: HALO,
    }],
  };
}

/** At the right edge, in line with the names of the level picture: each sum by its name and the ledger's figure. */
function endNames(
  run: Run, sums: Sums, panel: { readonly low: number; readonly high: number; readonly height: number }, size: number, width: number,
): Annotation[] {
  const { units } = run.site;
  const { small } = letterSizes(width);
  const [came, soil, gone] = [sums.cameIn.at(-1)!, sums.soil.at(-1)!, sums.gone.at(-1)!];
  const names = [
    { words: `ran in<br>${volumeText(came, units)}`, at: came, tone: "rain" as const },
    ...(sums.comesOut ? [{ words: `came out<br>${volumeText(gone - soil, units)}`, at: (gone + soil) / 2, tone: "emitter" as const }] : []),
    { words: soil < 0 ? `groundwater in<br>${volumeText(-soil, units)}` : `into the soil<br>${volumeText(soil, units)}`, at: soil / 2, tone: "pit" as const },
  ];
  const perPixel = (panel.high - panel.low) / panel.height;
  const wishes = names.toReversed().map(({ at }) => ({ at: (at - panel.low) / perPixel, size: small * 2.7 }));
  const places = placeLabels(wishes, { from: 0, to: panel.height + small }).reverse();
  return names.map(({ words, tone }, i) => ({
    text: words, x: 1, y: shortNumber((panel.low + places[i]! * perPixel) / size), xref: "paper", yref: "y", xanchor: "left", yanchor: "middle", xshift: 8, showarrow: false,
    align: "left", font: font(small, lines[tone].color),
  }));
}

function flowAnswer(run: Run, sums: Sums): string {
  const { units } = run.site;
  const { total } = waterBook(run);
  if (total <= 1e-4 || greatestOf([0, ...sums.cameIn]) <= 1e-4) return "Nothing runs in.";
  const { time, cameIn: came, soil, gone } = sums.most;
  const [volume, out] = [came - gone, gone - soil];
  if (volume < 1e-4) return "What runs in is gone as soon as it comes.";
  const some = (water: number): string => (water < 1e-9 ? "nothing" : water < 1e-4 ? "next to nothing" : volumeText(water, units));
  const taken = soil < -1e-4 ? `${some(-soil)} of groundwater has come in besides` : `the soil has taken ${some(soil)}`;
  return `The works hold most at ${momentText(time)}, ${volumeText(volume, units)}${run.ledger.storedStart > 1e-4 ? " more than before" : ""}: `
    + `by then ${some(came)} has run in, ${taken}, and ${some(out)} has come out.`;
}
