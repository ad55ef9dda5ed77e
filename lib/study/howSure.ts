import { normalQuantile } from "../numerics/normalQuantile.ts";
import { settledRun } from "../simulate/settledRun.ts";
import type { Run } from "../simulate/run.ts";
import type { Site } from "../site/site.ts";
import { optionReader } from "../text/optionReader.ts";
import { ANSWERS, type AnswerName } from "./answerRow.ts";
import { asMeasured, DRAWN, drawnOf, drawnRows, rainOf, readDoubts, type DrawnName, soilScatter, type EnsembleOptions, type Spread } from "./ensembleCases.ts";
import { quantiles, shareOf, stoppedRuns, type Share } from "./quantiles.ts";
import { columnOf, runStudy, type StudyOptions, type StudyTable } from "./runStudy.ts";

/** As `EnsembleOptions`, with 1000 runs of seed 1 where nothing is said, and 121 moments. */
export type SureOptions = Omit<EnsembleOptions, "runs" | "seed"> & { readonly runs?: number; readonly seed?: number };

/** What is taken where nothing is said of them. */
export const SURE_DEFAULTS: { readonly runs: number; readonly seed: number; readonly moments: number } = Object.freeze({
  runs: 1000, seed: 1, moments: 121,
});

/** The shares whose quantiles are given: the middle, and the bands in which 50 and 90 of 100 cases lie. */
export const SHARES: readonly [number, number, number, number, number] = [0.05, 0.25, 0.5, 0.75, 0.95];

/** An answer at each of SHARES; null where a case has no such answer. */
export type Quantiles = readonly [number | null, number | null, number | null, number | null, number | null];

/** What one thing in doubt does to an answer, all others as the file says. */
export interface Swing {
  readonly drawn: DrawnName;
  /** answers where it lies at its 5 and at its 95 percent; NaN where the run has none */
  readonly low: Readonly<Record<AnswerName, number>>;
  readonly high: Readonly<Record<AnswerName, number>>;
}

/** How much narrower the answer compared would be if one thing were known. */
export interface Worth {
  readonly drawn: DrawnName;
  /** share by which the standard deviation would shrink, 0 to 1 */
  readonly narrows: number;
  /** the same by one more test hole, which scatters as soils within a site do; null of what no hole measures */
  readonly byOne: number | null;
}

/** How sure the answers of a storm are. */
export interface HowSure {
  /** the run as the file says, its soil divided by the factor of safety: the rule of design, which no case is drawn from */
  readonly run: Run;
  /** the run with the soil as it was tested or given, on which the cases centre */
  readonly asMeasured: Run;
  /** the factor within which 95 of 100 soils lie, and where that is from */
  readonly soil: { readonly within: number; readonly from: "asked" | "tests and textures"; readonly drawn: "together" | "apart" };
  /** what one measurement of a thing in doubt would gain, the most first; the storm, which nobody can measure before, is left out */
  readonly worth: readonly Worth[];
  readonly table: StudyTable;
  readonly answers: Readonly<Record<AnswerName, Quantiles>>;
  /** share of the cases in which the emitter opens, and in which water comes out elsewhere; chance's part beside it */
  readonly firing: Share;
  readonly spilling: Share;
  /** runs that could not go on, which nothing else counts */
  readonly stopped: number;
  /** one of each thing in doubt */
  readonly swings: readonly Swing[];
  /** levels of the pit at each of SHARES, over the moments: of each case the highest around it, so that no peak falls between two */
  readonly fan: { readonly time: Float64Array; readonly levels: readonly Float64Array[] };
}

/**
 * How sure the answers of a storm are, when soil, water table, stone, levels and the storm itself are only known within bounds:
 * the band of every answer, the chance that the emitter opens, and which of the doubts matters most.
 *
 * @param options  the storm, and the doubts as in `ensemble`; the soil within the scatter of its tests where nothing is said of it
 * @throws InputError  with all problems
 */
export async function howSure(site: Site, given: SureOptions, how: StudyOptions = {}): Promise<HowSure> {
  const options: SureOptions = { conductivityWithin: soilScatter(site), ...given };
  const spread = doubtsOf(site, options);
  const { runs = SURE_DEFAULTS.runs, seed = SURE_DEFAULTS.seed, moments = SURE_DEFAULTS.moments, ...others } = options;
  const rain = rainOf(options.storm);
  const ends = options.until === undefined ? {} : { until: options.until };
  const run = settledRun(site, rain, ends);
  const table = await runStudy({ kind: "ensemble", site, options: { ...others, runs, seed, moments } }, how);
  const drawnRow = drawnRows(site, rain, ends);
  const at = (drawn: DrawnName, share: number): Record<AnswerName, number> => {
    const deviate = normalQuantile(share);
    const row = drawnRow(drawnOf(spread, (which) => (DRAWN[which] === drawn ? deviate : 0)));
    return Object.fromEntries(ANSWERS.map(({ name }, i) => [name, row[i]!])) as Record<AnswerName, number>;
  };
  const answers = ANSWERS.map(({ name }) => [name, quantiles(table, name, SHARES)]);
  const firing = shareOf(table, "openTime", (time) => time > 0);
  return {
    run,
    asMeasured: settledRun(asMeasured(site), rain, ends),
    soil: {
      within: options.conductivityWithin!, from: given.conductivityWithin === undefined ? "tests and textures" : "asked",
      drawn: spread.trenchSoilFactor > 0 ? "apart" : "together",
    },
    worth: DRAWN.filter((drawn) => spread[drawn] > 0 && drawn !== "stormFactor")
      .map((drawn): Worth => worthOf(drawn, mainEffect(table, drawn, comparedAnswer({ firing })), spread[drawn]))
      .sort((a, b) => gainOf(b) - gainOf(a)),
    table,
    answers: Object.fromEntries(answers) as Record<AnswerName, Quantiles>,
    firing,
    spilling: shareOf(table, "spilled", (volume) => volume > NOTHING),
    stopped: stoppedRuns(table),
    swings: DRAWN.filter((drawn) => spread[drawn] > 0).map((drawn) => ({ drawn, low: at(drawn, SHARES[0]), high: at(drawn, SHARES[4]) })),
    fan: fanOf(table, run.until, moments),
  };
}

/** The answer in which the doubts are compared: what the emitter lets out, or the pit's peak where it hardly ever opens. */
export function comparedAnswer({ firing }: Pick<HowSure, "firing">): AnswerName {
  return firing.share > 0.02 ? "emitterVolume" : "pitPeak";
}

/** What one measurement brings: one more hole, or a reading. */
export function gainOf({ narrows, byOne }: Worth): number {
  return byOne ?? narrows;
}

/**
 * What one thing known, or one more hole, would narrow an answer by. A hole that scatters by h about the ground's own ln K takes the share
 * s^2/(s^2 + h^2) of a doubt s of it, and so of what that brings into the answer.
 *
 * @param effect  share of the answer's variance that goes with it
 * @param s       standard deviation of the doubt, of a factor that of its logarithm
 * @source  normal errors of a normal quantity, textbook; h = sqrt(ln 2), the scatter of soils within a site (`WITHIN_SITE_FACTOR`)
 */
export function worthOf(drawn: DrawnName, effect: number, s: number): Worth {
  const isSoil = drawn === "conductivityFactor" || drawn === "trenchSoilFactor";
  const share = (s * s) / (s * s + Math.LN2);
  return { drawn, narrows: 1 - Math.sqrt(1 - effect), byOne: isSoil ? 1 - Math.sqrt(1 - effect * share) : null };
}

/**
 * The share of an answer's variance that goes with one column of a study: the variance of its means over even bins of that column, less
 * what chance alone brings into this many means.
 *
 *   S = (Var_between - (bins - 1)/n Var_within) / Var,    Var_within = (Var - Var_between) n/(n - bins)
 *
 * @returns  0 to 1; 0 where the answer does not vary
 * @source  the correlation ratio of Pearson, 1905, and its correction by Kelley (epsilon squared), 1935, from memory
 */
export function mainEffect(table: StudyTable, column: string, answer: string): number {
  const stopped = columnOf(table, "stopped");
  const [x, y] = [columnOf(table, column), columnOf(table, answer)];
  const rows = Array.from(x.keys()).filter((i) => stopped[i] === 0 && !Number.isNaN(y[i]!)).sort((i, j) => x[i]! - x[j]!);
  const n = rows.length;
  const bins = Math.min(BINS, Math.floor(n / 5));
  if (bins < 2) return 0;
  const mean = rows.reduce((sum, i) => sum + y[i]!, 0) / n;
  const all = rows.reduce((sum, i) => sum + (y[i]! - mean) ** 2, 0);
  if (!(all > 0)) return 0;
  let between = 0;
  for (let bin = 0; bin < bins; bin++) {
    const its = rows.slice(Math.round((bin * n) / bins), Math.round(((bin + 1) * n) / bins));
    between += its.length * (its.reduce((sum, i) => sum + y[i]!, 0) / its.length - mean) ** 2;
  }
  const within = (all - between) / (n - bins);
  return Math.min(1, Math.max(0, (between - (bins - 1) * within) / all));
}

/** Of a thousand cases fifty to a bin. */
const BINS = 20;

/**
 * What is in doubt, and by how much.
 *
 * @throws InputError  with all problems of the options
 */
export function doubtsOf(site: Site, { runs: _runs, seed: _seed, moments: _moments, ...others }: SureOptions): Spread {
  const read = optionReader("sure", { ...others }, "The doubt cannot be studied:");
  const spread = readDoubts(read, site);
  if (Object.values(spread).every((each) => each === 0)) {
    read.problem("conductivityWithin", "something in doubt: conductivityWithin, depthWithin, groundwaterWithin, porosityWithin or levelsWithin", "none");
  }
  read.raw("until");
  if (read.raw("storm") === undefined) read.problem("storm", "a storm as designStorm takes it");
  read.done();
  return spread;
}

/** Less than a tenth of a litre is no water [m3]. */
const NOTHING = 1e-4;

function fanOf(table: StudyTable, until: number, moments: number): HowSure["fan"] {
  const time = Float64Array.from({ length: moments }, (_, i) => (until * i) / (moments - 1));
  const bands = Array.from(time, (_, i) => quantiles(table, `level ${i + 1}`, SHARES));
  return { time, levels: SHARES.map((_, s) => Float64Array.from(bands, (band) => band[s]!)) };
}
