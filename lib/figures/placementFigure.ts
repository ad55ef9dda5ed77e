import { greatestOf, leastOf } from "../numerics/extremes.ts";
import type { Placement, Position } from "../study/placement.ts";
import { fullWords, placeWords } from "../study/placementNote.ts";
import type { Run } from "../simulate/run.ts";
import { displayUnits, lengthText, threeFigures, type UnitSystem, volumeText, waterText } from "../text/format.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { percentText } from "../text/words.ts";
import type { Annotation, Axis, BarTrace, Figure, LineTrace, Shape, YAxis } from "./figure.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig, type Tone } from "./look.ts";
import { stackPanels } from "./panels.ts";
import { NARROW } from "./plotEdges.ts";
import { soilText } from "./runSubtitle.ts";
import { GROUNDWATER, groundwaterAt } from "./sectionDrawing.ts";
import { DAY_3 } from "./stateMoments.ts";

/** Half of a pit's width, of the distance between two places. */
const HALF_PIT = 0.27;

/** The lowest and highest level of a picture of the slope, in the axis' unit. */
function slopeRange(positions: readonly Position[]): [number, number] {
  const floors = positions.map(({ run }) => run.site.chamberBank.floor / unitOf(positions));
  const [low, high] = [leastOf(floors), greatestOf(groundLevels(positions))];
  const air = 0.08 * (high - low);
  return [low - air, high + air];
}

/**
 * The ground over the places and the water in each pit: pale to its highest, dark to where it stands two days after the rain began, and
 * hatched what of that is groundwater.
 */
function slopeTraces(positions: readonly Position[]): (LineTrace | BarTrace)[] {
  const { color } = lines.pit;
  return [
    {
      type: "scatter", mode: "lines", name: "ground", x: [-0.5, ...positions.map((_, i) => i), positions.length - 0.5],
      y: groundLevels(positions).map(shortNumber), line: { color: ink.text, width: 1.5 }, hoverinfo: "skip", xaxis: "x", yaxis: "y", showlegend: false,
    },
    waterBars(positions, "highest water", `${color}40`, ({ run }) => run.peaks.chamberBank!.level),
    waterBars(positions, `filled ${dayWords(positions)}`, `${color}c0`, ({ run }) => run.level("chamberBank", dayThree(run))),
    ...positions.flatMap(groundwaterIn),
  ];
}

/** When the third day begins, or the run's end before it [s]. */
function dayThree({ until }: Run): number {
  return Math.min(until, DAY_3);
}

function dayWords(positions: readonly Position[]): string {
  return positions.every(({ run }) => run.until >= DAY_3) ? "on day 3" : "at the end";
}

/** Groundwater in a pit on the third day, with a hatch of its own. */
function groundwaterIn({ run }: Position, i: number): LineTrace[] {
  const { chamberBank: { floor }, units } = run.site;
  const time = dayThree(run);
  const top = Math.min(run.level("chamberBank", time), groundwaterAt(run, time));
  if (!(top > floor)) return [];
  const [low, high] = [floor, top].map((level) => shortNumber(level / displayUnits(units).level.size)) as [number, number];
  const [left, right] = [i - HALF_PIT, i + HALF_PIT];
  return [{
    type: "scatter", mode: "lines", name: "groundwater in the pit", x: [left, left, right, right, left], y: [low, high, high, low, low],
    line: { color: "rgba(0,0,0,0)", width: 0 }, fill: "toself", fillcolor: ink.paper, fillpattern: { ...GROUNDWATER, bgcolor: "#b9c7d3" }, hoverinfo: "skip",
    xaxis: "x", yaxis: "y", showlegend: false,
  }];
}

/** The water table through all places, and each pit's walls, the crest at which it runs over, and the emitter's sill beside it. */
function slopeShapes(positions: readonly Position[], [low]: readonly [number, number]): Shape[] {
  const table = waterTable(positions);
  const pits = positions.flatMap(pitShapes);
  if (table === null || table[1] < low) return pits;
  return [{
    type: "rect", xref: "paper", yref: "y", x0: 0, x1: 1, y0: Math.max(low, table[0]), y1: table[1], line: { color: lines.rain.color, width: 1.5, dash: "longdash" },
    fillcolor: `${lines.rain.color}1c`, layer: "below",
  }, ...pits];
}

/**
 * At the left, where the pits stand over it, the water table's name under its line, or at the foot where it lies lower; and at
 * the foot what the marks of a pit are.
 */
function slopeLabels(positions: readonly Position[], [low]: readonly [number, number], size: number): Annotation[] {
  const table = waterTable(positions);
  const below = table === null || table[1] < low;
  const level = table === null ? " far below" : ` ${waterText(table[1] * unitOf(positions), positions[0]!.run.site.units)}`;
  const label = (text: string, y: number, yanchor: "top" | "bottom", yshift: number, color: string): Annotation => ({
    text, x: 0, y, xref: "paper", yref: "y", xanchor: "left", yanchor, xshift: 2, yshift, showarrow: false, align: "left", font: font(size, color),
  });
  const sill = positions[0]!.run.site.emitter === null ? "" : `   <span style="color:${lines.emitter.color}">▬ emitter's sill</span>`;
  const hatched = positions.some((position, i) => groundwaterIn(position, i).length > 0) ? `   <span style="color:${lines.rain.color}">▨ groundwater</span>` : "";
  return [
    label(`water table${level}${table !== null && below ? " ↓" : ""}`, below ? low : table[1], below ? "bottom" : "top", 0, lines.rain.color),
    label(`╍ runs over${sill}${hatched}`, low, "bottom", below ? 1.4 * size : 0, lines.trench.color),
  ];
}

function unitOf(positions: readonly Position[]): number {
  return displayUnits(positions[0]!.run.site.units).level.size;
}

/** At each place, and on beyond the outer ones as steep as there. */
function groundLevels(positions: readonly Position[]): number[] {
  const levels = positions.map(({ run }) => run.site.chamberBank.ground / unitOf(positions));
  const [first, second] = [levels[0]!, levels[1] ?? levels[0]!];
  const [last, before] = [levels.at(-1)!, levels.at(-2) ?? levels.at(-1)!];
  return [first + (first - second) / 2, ...levels, last + (last - before) / 2];
}

function waterBars(positions: readonly Position[], name: string, fill: string, levelOf: (position: Position) => number): BarTrace {
  const unit = unitOf(positions);
  const floorOf = ({ run }: Position): number => run.site.chamberBank.floor;
  return {
    type: "bar", name, x: positions.map((_, i) => i), base: positions.map((position) => shortNumber(floorOf(position) / unit)),
    y: positions.map((position) => shortNumber(Math.max(0, levelOf(position) - floorOf(position)) / unit)),
    width: positions.map(() => 2 * HALF_PIT),
    marker: { color: fill, line: { color: lines.pit.color, width: 0 } },
    customdata: positions.map((position) => waterText(levelOf(position), position.run.site.units)), hovertemplate: `${name}: %{customdata}<extra></extra>`,
    xaxis: "x", yaxis: "y", showlegend: false,
  };
}

function pitShapes({ run, crest }: Position, i: number): Shape[] {
  const { chamberBank: bank, emitter, units } = run.site;
  const unit = displayUnits(units).level.size;
  const across = (level: number, from: number, to: number, tone: Tone): Shape[] => [
    // on paper of its own, to be seen over water
    { ...lines[tone], color: ink.paper, width: 3, dash: "solid" as const }, { ...lines[tone], width: 2 },
  ].map((line) => ({ type: "line", xref: "x", yref: "y", x0: from, x1: to, y0: level / unit, y1: level / unit, line, layer: "above" }));
  return [
    {
      type: "rect", xref: "x", yref: "y", x0: i - HALF_PIT, x1: i + HALF_PIT, y0: bank.floor / unit, y1: bank.stoneTop / unit,
      line: { color: ink.text, width: 1 }, layer: "above",
    },
    ...across(crest, i - HALF_PIT, i + HALF_PIT, "trench"),
    ...(emitter === null ? [] : across(emitter.crest, i + HALF_PIT, i + HALF_PIT + 0.14, "emitter")),
  ];
}

/** Lowest and highest water table of the pits' site, in the axis' unit; null where it is far below. */
function waterTable(positions: readonly Position[]): [number, number] | null {
  const series = positions[0]!.run.site.chamberBank.groundwater;
  return series === null ? null : [leastOf(series.level) / unitOf(positions), greatestOf(series.level) / unitOf(positions)];
}

/**
 * The same works at several places of a slope, from the highest on the left to the lowest on the right: each pit at its true
 * height over the one water table, and under each how long it is full, the room it starts with, and what its emitter lets out.
 * The title is the answer.
 */
export function placementFigure({ positions }: Placement, options: FigureOptions = {}): Figure {
  const width = options.width ?? 960;
  const narrow = width < NARROW;
  const { small } = letterSizes(width);
  const { run } = positions[0]!;
  const { units, emitter } = run.site;
  const rows = barRows(positions).filter(({ tone }) => tone !== "emitter" || emitter !== null);
  const stack = stackPanels([
    { heading: `levels in ${displayUnits(units).level.label}; water dark ${dayWords(positions)}, pale at its highest`, height: narrow ? 220 : 280 },
    ...rows.map((row) => ({ heading: row.heading, height: (narrow ? 40 : 48) + (isAlarming(row) ? small * 1.3 : 0) })),
  ], width);
  const answer = placementAnswer(positions);
  const subtitle = [run.site.name, ...(options.storm === undefined ? [] : [options.storm])].map((name) => plainText(name, 60)).join(" · ");
  const title = options.title === false ? null
    : answerTitle(plotText(answer, Infinity), plotText(`${subtitle} · ${soilText(run.site)}`, Infinity), width);
  const top = title?.height ?? 4;
  const range = slopeRange(positions);
  const axes = rows.map((row, i): [string, Axis] => [axisName(i + 1).replace("y", "yaxis"), {
    domain: stack.domains[i + 1]!, range: [0, row.most * (isAlarming(row) ? 2.2 : 1.5)], fixedrange: true, showticklabels: false,
    showgrid: false, zeroline: false,
  }]);
  return {
    data: [...slopeTraces(positions), ...rows.map((row, i) => rowTrace(row, axisName(i + 1)))],
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(top + stack.height + BOTTOM),
      margin: { l: narrow ? 40 : 50, r: narrow ? 12 : 20, t: top, b: BOTTOM },
      hovermode: "closest",
      dragmode: false,
      barmode: "overlay",
      xaxis: {
        ...quietAxis(width), range: [-0.5, positions.length - 0.5], anchor: axisName(rows.length), fixedrange: true, showgrid: false,
        tickvals: positions.map((_, i) => i), ticktext: positions.map(({ height }) => placeTick(height, units)),
        tickfont: font(small, ink.text),
      },
      yaxis: { ...quietAxis(width), domain: stack.domains[0]!, range, fixedrange: true, nticks: 6 },
      ...Object.fromEntries(axes),
      annotations: [
        ...stack.headings, ...slopeLabels(positions, range, small), ...rows.flatMap((row, i) => rowLabels(row, axisName(i + 1), small)),
      ],
      shapes: slopeShapes(positions, range),
    },
    config: quietConfig(),
    answer,
    description: `The same works at ${positions.length} places of a slope. ${answer} ${positions.map(positionWords).join("; ")}.`,
  };
}

const BOTTOM = 44;

function placementAnswer(positions: readonly Position[]): string {
  const { units } = positions[0]!.run.site;
  const [high, low] = [positions[0]!, positions.at(-1)!];
  const state = (position: Position): string => `${fullWords(position)} ${placeWords(position.height, units)}`;
  if (positions.length === 1) return `The pit is ${state(low)}.`;
  if ((low.groundwaterOverFloor ?? 0) > 0) return `The water table fills the low place: the pit is ${state(low)} and ${state(high)}.`;
  const alike = fullWords(low) === fullWords(high) ? `${fullWords(low)} at the lowest as at the highest` : `${state(low)} and ${state(high)}`;
  return `The water table lies below the pit at every place: it is ${alike}.`;
}

/** A number at each place. */
interface BarRow {
  readonly heading: string;
  readonly tone: Tone;
  readonly values: readonly number[];
  /** value whose bar is whole */
  readonly most: number;
  readonly labels: readonly string[];
  /** what is wrong at a place, in a word */
  readonly alarms: readonly (string | null)[];
}

function barRows(positions: readonly Position[]): BarRow[] {
  const { label, size } = displayUnits(positions[0]!.run.site.units).volume;
  const none = positions.map(() => null);
  const shares = positions.map(({ fullShare }) => fullShare);
  const volumes = (heading: string, tone: Tone, volume: readonly number[], alarms: BarRow["alarms"]): BarRow => ({
    heading: `${heading}, ${label}`, tone, values: volume.map((each) => each / size), most: greatestOf([...volume, 1e-6]) / size,
    labels: volume.map((each) => threeFigures(each / size)), alarms,
  });
  const emitted = positions.map(({ run }) => run.emitted);
  return [
    { heading: "share of the time in which the pit is full", tone: "pit", values: shares, most: 1, labels: shares.map((share) => percentText(share)), alarms: none },
    volumes("room for rain at the start", "trench", positions.map(({ freeVolume }) => freeVolume), none),
    volumes("let out by the emitter", "emitter", emitted, positions.map(({ drowned }) =>
      (drowned === null ? null : drowned === "runs on without rain" ? "runs on" : "drowned"))),
  ];
}

function isAlarming({ alarms }: BarRow): boolean {
  return alarms.some((alarm) => alarm !== null);
}

function rowTrace({ heading, tone, values, labels }: BarRow, yaxis: YAxis): BarTrace {
  const { color } = lines[tone];
  return {
    type: "bar", name: heading, x: values.map((_, i) => i), y: values.map(shortNumber), width: values.map(() => 2 * HALF_PIT),
    marker: { color: `${color}a0`, line: { color, width: 1 } }, customdata: [...labels], hovertemplate: `${heading}: %{customdata}<extra></extra>`,
    xaxis: "x", yaxis, showlegend: false,
  };
}

function rowLabels({ tone, values, labels, alarms }: BarRow, yref: YAxis, size: number): Annotation[] {
  return values.map((value, i) => ({
    text: alarms[i] === null ? labels[i]! : `<b>${alarms[i]!}</b><br>${labels[i]!}`, x: i, y: value, xref: "x", yref, xanchor: "center",
    yanchor: "bottom", showarrow: false, font: font(size, lines[tone].color),
  }));
}

function placeTick(height: number, units: UnitSystem): string {
  return height === 0 ? "as<br>built" : `${lengthText(Math.abs(height), units)}<br>${height > 0 ? "up" : "down"}`;
}

function positionWords(position: Position): string {
  const { units } = position.run.site;
  const drowned = position.drowned === null ? "" : position.drowned === "runs on without rain" ? ", its emitter runs on without rain"
    : `, its emitter drowned by ${position.drowned}`;
  return `${placeWords(position.height, units)}: ${fullWords(position)}, room for ${volumeText(position.freeVolume, units)}${drowned}`;
}

function axisName(i: number): YAxis {
  return i === 0 ? "y" : (`y${i + 1}` as YAxis);
}
