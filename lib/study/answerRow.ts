import { greatestOf } from "../numerics/extremes.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import { drainedWithin } from "../simulate/drainTime.ts";
import { bodiesOf, type Run } from "../simulate/run.ts";
import type { SimulateOptions } from "../simulate/runOptions.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import type { Site } from "../site/site.ts";
import type { Column } from "./cases.ts";

/**
 * The answers of one run as a row of numbers, the same for every site, so that runs of different works can be compared.
 *
 * | column | what |
 * | --- | --- |
 * | `pitPeak` | highest level in the pit |
 * | `boxHeadroom` | from the highest water of a box to its rim, the least of all boxes; negative over the rim |
 * | `emitterVolume`, `openTime`, `firstFiring` | what the emitter lets out, how long it is open, when it first opens |
 * | `emitterPeak` | its greatest flow |
 * | `spilled` | over rims, up through grounds and grate: `Run.spilled` |
 * | `half`, `empty` | drain-down of the pit (`drainedWithin`), NaN where not within the run, or never for groundwater above it |
 * | `inflow`, `seeped` | what ran in, what went into the soil |
 * | `trenchPeak` | highest level in the trench; NaN without one |
 * | `stopped` | 1 where the run could not go on; all others are then NaN |
 */
export const ANSWERS: readonly Column[] = [
  { name: "pitPeak", unit: "m" },
  { name: "boxHeadroom", unit: "m" },
  { name: "trenchPeak", unit: "m" },
  { name: "emitterVolume", unit: "m3" },
  { name: "openTime", unit: "s" },
  { name: "firstFiring", unit: "s" },
  { name: "emitterPeak", unit: "m3/s" },
  { name: "spilled", unit: "m3" },
  { name: "half", unit: "s" },
  { name: "empty", unit: "s" },
  { name: "inflow", unit: "m3" },
  { name: "seeped", unit: "m3" },
  { name: "stopped", unit: "" },
];

/** What a study asks of a run. */
export type AnswerName =
  | "pitPeak" | "boxHeadroom" | "trenchPeak" | "emitterVolume" | "openTime" | "firstFiring" | "emitterPeak" | "spilled" | "half" | "empty"
  | "inflow" | "seeped" | "stopped";

/**
 * The row of a run that is made here; a run that cannot go on is a row that says so.
 *
 * @param moments  number of levels of the pit that follow the answers, evenly from the run's start to its end: each the highest from
 *                 half-way since the moment before to half-way to the next, so that no peak falls between two
 */
export function answerRow(site: Site, rain: Hyetograph, options: SimulateOptions, moments: number = 0): number[] {
  return rowFrom(() => settledRun(site, rain, options), moments);
}

/** The same of a run that is made in another way. */
export function rowFrom(make: () => Run, moments: number): number[] {
  try {
    const run = make();
    return [...rowOf(run), ...(moments === 0 ? [] : highestLevels(run, moments))];
  } catch (error) {
    if (!(error instanceof StoppedRun)) throw error;
    return [...ANSWERS.map(({ name }) => (name === "stopped" ? 1 : NaN)), ...new Array<number>(moments).fill(NaN)];
  }
}

function highestLevels(run: Run, moments: number): number[] {
  const between = run.until / (moments - 1);
  const edges = Array.from({ length: moments + 1 }, (_, i) => Math.min(run.until, Math.max(0, (i - 0.5) * between)));
  const atEdges = run.levels("chamberBank", edges);
  const highest = Array.from({ length: moments }, (_, i) => Math.max(atEdges[i]!, atEdges[i + 1]!));
  const look = (time: number, level: number): void => {
    const i = Math.min(moments - 1, Math.floor(time / between + 0.5));
    highest[i] = Math.max(highest[i]!, level);
  };
  const atSteps = run.levels("chamberBank", run.times);
  run.times.forEach((time, step) => { look(time, atSteps[step]!); });
  const { time, level } = run.peaks["chamberBank"]!;
  look(time, level);
  return highest;
}

function rowOf(run: Run): number[] {
  const { ledger, firings, peaks } = run;
  const { half, empty } = drainedWithin(run);
  const boxHeadroom = run.site.settlingBoxes.reduce((least, { name, rim }) => Math.min(least, rim - peaks[name]!.level), Infinity);
  const trench = bodiesOf(run, "trench");
  return [
    peaks["chamberBank"]!.level,
    boxHeadroom,
    trench.length === 0 ? NaN : greatestOf(trench.map((body) => peaks[body]!.level)),
    run.emitted,
    run.openTime,
    firings[0]?.start ?? NaN,
    firings.reduce((most, { peakFlow }) => Math.max(most, peakFlow), 0),
    run.spilled,
    half ?? NaN,
    empty ?? NaN,
    ledger.inflow,
    run.seeped,
    0,
  ];
}
