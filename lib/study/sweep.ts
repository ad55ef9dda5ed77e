import { settledRun } from "../simulate/settledRun.ts";
import type { Site } from "../site/site.ts";
import { ANSWERS, type AnswerName } from "./answerRow.ts";
import { stoppedRuns } from "./quantiles.ts";
import { runStudy, type StudyOptions, type StudyTable } from "./runStudy.ts";
import { siteState, type ReachedState } from "./siteState.ts";
import { sweepPlan, type SweepOptions } from "./sweepCases.ts";

/** One storm on one design. */
export interface SweepCell {
  readonly returnPeriod: string;
  readonly duration: string;
  /** rain [m] */
  readonly depth: number;
  readonly answers: Readonly<Record<AnswerName, number>>;
  readonly state: ReachedState;
}

/** The duration in which an answer is at its worst, and that worst. */
export interface Critical {
  readonly duration: string;
  readonly value: number;
}

/** Answers that have a worst duration: the highest, the least, the first, the latest. */
export type CriticalAnswer = "pitPeak" | "boxHeadroom" | "emitterVolume" | "emitterPeak" | "firstFiring" | "spilled" | "half" | "empty";

/** All storms of one return period on one design. */
export interface SweepRow {
  readonly returnPeriod: string;
  /** by duration */
  readonly cells: readonly SweepCell[];
  /** null where no storm has the answer: an emitter that never fires */
  readonly critical: Readonly<Record<CriticalAnswer, Critical | null>>;
}

export interface SweptDesign {
  readonly name: string;
  readonly site: Site;
  readonly rows: readonly SweepRow[];
}

export interface Sweep {
  /** the site's own first */
  readonly designs: readonly SweptDesign[];
  readonly durations: readonly string[];
  /** by what all their rain is multiplied, for a climate to come */
  readonly rainTimes: number;
  readonly table: StudyTable;
  /** runs that could not go on; their cells have no answers */
  readonly stopped: number;
}

/**
 * Storms of many durations and return periods on one or several designs: no single duration is the critical one, for what fills the
 * pit fastest is not what the emitter lets out most of.
 *
 * @throws InputError  with all problems
 */
export async function sweep(site: Site, options: SweepOptions, how: StudyOptions = {}): Promise<Sweep> {
  const plan = sweepPlan(site, options);
  const table = await runStudy({ kind: "sweep", site, options }, how);
  const { durations, rainTimes } = plan;
  const designs = plan.designs.map(({ name, site: its }, d) => ({
    name, site: its,
    rows: plan.returnPeriods.map((returnPeriod, r) => rowOf(returnPeriod, durations.map((duration, k) => {
      const answers = answersAt(table, (d * plan.returnPeriods.length + r) * durations.length + k);
      const depth = plan.storms[r]![k]!.depth.reduce((sum, each) => sum + each, 0);
      return { returnPeriod, duration, depth, answers, state: siteState(answers, its, pitStart(its)) };
    }))),
  }));
  return { designs, durations, rainTimes, table, stopped: stoppedRuns(table) };
}

function answersAt({ values }: StudyTable, index: number): Record<AnswerName, number> {
  return Object.fromEntries(ANSWERS.map(({ name }, i) => [name, values[index * ANSWERS.length + i]!])) as Record<AnswerName, number>;
}

/** Where the pit's water stands when the rain begins, settled as the runs are. */
function pitStart(site: Site): number {
  return settledRun(site, {}, { until: 1 }).level("chamberBank", 0);
}

/** How the worst of each answer is found; an answer that a run does not have within its time is worse than any other. */
const WORST: Readonly<Record<CriticalAnswer, { readonly sign: 1 | -1; readonly without: "worst" | "none" }>> = {
  pitPeak: { sign: 1, without: "none" },
  boxHeadroom: { sign: -1, without: "none" },
  emitterVolume: { sign: 1, without: "none" },
  emitterPeak: { sign: 1, without: "none" },
  firstFiring: { sign: -1, without: "none" },
  spilled: { sign: 1, without: "none" },
  half: { sign: 1, without: "worst" },
  empty: { sign: 1, without: "worst" },
};

function rowOf(returnPeriod: string, cells: readonly SweepCell[]): SweepRow {
  const critical = Object.fromEntries(Object.keys(WORST).map((name) => [name, criticalOf(cells, name as CriticalAnswer)]));
  return { returnPeriod, cells, critical: critical as SweepRow["critical"] };
}

function criticalOf(cells: readonly SweepCell[], answer: CriticalAnswer): Critical | null {
  const { sign, without } = WORST[answer];
  let worst: Critical | null = null;
  for (const { duration, answers } of cells) {
    const value = answers[answer];
    if (answers.stopped === 1) continue;
    if (Number.isNaN(value)) {
      if (without === "worst") return { duration, value: NaN };
      continue;
    }
    if ((answer === "emitterVolume" || answer === "emitterPeak" || answer === "spilled") && value === 0) continue;
    if (worst === null || sign * value > sign * worst.value) worst = { duration, value };
  }
  return worst;
}
