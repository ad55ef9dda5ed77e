import { momentText } from "../text/hours.ts";
import { readSite } from "../site/readSite.ts";
import { networkOf } from "../simulate/assemble.ts";
import { inflowHydrographs } from "../simulate/inflowHydrographs.ts";
import { driving, outsetOf, type Outset } from "../simulate/march.ts";
import { runOptions, type SimulateOptions } from "../simulate/runOptions.ts";
import { settleTime } from "../simulate/settledRun.ts";
import { runOf } from "../simulate/simulate.ts";
import { greatestOf } from "../numerics/extremes.ts";
import type { Run } from "../simulate/run.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import type { Site } from "../site/site.ts";
import { levelText } from "../text/format.ts";
import { InputError } from "../text/problem.ts";
import { editedFile, type FileData } from "./editedFile.ts";
import type { LiveState } from "./liveState.ts";
import { stormRain, type RecordedRain } from "./stormRain.ts";

/** What a live page shows: its state, the file that it makes, and what the water does then. */
export interface LiveRun {
  readonly state: LiveState;
  readonly file: FileData;
  readonly run: Run;
  /** run with a hundredth of the care, while a hand pulls: it is run again when that rests */
  readonly isQuick: boolean;
}

/** What is wrong with an hour to look at, in words; null where the run has it. */
export function hourRefusal({ until }: Run, hour: number, got: string = String(hour)): string | null {
  if (hour >= 0 && hour <= until / 3600 + LAST_DIGIT) return null;
  return `hour: expected 0 h to ${momentText(until).replace("hour ", "")}${until < LATE ? " h" : ""}, where the run ends, got ${got}`;
}

/** hours are written to a thousandth: the last one may be rounded up [h] */
const LAST_DIGIT = 0.0005;
/** from here on a moment is given in days [s] */
const LATE = 1000 * 3600;

/** What a live page is made of. */
export interface LiveSource {
  /** the site file as it was written */
  readonly file: FileData;
  readonly recorded: RecordedRain;
}

/**
 * Of a pull: a hundredth of the stepper's usual care saves it half of its steps and more; peaks of the demo sites' design storms move by
 * 0.03 mm at most, and a level, where the lid moves a little sooner or later, by less than 6 mm: a pixel of the picture.
 */
const QUICK = 1e-4;

/**
 * Runs a state: writes its changes into the site file, reads and checks the file whole, and runs its storm.
 *
 * @throws InputError  what the reader refuses, in its words
 * @throws StoppedRun  for a run that cannot go on
 */
export function liveRun({ file, recorded }: LiveSource, state: LiveState, isQuick: boolean = false): LiveRun {
  const edited = editedFile(file, state, recorded);
  const storm = (edited["storms"] as readonly Readonly<Record<string, unknown>>[])[state.storm]!;
  const site = readSite(edited);
  if (state.edits.groundwater !== undefined) refuseFlood(site, state.edits.groundwater);
  const rain = rainOf(recorded, storm, state.storm);
  return { state, file: edited, run: runWith(site, rain, isQuick ? { tolerance: QUICK } : {}), isQuick };
}

/** `settledRun`, with what runs into the works made once for all the moves that leave it as it is. */
function runWith(site: Site, rain: Hyetograph, options: SimulateOptions): Run {
  const inflows = inflowsOf(site, rain);
  const settled = { settle: settleTime(site), ...options };
  const outset = outsetOf(site, inflows, runOptions(settled, networkOf(site), inflows));
  return runOf(site, rain, settled, outset, driving(outset));
}

function inflowsOf(site: Site, rain: Hyetograph): Outset["inflows"] {
  const key = JSON.stringify(site.catchments);
  const last = INFLOWS.get(rain);
  if (last?.key === key) return last.inflows;
  const inflows = inflowHydrographs(site, rain);
  INFLOWS.set(rain, { key, inflows });
  return inflows;
}

const INFLOWS = new WeakMap<Hyetograph, { readonly key: string; readonly inflows: Outset["inflows"] }>();

/** A storm's rain, made once for all the moves of a pull that leave it as it is. */
function rainOf(recorded: RecordedRain, storm: Readonly<Record<string, unknown>>, index: number): Hyetograph {
  const key = JSON.stringify([index, storm]);
  const last = RAINS.get(recorded);
  if (last?.key === key) return last.rain;
  const rain = stormRain(storm, recorded[index]);
  RAINS.set(recorded, { key, rain });
  return rain;
}

const RAINS = new WeakMap<RecordedRain, { readonly key: string; readonly rain: Hyetograph }>();

/** Groundwater over the ground is no groundwater. */
function refuseFlood({ chamberBank: { ground, groundwater }, units }: Site, got: string): void {
  const highest = greatestOf(groundwater?.level ?? [-Infinity]);
  if (highest <= ground + 1e-9) return;
  throw new InputError("This cannot be:", [{ where: "groundwater", expected: `a level up to the ground over the pit, ${levelText(ground, units)}, or "none"`, got }]);
}
