import { designStormAt } from "../rain/storms/designStorm.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import type { Site } from "../site/site.ts";
import { describe } from "../text/describe.ts";
import type { OptionReader } from "../text/optionReader.ts";
import { InputError } from "../text/problem.ts";
import { leavesDurationOpen, runsOfAllDurations, type AskedRun } from "./askedRuns.ts";

/** What is asked of the works in one storm. */
export interface WrittenCriterion {
  /**
   * a storm of the site by its name, or options of `designStorm`, in which the rainfall may be left out, and the pattern of a block; with
   * a `returnPeriod` and no `duration` every duration of the table is run, and the worst decides
   */
  readonly storm: string | Readonly<Record<string, unknown>>;
  readonly noFiring?: true;
  /** nothing over rims or through the ground */
  readonly noSpill?: true;
  readonly emitterVolumeAtMost?: string;
  readonly halfEmptyWithin?: string;
  readonly emptyWithin?: string;
  /** from the highest water of a box to its rim, at least */
  readonly boxHeadroom?: string;
}

/** One thing that is asked in one storm. */
export interface Criterion {
  readonly storm: number;
  readonly asks: Ask;
  /** 0 for a storm in which something must not happen; [m3], [s] or [m] else */
  readonly limit: number;
}

export type Ask = "noFiring" | "noSpill" | "emitterVolumeAtMost" | "halfEmptyWithin" | "emptyWithin" | "boxHeadroom";

/** A storm in which something is asked. */
export interface AskedStorm {
  readonly name: string;
  /** one, or every duration of the table where the criterion leaves it open */
  readonly runs: readonly AskedRun[];
  /** the durations of the table that a criterion with a return period and a duration does not ask for; empty else */
  readonly notAsked: readonly AskedRun[];
}

/**
 * Reads a list of criteria.
 *
 * @param rainfall  of storms that leave theirs out
 * @param recorded  rain of the site's recorded storms, which stands in files; one that is named and not here is refused
 */
export function readCriteria(
  read: OptionReader, site: Site, rainfall: unknown, recorded: readonly RecordedStorm[] = [],
): { readonly storms: readonly AskedStorm[]; readonly criteria: readonly Criterion[] } {
  const storms: AskedStorm[] = [];
  const criteria = read.children("criteria").flatMap((criterion) => {
    storms.push(readAskedStorm(criterion, site, rainfall, recorded, `storm ${storms.length + 1}`));
    return asksOf(criterion, storms.length - 1);
  });
  return { storms, criteria };
}

/** A recorded storm of the site. */
export interface RecordedStorm {
  readonly name: string;
  readonly rain: Hyetograph;
}

/**
 * Rain of recorded storms, given by a program under the key `recorded`.
 *
 * @param read  gets what is wrong
 */
export function readRecorded(read: OptionReader): readonly RecordedStorm[] {
  const given = read.raw("recorded");
  if (given === undefined) return [];
  if (Array.isArray(given) && given.every(isRecorded)) return given;
  read.problem("recorded", "a list of storms, each { name, rain } as readRain makes rain");
  return [];
}

function isRecorded(value: unknown): value is RecordedStorm {
  if (typeof value !== "object" || value === null || !("name" in value) || !("rain" in value)) return false;
  const { name, rain } = value;
  return typeof name === "string" && typeof rain === "object" && rain !== null && "time" in rain && "depth" in rain
    && rain.time instanceof Float64Array && rain.depth instanceof Float64Array;
}

/** Stands for a storm that cannot be made. */
const NO_STORM: AskedStorm = { name: "", runs: [], notAsked: [] };

/**
 * The storm under the key `storm`: one of the site's by its name, or one in full, as a criterion has it.
 *
 * @param read      of the object that has the key; gets what is wrong, and then the storm has no runs
 * @param nameless  what a storm is called of which nothing is written that could name it
 */
export function readAskedStorm(
  read: OptionReader, site: Site, rainfall: unknown, recorded: readonly RecordedStorm[], nameless: string,
): AskedStorm {
  const given = read.raw("storm");
  const record = recorded.find(({ name }) => name === given);
  if (record !== undefined) return { name: record.name, runs: [{ rain: record.rain, duration: null, edge: null, dayBefore: null }],
    notAsked: [] };
  const named = typeof given === "string" ? site.storms.find(({ name }) => name === given) : undefined;
  const written = named?.options ?? given;
  if (typeof written !== "object" || written === null || "file" in written) {
    const names = site.storms.filter(({ name, options }) => !("file" in options) || recorded.some((each) => each.name === name)).map(({ name }) => JSON.stringify(name));
    const got = typeof written === "object" && written !== null ? `${describe(given)}, a recorded one` : describe(given);
    read.problem("storm", [...names, "a storm as designStorm takes it"].join(", or "), got);
    return NO_STORM;
  }
  const storm = completedStorm(written, rainfall);
  try {
    const where = `${read.where}.storm`;
    if (named === undefined && leavesDurationOpen(storm)) {
      return { name: `${wordsOf(storm, nameless)}, any duration`, runs: runsOfAllDurations(where, storm), notAsked: [] };
    }
    const rain = designStormAt(where, storm);
    const { duration: _, ...open } = storm;
    const notAsked = named === undefined && "duration" in storm && leavesDurationOpen(open)
      ? runsOfAllDurations(where, open).filter((run) => run.dayBefore === null && run.rain.time.at(-1) !== rain.time.at(-1)) : [];
    return { name: named?.name ?? wordsOf(storm, nameless), runs: [{ rain, duration: null, edge: null, dayBefore: null }], notAsked };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    for (const problem of error.problems) read.problem(problem.where.slice(read.where.length + 1), problem.expected, problem.got);
    return NO_STORM;
  }
}

/** A storm as a study has it: the rainfall is the study's where it has none of its own, the pattern a block. */
function completedStorm(written: object, rainfall: unknown): Readonly<Record<string, unknown>> {
  const needsRain = !["depth", "rainfall", "intensity", "points"].some((key) => key in written) && rainfall !== undefined;
  return { pattern: "block", ...written, ...(needsRain ? { rainfall } : {}) };
}

/** `10 year, 1 h, block, rain times 1.2` */
function wordsOf(storm: Readonly<Record<string, unknown>>, nameless: string): string {
  const words = [storm["returnPeriod"], storm["depth"], storm["duration"], storm["pattern"]].filter((each) => typeof each === "string");
  if (words.length === 0) return nameless;
  return [...words, ...(typeof storm["climateFactor"] === "number" ? [`rain times ${storm["climateFactor"]}`] : [])].join(", ");
}

function asksOf(criterion: OptionReader, storm: number): Criterion[] {
  const asks: Criterion[] = [];
  for (const key of ["noFiring", "noSpill"] as const) if (criterion.flag(key, false)) asks.push({ storm, asks: key, limit: 0 });
  const add = (key: Ask, dimension: "volume" | "time" | "length"): void => {
    if (criterion.has(key)) asks.push({ storm, asks: key, limit: criterion.quantity(key, dimension, { least: 0 }) });
  };
  add("emitterVolumeAtMost", "volume");
  add("halfEmptyWithin", "time");
  add("emptyWithin", "time");
  add("boxHeadroom", "length");
  if (asks.length === 0) {
    criterion.problem("noFiring", "something that is asked: noFiring, noSpill, emitterVolumeAtMost, halfEmptyWithin, emptyWithin or boxHeadroom");
  }
  return asks;
}
