import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { hydrograph, type Hydrograph } from "../runoff/hydrograph.ts";
import { sumHydrographs } from "../runoff/sumHydrographs.ts";
import { networkOf } from "../simulate/assemble.ts";
import { seriesLevel } from "../ground/seriesLevel.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { seepagePath } from "../site/seepagePath.ts";
import type { Site } from "../site/site.ts";
import { asBuiltWorks, type AsBuilt } from "./asBuiltWorks.ts";
import type { Dips } from "./dips.ts";
import type { Model, Unknown } from "./leastSquares.ts";

/** What may be wrong with works besides the soil as a whole. */
export type Cause = "floor" | "waterTable" | "leak" | "dry";

/** What a fill test can find out; each is one unknown of the fit. */
export type UnknownName = "hose" | "start" | "soil" | "floor" | "waterTable" | "leakLevel" | "leakFlow" | "dry";

/** How the water came in: by a hose whose flow is roughly known, or anyhow, up to the first dip. */
export type Filling =
  | {
    readonly by: "hose"; readonly into: string; readonly flow: number; readonly duration: number;
    /** what its flow is known to, one standard deviation of its logarithm */
    readonly within: number;
  }
  | { readonly by: "firstDip" };

/** A fill test as it was made: the design it is held against, and the dips in which water stood in the pit. */
export interface FilledPit {
  readonly site: Site;
  readonly filling: Filling;
  readonly dips: Dips;
}

/** The works with some causes in play: their unknowns, and the levels they would have shown. */
export interface FillModel {
  readonly causes: readonly Cause[];
  readonly names: readonly UnknownName[];
  readonly unknowns: readonly Unknown[];
  /** levels at the dips [m] */
  readonly atDips: Model;
  /** levels at other times of the test's clock [m] */
  readonly levels: (values: readonly number[], times: ArrayLike<number>) => Float64Array;
}

/**
 * The works of a fill test as a model of its levels. The unknowns, each as the fit counts it:
 *
 *   hose        ln of the true flow over the given one: it stands for the water that went in, the hose's and the stone's doubt in one
 *   start       without a hose: the level to which the pit is filled, in the ten minutes before the first dip [m]
 *   soil        the conductivity of floor and sides over the design's; there unless `soil` is false
 *   floor       the floor's conductivity over the sides', both as shares of the design's; 0 is sealed
 *   waterTable  one level of the groundwater [m]
 *   leakLevel   level of a hole in the side [m]
 *   leakFlow    its flow with the water at the highest dip [m3/s]
 *   dry         what dry soil drinks beside that, an hour after the water came in; it goes with 1/sqrt(time) [m3/s]
 *
 * Flows are straight lines in soil, floor and leakFlow, and these may be nothing: by their logarithms the model would bend more
 * and have no end on that side.
 *
 * A mound under the pit is left out: the hours of a test are too short for one to show.
 */
export function fillModel(pit: FilledPit, causes: readonly Cause[], soil = true): FillModel {
  const names: UnknownName[] = [
    pit.filling.by === "hose" ? "hose" : "start",
    ...(soil ? ["soil" as const] : []),
    ...causes.flatMap((cause) => NAMES[cause]),
  ];
  const bounds = boundsOf(pit);
  const levels = levelsOf(pit, names);
  return {
    causes, names,
    unknowns: names.map((name) => bounds[name]),
    levels,
    atDips: (values) => levels(values, pit.dips.time),
  };
}

const NAMES: Readonly<Record<Cause, readonly UnknownName[]>> = { floor: ["floor"], waterTable: ["waterTable"], leak: ["leakLevel", "leakFlow"], dry: ["dry"] };

/** Whether an unknown is counted by its logarithm. */
export function isLogarithm(name: UnknownName): boolean {
  return name === "hose";
}

/** The works that some values stand for. */
export function asBuiltOf(pit: FilledPit, names: readonly UnknownName[], values: readonly number[]): AsBuilt & {
  readonly waterTable: number | null } {
  const value = (name: UnknownName, missing: number): number => (names.includes(name) ? values[names.indexOf(name)]! : missing);
  return {
    soil: value("soil", 1),
    floor: value("floor", 1),
    waterTable: names.includes("waterTable") ? value("waterTable", NaN) : null,
    leak: names.includes("leakLevel")
      ? { level: value("leakLevel", NaN), flow: value("leakFlow", NaN), full: highest(pit) } : null,
  };
}

/** Runs finer than any tape reads, so that differences between runs mean something. */
const TOLERANCE = 1e-7;

/** How long before the first dip water is let in where nobody says how it came in [s]; of no consequence. */
const POURING = 600;

function levelsOf(pit: FilledPit, names: readonly UnknownName[]): FillModel["levels"] {
  const { filling, dips } = pit;
  const { groundwater } = pit.site;
  const site = groundwater.mounding === null ? pit.site : Object.freeze({ ...pit.site, groundwater: { ...groundwater, mounding: null } });
  const works = asBuiltWorks(site);
  const bank = networkOf(site).bodies.find(({ kind }) => kind === "bank")!;
  const into = filling.by === "hose" ? filling.into : bank.name;
  const clock = filling.by === "hose" ? 0 : dips.time[0]! - POURING;
  return (values, times) => {
    const asBuilt = asBuiltOf(pit, names, values);
    const began = bank.volume(bank.start(asBuilt.waterTable ?? seriesLevel(bank.groundwater, 0)));
    const flow = filling.by === "hose"
      ? pulse(filling.flow * Math.exp(values[0]!), filling.duration)
      : pulse((bank.volume(values[0]!) - began) / POURING, POURING);
    const moments = Float64Array.from(times, (time) => time - clock);
    const until = greatestOf([1, ...moments]);
    const drunk = names.includes("dry") ? values[names.indexOf("dry")]! : 0;
    const water = drunk === 0 ? { [into]: flow }
      : into === bank.name ? { [into]: sumHydrographs([flow, thirst(drunk, until)]) } : { [into]: flow, [bank.name]: thirst(drunk, until) };
    return settledRun(works(asBuilt), water, { until, tolerance: TOLERANCE }).levels(bank.name, moments);
  };
}

function pulse(flow: number, duration: number): Hydrograph {
  return hydrograph({ time: [0, duration], flow: [flow, flow] });
}

/**
 * What dry soil draws in by suction, S A/(2 sqrt t), as straight lines between moments; a minute stands for all before it.
 *
 * @param anHourOn  its flow after an hour [m3/s]
 * @source  sorptivity: Philip, Soil Science 84, 1957, from memory
 */
function thirst(anHourOn: number, until: number): Hydrograph {
  const count = Math.max(2, Math.ceil(8 * Math.log2(Math.max(2, until / 60))));
  const time = Float64Array.from({ length: count }, (_, i) => 60 * (until / 60 > 1 ? until / 60 : 2) ** (i / (count - 1)));
  return hydrograph({ time: [0, ...time], flow: [-anHourOn * Math.sqrt(60), ...time.map((moment) =>
    -anHourOn * Math.sqrt(3600 / moment))] });
}

export function highest({ dips }: FilledPit): number {
  return greatestOf(dips.level);
}

function boundsOf(pit: FilledPit): Readonly<Record<UnknownName, Unknown>> {
  const { site: { chamberBank, groundwater }, dips } = pit;
  const { floor, ground } = chamberBank;
  const [top, lowest] = [highest(pit), leastOf(dips.level)];
  // a hole that fewer dips saw running could stand for the error of any one
  const third = [...dips.level].sort((a, b) => b - a)[Math.min(2, dips.level.length - 1)]!;
  const path = seepagePath(groundwater, chamberBank.width);
  const falls = fallFlow(pit);
  return {
    hose: { start: 0, size: 0.2, low: -TENFOLD, high: TENFOLD },
    // the water falls by little in ten minutes, but may spread to trench and box
    start: { start: dips.level[0]!, size: 0.1, low: Math.max(floor, dips.level[0]! - 0.2), high: Math.min(ground, dips.level[0]! + 1) },
    soil: { start: 1, size: 0.3, low: 0, high: 1000 },
    floor: { start: 0.3, size: 0.5, low: 0, high: 1000 },
    // deeper, it is ignored: the gradient stays 1 from the path's length on
    waterTable: { start: lowest - path / 3, size: 0.2, low: Math.min(lowest, floor) - 1.05 * path, high: top },
    leakLevel: { start: (floor + top) / 2, size: 0.1, low: floor, high: Math.max(floor, third) },
    leakFlow: { start: falls / 2, size: falls / 4, low: 0, high: 100 * falls },
    dry: { start: falls / 2, size: falls / 4, low: 0, high: 30 * falls },
  };
}

const TENFOLD = Math.LN10;

/** A fall larger than a tape's errors [m]. */
const CLEAR = 0.02;

/** About what the pit loses at its fullest, by the fall over the first dips after the highest [m3/s]. */
function fallFlow(pit: FilledPit): number {
  const { site, dips: { time, level } } = pit;
  const bank = networkOf(site).bodies.find(({ kind }) => kind === "bank")!;
  const from = level.indexOf(highest(pit));
  const to = level.findIndex((water, i) => i > from && water < level[from]! - CLEAR);
  const end = to < 0 ? level.length - 1 : to;
  const lost = bank.volume(level[from]!) - bank.volume(level[end]!);
  return Math.max(1e-9, lost / Math.max(1, time[end]! - time[from]!));
}
