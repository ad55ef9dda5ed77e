import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { displayUnits, levelText } from "../text/format.ts";
import type { Position } from "../study/placement.ts";
import type { Annotation, BarTrace, LineTrace, Shape } from "./figure.ts";
import { font, ink, lines, type Tone } from "./look.ts";
import { shortNumber } from "../text/shortNumber.ts";

/** Half of a pit's width, of the distance between two places. */
export const HALF_PIT = 0.27;

/** The lowest and highest level of a picture of the slope, in the axis' unit. */
export function slopeRange(positions: readonly Position[]): [number, number] {
  const floors = positions.map(({ run }) => run.site.chamberBank.floor / unitOf(positions));
  const [low, high] = [leastOf(floors), greatestOf(groundLevels(positions))];
  const air = 0.08 * (high - low);
  return [low - air, high + air];
}

/** The ground over the places and the water in each pit: pale to its highest, dark to where it stands half of the time. */
export function slopeTraces(positions: readonly Position[]): (LineTrace | BarTrace)[] {
  const { color } = lines.pit;
  return [
    {
      type: "scatter", mode: "lines", name: "ground", x: [-0.5, ...positions.map((_, i) => i), positions.length - 0.5],
      y: groundLevels(positions).map(shortNumber), line: { color: ink.text, width: 1.5 }, hoverinfo: "skip", xaxis: "x", yaxis: "y", showlegend: false,
    },
    waterBars(positions, "highest water", `${color}40`, ({ run }) => run.peaks.chamberBank!.level),
    waterBars(positions, "filled half of the time", `${color}c0`, ({ medianLevel }) => medianLevel),
  ];
}

/** The water table through all places, and each pit's walls, the crest at which it runs over, and the emitter's sill beside it. */
export function slopeShapes(positions: readonly Position[], [low]: readonly [number, number]): Shape[] {
  const table = waterTable(positions);
  const pits = positions.flatMap(pitShapes);
  if (table === null || table[1] < low) return pits;
  return [{
    type: "rect", xref: "paper", yref: "y", x0: 0, x1: 1, y0: Math.max(low, table[0]), y1: table[1], line: { color: lines.pit.color, width: 1.5, dash: "dash" },
    fillcolor: `${lines.pit.color}14`, layer: "below",
  }, ...pits];
}

/**
 * At the left, where the pits stand over it, the water table's name under its line, or at the foot where it lies lower; and at
 * the foot what the marks of a pit are.
 */
export function slopeLabels(positions: readonly Position[], [low]: readonly [number, number], size: number): Annotation[] {
  const table = waterTable(positions);
  const below = table === null || table[1] < low;
  const level = table === null ? " far below" : ` ${levelText(table[1] * unitOf(positions), positions[0]!.run.site.units)}`;
  const label = (text: string, y: number, yanchor: "top" | "bottom", yshift: number, color: string): Annotation => ({
    text, x: 0, y, xref: "paper", yref: "y", xanchor: "left", yanchor, xshift: 2, yshift, showarrow: false, align: "left", font: font(size, color),
  });
  const sill = positions[0]!.run.site.emitter === null ? "" : `   <span style="color:${lines.emitter.color}">▬ emitter's sill</span>`;
  return [
    label(`water table${level}${table !== null && below ? " ↓" : ""}`, below ? low : table[1], below ? "bottom" : "top", 0, lines.pit.color),
    label(`╍ runs over${sill}`, low, "bottom", below ? 1.4 * size : 0, lines.trench.color),
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
    customdata: positions.map((position) => levelText(levelOf(position), position.run.site.units)), hovertemplate: `${name}: %{customdata}<extra></extra>`,
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
