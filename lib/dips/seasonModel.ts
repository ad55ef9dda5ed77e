import { remembered } from "../numerics/remembered.ts";
import { waterViscosityRatio } from "../ground/waterViscosity.ts";
import { seepagePath } from "../site/seepagePath.ts";
import { seriesLevel } from "../ground/seriesLevel.ts";
import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { firstAfter } from "../numerics/firstAfter.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import type { Hydrograph } from "../runoff/hydrograph.ts";
import { inflowHydrographs } from "../simulate/inflowHydrographs.ts";
import { sumHydrographs } from "../runoff/sumHydrographs.ts";
import { networkOf } from "../simulate/assemble.ts";
import type { Run } from "../simulate/run.ts";
import { simulate } from "../simulate/simulate.ts";
import type { Site } from "../site/site.ts";
import { asBuiltWorks } from "./asBuiltWorks.ts";
import type { Unknown } from "./leastSquares.ts";

/** A season of levels beside the rain that fell in it; all times count from the rain's first moment [s]. */
export interface SeasonRecord {
  readonly site: Site;
  readonly rain: Hyetograph;
  readonly time: Float64Array;
  /** levels in the site's datum [m] */
  readonly level: Float64Array;
  /** 1 where the sensor stood dry: the water was no higher than `dryAt` */
  readonly dry: Uint8Array;
  /** level of the sensor [m] */
  readonly dryAt: number;
  /** visits at which the works were cleaned [s] */
  readonly cleanings: readonly number[];
  /** a moment that nobody told, from which on the soil takes in more or less, at once or more and more [s]; where missing none */
  readonly change?: Change;
  /** of the water in the ground: its mean and half swing over the year [degC], its warmest moment [s]; null: one temperature */
  readonly warmth: { readonly mean: number; readonly swing: number; readonly warmest: number } | null;
}

/** A change of what the soil takes in: a step at a moment, or a trend that begins there. */
export interface Change {
  readonly kind: "step" | "trend";
  readonly at: number;
  /** whether the season has a trend of its own beside it; where missing it has */
  readonly withTrend?: boolean;
}

/** What a season can tell; see `seasonModel`. `cleaned 1` is the first cleaning. */
export type SeasonName = "soil" | "floor" | "waterTable" | "roof" | "trend" | "tableSine" | "tableCosine" | "drift" | "change" | `cleaned ${number}`;

/** The works through a season as a model of its levels. */
export interface SeasonModel {
  readonly names: readonly SeasonName[];
  readonly unknowns: readonly Unknown[];
  /** levels at the readings, the sensor's drift in them [m] */
  levels(values: readonly number[]): Float64Array;
  /** the run that stands behind them, on its own clock, and that clock of a moment [s] */
  run(values: readonly number[]): { readonly run: Run; readonly clock: Pick<Clock, "of" | "all"> };
}

/**
 * The works through months of rain. The unknowns, each as the fit counts it:
 *
 *   soil        ln of all conductivities over the design's, at the end of the record where they change in it
 *   floor       the pit's floor over its sides, as shares of the design's
 *   waterTable  mean level of the groundwater [m]; tableSine, tableCosine: what the year adds to it [m]
 *   roof        ln of the water that ran in over what the rain brings by the file
 *   trend       ln of what the soil takes in, a year on over now: a floor that silts up is below 0 [1/year]
 *   cleaned k   ln of what the soil takes in after the k-th cleaning over before
 *   change      of a change at a moment: ln of what the soil takes in after a step over before, or a year after a trend began over then
 *   drift       of the sensor over the whole record [m]
 *
 * Levels tell conductivity and roof over the room in the works and never these by themselves: the room is taken as drawn here, and its
 * doubt (`roomDoubt`) goes into the bands.
 *
 * What changes the soil's conductivity in time, k(t), as warmth, a trend or a cleaning, is put into the clock: with dT = k dt
 *
 *   dV/dt = q - k F(V)   is   dV/dT = q/k - F(V)
 *
 * so the stepper runs unchanged, its inflow and water table told by that clock. Pipes and lid run by it too, by a share as small as k
 * is off 1, for minutes: nothing that a reading shows.
 */
export function seasonModel(record: SeasonRecord): SeasonModel {
  const { site, rain, time, level, cleanings } = record;
  const days = (time.at(-1)! - time[0]!) / DAY;
  const until = greatestOf([time.at(-1)!, rain.time.at(-1)!]);
  const names: SeasonName[] = [
    "soil", ...(hasBothFaces(site) ? ["floor" as const] : []), "waterTable", "roof",
    ...(days >= LONG && record.change?.withTrend !== false ? ["trend" as const] : []), ...(days >= SEASON ? ["tableSine" as const, "tableCosine" as const] : []),
    ...cleanings.map((_, i) => `cleaned ${i + 1}` as const), ...(record.change === undefined ? [] : ["change" as const]), "drift",
  ];
  const bounds = boundsOf(record);
  const at = new Map(names.map((name, j) => [name, j]));
  const given = inflowHydrographs(site, rain);
  const edges = clockEdges(until, record.change === undefined ? cleanings : [...cleanings, record.change.at]);
  const works = asBuiltWorks(site);
  const body = networkOf(site).bodies.find(({ kind }) => kind === "bank")!;
  const value = (values: readonly number[], name: SeasonName, missing: number): number => (at.has(name) ? values[at.get(name)!]! : missing);
  const run = (values: readonly number[]): ReturnType<SeasonModel["run"]> => {
    const clock = clockOf(record, edges, value(values, "trend", 0), cleanings.map((_, i) => value(values, `cleaned ${i + 1}`, 0)),
      value(values, "change", 0));
    const [mean, sine, cosine] = [value(values, "waterTable", NaN), value(values, "tableSine", 0), value(values, "tableCosine", 0)];
    const table = sine === 0 && cosine === 0 ? mean : {
      time: edges.map((moment) => clock.of(moment)),
      level: edges.map((moment) =>
        mean + sine * Math.sin((2 * Math.PI * moment) / YEAR) + cosine * Math.cos((2 * Math.PI * moment) / YEAR)),
    };
    const began = body.start(typeof table === "number" ? table : seriesLevel(table, 0));
    const roof = Math.exp(value(values, "roof", 0));
    const inflows: Record<string, Hydrograph> = Object.fromEntries(Object.entries(given).map(([name, flow]) => [name, clock.told(flow,
      roof)]));
    // what stands in the pit at the first reading is of rain before the record
    const stood = record.dry[0] === 1 ? 0 : body.volume(level[0]!) - body.volume(began);
    const first = clock.of(time[0]!);
    const poured = stood > 0 && time[0]! <= rain.time[0]! + DAY ? pulse(Math.max(0, first - POURING), stood) : null;
    if (poured !== null) {
      const other = inflows[body.name];
      inflows[body.name] = other === undefined ? poured : sumHydrographs([other, poured]);
    }
    const built = works({ soil: Math.exp(value(values, "soil", 0)), floor: value(values, "floor", 1), waterTable: table, leak: null });
    return { run: simulate(built, inflows, { until: clock.of(until) + 1, tolerance: TOLERANCE }), clock };
  };
  const dryRun = remembered((values: readonly number[]) => {
    const { run: made, clock } = run(values);
    return made.levels(body.name, clock.all(time));
  }, KEPT_RUNS, (values) => values.join());
  const driftAt = at.get("drift")!;
  const span = time.at(-1)! - time[0]!;
  return {
    names, unknowns: names.map((name) => bounds(name)),
    levels: (values) => {
      const drift = values[driftAt]!;
      return dryRun(values.with(driftAt, 0)).map((water, i) => water + drift * ((time[i]! - time[0]!) / span));
    },
    run,
  };
}

/** Days of record from which a trend, and a season of the water table, can be asked for. */
const LONG = 75;
const SEASON = 150;

const DAY = 86_400;
/** [s] */
export const YEAR: number = 365.25 * DAY;

/** Levels to a hundredth of a millimetre: slopes are differences of runs. */
const TOLERANCE = 2e-6;

/** Levels of runs that are kept: slopes at the ends of three searches, which the next round of errors begins with. */
const KEPT_RUNS = 36;

const POURING = 1800;

/** Whether floor and sides both count, so that they can be told apart. */
function hasBothFaces({ soil, chamberBank }: Site): boolean {
  return soil.floor && soil.sides && chamberBank.openFloorShare > 0;
}

/** What runs off a roof and what a gauge beside it tells, over what the file says; own estimate, no source. */
const ROOF_ERROR = 0.25;

/**
 * Slopes are differences over wide steps: of thousands of readings each has a little of the stepper's error, or an opening of the lid
 * more, in its slope, which must not add up to knowledge.
 */
function boundsOf({ site, time, level, dry, change }: SeasonRecord): (name: SeasonName) => Unknown {
  const { chamberBank, groundwater } = site;
  const { floor } = chamberBank;
  const path = seepagePath(groundwater, chamberBank.width);
  const wet = level.filter((_, i) => dry[i] === 0);
  const top = wet.length === 0 ? floor : greatestOf(wet);
  const designed = seriesLevel(chamberBank.groundwater, 0);
  const [lowest, highest] = [floor - 1.05 * path, Math.max(floor, top)];
  const within = Math.min(highest - 0.01, Math.max(lowest, Math.max(designed, floor - path)));
  const years = (time.at(-1)! - time[0]!) / YEAR;
  return (name) => {
    switch (name) {
      case "soil": return { start: 0, size: 0.2, step: 0.1, low: Math.log(1e-3), high: Math.log(1e3) };
      case "floor": return { start: 1, size: 0.3, step: 0.1, low: 0, high: 100, prior: { mean: 1, deviation: 3 } };
      case "waterTable": return { start: Math.min(within, leastOf(wet.length === 0 ? [floor] : [...wet])), size: 0.2, step: 0.05, low: lowest, high: highest, prior: { mean: within, deviation: path } };
      case "roof": return { start: 0, size: 0.1, step: 0.05, low: -2, high: 2, prior: { mean: 0, deviation: ROOF_ERROR } };
      case "change": return { start: 0, size: 0.3, step: 0.1, low: -8, high: 8, prior: { mean: 0, deviation: change?.kind === "trend" ? 3 : 1 } };
      case "trend": return { start: 0, size: 0.3, step: 0.2, low: -6, high: 6, prior: { mean: 0, deviation: 1 } };
      case "tableSine": case "tableCosine": return { start: 0, size: 0.1, step: 0.05, low: -2, high: 2, prior: { mean: 0, deviation: 0.3 } };
      case "drift": return { start: 0, size: 0.01, step: 0.005, low: -0.3, high: 0.3, prior: { mean: 0, deviation: 0.02 * Math.max(0.25, years) } };
      default: return { start: 0, size: 0.3, step: 0.1, low: -4, high: 4, prior: { mean: 0, deviation: 1 } };
    }
  };
}

/** Moments at which the clock bends: five days apart, and the cleanings. */
function clockEdges(until: number, cleanings: readonly number[]): number[] {
  const count = Math.max(1, Math.ceil(until / (5 * DAY)));
  const even = Array.from({ length: count + 1 }, (_, i) => (until * i) / count);
  return [...new Set([...even, ...cleanings.filter((moment) => moment > 0 && moment < until)])].sort((a, b) => a - b);
}

interface Clock {
  of(time: number): number;
  /** of times that rise */
  all(times: Float64Array): Float64Array;
  told(flow: Hydrograph, factor: number): Hydrograph;
}

function clockOf(
  { warmth, time, cleanings, change }: SeasonRecord, edges: readonly number[], trend: number, steps: readonly number[], changed: number,
): Clock {
  const end = time.at(-1)!;
  const factorAt = (moment: number): number => {
    const warm = warmth === null ? 1
      : waterViscosityRatio(warmth.mean) / waterViscosityRatio(Math.min(40, Math.max(0,
        warmth.mean + warmth.swing * Math.cos((2 * Math.PI * (moment - warmth.warmest)) / YEAR))));
    // against the end of the record: the soil is that of then
    const cleaned = steps.reduce((sum, step, i) => sum + (moment < cleanings[i]! ? -step : 0), 0);
    const before = change === undefined ? 0 : change.kind === "step" ? (moment < change.at ? -1 : 0)
      : (Math.max(moment, change.at) - end) / YEAR;
    return warm * Math.exp((trend * (moment - end)) / YEAR + cleaned + changed * before);
  };
  // one factor between two edges: that of the middle between them
  const factors = edges.slice(1).map((edge, i) => factorAt((edge + edges[i]!) / 2));
  const told = [0];
  factors.forEach((factor, i) => told.push(told[i]! + factor * (edges[i + 1]! - edges[i]!)));
  const piece = (moment: number): number => Math.min(factors.length - 1, Math.max(0, firstAfter(edges, moment) - 1));
  const of = (moment: number): number => {
    const i = piece(moment);
    return told[i]! + factors[i]! * (moment - edges[i]!);
  };
  const along = (times: Float64Array, value: (moment: number, piece: number, i: number) => number): Float64Array => {
    const made = new Float64Array(times.length);
    let at = times.length === 0 ? 0 : piece(times[0]!);
    for (let i = 0; i < times.length; i++) {
      const moment = times[i]!;
      while (at < factors.length - 1 && edges[at + 1]! <= moment) at++;
      made[i] = value(moment, at, i);
    }
    return made;
  };
  const all = (times: Float64Array): Float64Array => along(times, (moment, at) => told[at]! + factors[at]! * (moment - edges[at]!));
  return {
    of, all,
    told: ({ time: times, flow }, factor) => ({ time: all(times), flow: along(times, (_, at, i) => (flow[i]! * factor) / factors[at]!) }),
  };
}

function pulse(from: number, volume: number): Hydrograph {
  return { time: Float64Array.of(from, from + POURING), flow: Float64Array.of(volume / POURING, volume / POURING) };
}
