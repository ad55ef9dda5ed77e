import { normalDraw } from "../numerics/draw.ts";
import { designStorm, type DesignStormOptions } from "../rain/designStorm.ts";
import { networkOf } from "../simulate/assemble.ts";
import { coarseTolerance } from "../simulate/runOptions.ts";
import { simulate } from "../simulate/simulate.ts";
import type { Run } from "../simulate/run.ts";
import { variedSite } from "../simulate/variedSite.ts";
import type { Site } from "../site/site.ts";
import { optionReader } from "../units/optionReader.ts";

/** What is not known, and how often it is drawn. */
export interface EnsembleOptions {
  /** number of runs, 1 or more */
  readonly runs: number;
  /** whole, 0 or more; the same seed gives the same runs */
  readonly seed: number;
  /** the storm as `designStorm` takes it */
  readonly storm: DesignStormOptions;
  /** 95 percent of conductivities lie within this factor of the site's, log-normal; 1 or more, 1 where missing */
  readonly conductivityWithin?: number;
  /** and of storm depths within this factor of the storm's */
  readonly depthWithin?: number;
  /** end of each run, as in `simulate` */
  readonly until?: string | number;
}

/** One number a run in each column; NaN where a run has none. */
export interface EnsembleColumns {
  readonly conductivityFactor: Float64Array;
  /** [m] */
  readonly stormDepth: Float64Array;
  /** peak level of each body [m] */
  readonly peaks: Readonly<Record<string, Float64Array>>;
  /** through the emitter [m3] and for how long [s]; when it first opens [s] */
  readonly emitterVolume: Float64Array;
  readonly openTime: Float64Array;
  readonly firstFiring: Float64Array;
  /** over rims and through the ground [m3] */
  readonly spilled: Float64Array;
  /** drain-down of the bank: half empty, empty [s] */
  readonly half: Float64Array;
  readonly empty: Float64Array;
}

/** Something that makes runs `from` to `to - 1` of an ensemble elsewhere, such as `threadPool` of node.js. */
export interface StudyPool {
  readonly threads: number;
  ensemble(site: Site, options: EnsembleOptions, from: number, to: number): Promise<EnsembleColumns>;
}

/**
 * Runs one storm on a site many times over, with its conductivity and the storm's depth drawn anew each time.
 *
 * Each run is made with the tolerance of `coarseTolerance`.
 * Run i draws from (seed, i) alone, so the result is the same, to the last bit, on one thread or many.
 *
 * @param pool  makes the runs; without one they are made here, one after the other
 * @throws InputError  with all problems
 */
export async function ensemble(site: Site, options: EnsembleOptions, pool?: StudyPool): Promise<EnsembleColumns> {
  const { runs } = readOptions(options);
  if (pool === undefined) return ensembleRuns(site, options, 0, runs);
  const starts = Array.from({ length: Math.ceil(runs / CHUNK) }, (_, i) => i * CHUNK);
  const parts = await Promise.all(starts.map((from) => pool.ensemble(site, options, from, Math.min(runs, from + CHUNK))));
  return joined(parts, runs);
}

/** runs handed to a thread at a time: long against the way there and back, short against the whole */
const CHUNK = 200;

/** Runs `from` to `to - 1` of an ensemble. */
export function ensembleRuns(site: Site, options: EnsembleOptions, from: number, to: number): EnsembleColumns {
  const { seed, until, conductivityWithin, depthWithin } = readOptions(options);
  const storm = designStorm(options.storm);
  const { bodies } = networkOf(site);
  const tolerance = coarseTolerance(networkOf(site));
  const columns = emptyColumns(bodies.map(({ name }) => name), to - from);
  for (let run = from; run < to; run++) {
    const conductivityFactor = within(conductivityWithin, normalDraw(seed, run, 0));
    const depthFactor = within(depthWithin, normalDraw(seed, run, 1));
    const rain = { time: storm.time, depth: storm.depth.map((depth) => depth * depthFactor) };
    const varied = variedSite(site, { conductivityFactor });
    keep(columns, run - from, simulate(varied, rain, { tolerance, ...(until === undefined ? {} : { until }) }));
    columns.conductivityFactor[run - from] = conductivityFactor;
    columns.stormDepth[run - from] = rain.depth.reduce((sum, depth) => sum + depth, 0);
  }
  return columns;
}

/** A log-normal factor with 95 percent within `factor` of 1, for a normal deviate. */
function within(factor: number, deviate: number): number {
  return Math.exp((Math.log(factor) / 1.959963984540054) * deviate);
}

function keep(columns: EnsembleColumns, i: number, run: Run): void {
  for (const body of run.bodies) columns.peaks[body]![i] = run.peaks[body]!.level;
  const { ledger, firings, drainDown, until } = run;
  columns.emitterVolume[i] = ledger.emitter;
  columns.openTime[i] = firings.reduce((sum, { start, end }) => sum + (end ?? until) - start, 0);
  columns.firstFiring[i] = firings[0]?.start ?? NaN;
  columns.spilled[i] = ledger.boxSpill + ledger.bankSpill + ledger.trenchSpill + (ledger.lowSpotOverflow ?? 0);
  columns.half[i] = drainDown.half ?? NaN;
  columns.empty[i] = drainDown.empty ?? NaN;
}

const PLAIN_COLUMNS = [
  "conductivityFactor", "stormDepth", "emitterVolume", "openTime", "firstFiring", "spilled", "half", "empty",
] as const;

function emptyColumns(bodies: readonly string[], length: number): EnsembleColumns {
  const column = (): Float64Array => new Float64Array(length);
  const plain = Object.fromEntries(PLAIN_COLUMNS.map((name) => [name, column()])) as Record<(typeof PLAIN_COLUMNS)[number], Float64Array>;
  return { ...plain, peaks: Object.fromEntries(bodies.map((body) => [body, column()])) };
}

function joined(parts: readonly EnsembleColumns[], runs: number): EnsembleColumns {
  const all = emptyColumns(Object.keys(parts[0]!.peaks), runs);
  let at = 0;
  for (const part of parts) {
    for (const name of PLAIN_COLUMNS) all[name].set(part[name], at);
    for (const body of Object.keys(all.peaks)) all.peaks[body]!.set(part.peaks[body]!, at);
    at += part.stormDepth.length;
  }
  return all;
}

interface ReadOptions {
  readonly runs: number;
  readonly seed: number;
  readonly conductivityWithin: number;
  readonly depthWithin: number;
  readonly until: string | number | undefined;
}

function readOptions(options: EnsembleOptions): ReadOptions {
  const read = optionReader("ensemble", options, "The ensemble cannot be run:");
  const spread = { least: 1, most: 1000 };
  const runs = read.number("runs", { least: 1, most: 1e7 });
  const seed = read.number("seed", { least: 0, most: 4294967295 });
  const conductivityWithin = read.has("conductivityWithin") ? read.number("conductivityWithin", spread) : 1;
  const depthWithin = read.has("depthWithin") ? read.number("depthWithin", spread) : 1;
  for (const [key, value] of [["runs", runs], ["seed", seed]] as const) {
    if (Number.isFinite(value) && !Number.isInteger(value)) read.problem(key, "a whole number");
  }
  read.raw("storm");
  const until = read.raw("until") as string | number | undefined;
  read.done();
  return { runs, seed, conductivityWithin, depthWithin, until };
}
