import type { Hyetograph } from "../rain/hyetograph.ts";
import type { RunFigures } from "../simulate/drawnRuns.ts";
import { pitOf } from "../simulate/drainTime.ts";
import { StepFailure } from "../simulate/kernel.ts";
import { drainedPit, type PitWater } from "../simulate/pitWater.ts";
import type { Run } from "../simulate/run.ts";
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
 * | `half`, `empty` | drain-down of the pit (`drainedPit`), NaN where not within the run, or never for groundwater above it |
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
  return figuresRow(() => {
    const run = make();
    return [run.site, figuresOf(run)];
  }, moments);
}

/** The same of what studies keep of a run on a site. */
export function figuresRow(make: () => readonly [site: Site, figures: RunFigures], moments: number): number[] {
  try {
    const [site, figures] = make();
    const row = rowOf(site, figures);
    if (moments > 0) for (const level of highestLevels(figures.pit, moments)) row.push(level);
    return row;
  } catch (error) {
    if (!(error instanceof StoppedRun) && !(error instanceof StepFailure)) throw error;
    return [...ANSWERS.map(({ name }) => (name === "stopped" ? 1 : NaN)), ...new Array<number>(moments).fill(NaN)];
  }
}

function figuresOf(run: Run): RunFigures {
  const { bodies, firings, openTime, emitted, spilled, seeped, ledger: { inflow } } = run;
  const peaks = bodies.map(({ name }) => run.peaks[name]!.level);
  return { bodies, firings, openTime, emitted, spilled, seeped, inflow, peaks, pit: pitOf(run) };
}

function highestLevels(pit: PitWater, moments: number): number[] {
  const between = pit.until / (moments - 1);
  const atEdges = Array.from({ length: moments + 1 }, (_, i) => pit.level(Math.min(pit.until, Math.max(0, (i - 0.5) * between))));
  const highest = Array.from({ length: moments }, (_, i) => Math.max(atEdges[i]!, atEdges[i + 1]!));
  const look = (time: number, level: number): void => {
    const i = Math.min(moments - 1, Math.floor(time / between + 0.5));
    highest[i] = Math.max(highest[i]!, level);
  };
  for (let step = 0; step < pit.times.length; step++) look(pit.times[step]!, pit.level(pit.times[step]!));
  look(pit.top.time, pit.top.level);
  return highest;
}

function rowOf(site: Site, { bodies, peaks, firings, openTime, emitted, spilled, inflow, seeped, pit }: RunFigures): number[] {
  const { half, empty } = drainedPit(pit);
  // the boxes come first among the bodies
  const boxHeadroom = site.settlingBoxes.reduce((least, { rim }, b) => Math.min(least, rim - peaks[b]!), Infinity);
  const trenchPeak = bodies.reduce((most, { kind }, b) => (kind === "trench" && !(peaks[b]! < most) ? peaks[b]! : most), NaN);
  return [
    pit.top.level,
    boxHeadroom,
    trenchPeak,
    emitted,
    openTime,
    firings[0]?.start ?? NaN,
    firings.reduce((most, { peakFlow }) => Math.max(most, peakFlow), 0),
    spilled,
    half ?? NaN,
    empty ?? NaN,
    inflow,
    seeped,
    0,
  ];
}
