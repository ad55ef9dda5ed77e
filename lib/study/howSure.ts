import { normalQuantile } from "../numerics/normalQuantile.ts";
import { settledRun } from "../simulate/settledRun.ts";
import type { Run } from "../simulate/run.ts";
import type { Site } from "../site/site.ts";
import { optionReader } from "../text/optionReader.ts";
import { ANSWERS, type AnswerName } from "./answerRow.ts";
import { DRAWN, drawnOf, drawnRows, rainOf, readDoubts, type DrawnName, type EnsembleOptions, type Spread } from "./ensembleCases.ts";
import { quantiles, shareOf, stoppedRuns, type Share } from "./quantiles.ts";
import { runStudy, type StudyOptions, type StudyTable } from "./runStudy.ts";

/** As `EnsembleOptions`, with 1000 runs of seed 1 where nothing is said, and 121 moments. */
export type SureOptions = Omit<EnsembleOptions, "runs" | "seed"> & { readonly runs?: number; readonly seed?: number };

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

/** How sure the answers of a storm are. */
export interface HowSure {
  /** the run as the file says */
  readonly run: Run;
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
 * @param options  the storm, and the doubts as in `ensemble`, one or more
 * @throws InputError  with all problems
 */
export async function howSure(site: Site, options: SureOptions, how: StudyOptions = {}): Promise<HowSure> {
  const spread = doubtsOf(site, options);
  const { runs = 1000, seed = 1, moments = 121, ...others } = options;
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
  return {
    run,
    table,
    answers: Object.fromEntries(answers) as Record<AnswerName, Quantiles>,
    firing: shareOf(table, "openTime", (time) => time > 0),
    spilling: shareOf(table, "spilled", (volume) => volume > NOTHING),
    stopped: stoppedRuns(table),
    swings: DRAWN.filter((drawn) => spread[drawn] > 0).map((drawn) => ({ drawn, low: at(drawn, SHARES[0]), high: at(drawn, SHARES[4]) })),
    fan: fanOf(table, run.until, moments),
  };
}

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
