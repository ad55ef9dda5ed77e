import { greatestOf } from "../numerics/extremes.ts";
import { displayUnits, lengthText, threeFigures, volumeText, type UnitSystem } from "../text/format.ts";
import type { Placement, Position } from "../study/placement.ts";
import { fullWords, placeWords } from "../study/placementNote.ts";
import type { Annotation, Axis, BarTrace, Figure, YAxis } from "./figure.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig, type Tone } from "./look.ts";
import { stackPanels } from "./panels.ts";
import { HALF_PIT, slopeLabels, slopeRange, slopeShapes, slopeTraces } from "./placementSlope.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { NARROW } from "./plotEdges.ts";
import { soilText } from "./runSubtitle.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { percentText } from "../text/words.ts";

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
    { heading: `levels in ${displayUnits(units).level.label}; water dark half of the time, pale at its highest`, height: narrow ? 220 : 280 },
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
