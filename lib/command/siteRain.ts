import { readRainFile } from "../node/readRainFile.ts";
import { type Hyetograph, hyetograph } from "../rain/hyetograph.ts";
import type { RecordOptions } from "../rain/record/recordOptions.ts";
import { designStormAt } from "../rain/storms/designStorm.ts";
import { unheardOf } from "../rain/storms/worldsGreatest.ts";
import type { StoppedStorm, StormRun } from "../report/summary.ts";
import { parseJson } from "../schema/parseJson.ts";
import type { Run } from "../simulate/run.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import type { Site, StormChoice } from "../site/site.ts";
import { clockTime, clockWords, type RunClock } from "../text/clockText.ts";
import { describe } from "../text/describe.ts";
import { InputError, type Problem } from "../text/problem.ts";
import type { Beside } from "./beside.ts";
import { readText } from "./files.ts";

/** The rain of a storm, and what was assumed, repaired and refused in its record. */
export interface StormRain {
  readonly rain: Hyetograph;
  readonly notes: readonly string[];
  /** of a record with dates: where hour 0 stands */
  readonly clock?: RunClock;
}

/**
 * The rain of every storm of a site: made by a pattern, or read from a file of rain, whose path counts from the site file. A
 * file is CSV as `readRain` reads it, with that function's options beside its name, or JSON (by its ending) of breakpoints.
 *
 * @param beside  finds the files of rain
 * @throws InputError  with all that is wrong with the files
 */
export async function siteRain(storms: readonly StormChoice[], beside: Beside): Promise<StormRain[]> {
  const rains: StormRain[] = [];
  const problems: Problem[] = [];
  for (const { options: { file, ...options } } of storms) {
    try {
      if (typeof file !== "string") rains.push({ rain: designStormAt("designStorm", options), notes: [] });
      else rains.push(await fileRain(await pathOf(file, beside), file, options));
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      for (const problem of error.problems) problems.push({ ...problem, where: `${String(file)}: ${problem.where}` });
    }
  }
  if (problems.length > 0) throw new InputError("The rain cannot be used:", problems);
  return rains;
}

/** The storms of a site that ran to their end, those that stopped, and the place of the first that ran, -1 where none did. */
export interface StormRuns {
  readonly storms: readonly StormRun[];
  readonly stopped: readonly StoppedStorm[];
  readonly first: number;
}

/**
 * Runs a site's storms one after another; one that stops leaves the others.
 *
 * @param rains  of the storms, as `siteRain` makes them
 */
export function runStorms({ storms: named }: Site, rains: readonly StormRain[], run: (rain: Hyetograph, name: string) => Run): StormRuns {
  const storms: StormRun[] = [];
  const stopped: StoppedStorm[] = [];
  let first = -1;
  for (const [i, { name }] of named.entries()) {
    const { rain, notes, clock } = rains[i]!;
    try {
      storms.push({ name, run: run(rain, name), rainNotes: notes, ...(clock === undefined ? {} : { clock }) });
      if (first < 0) first = i;
    } catch (error) {
      if (!(error instanceof StoppedRun)) throw error;
      stopped.push({ name, why: error.message });
    }
  }
  return { storms, stopped, first };
}

async function pathOf(file: string, beside: Beside): Promise<string> {
  const found = await beside(file);
  if ("path" in found) return found.path;
  throw new InputError("The rain cannot be used:", [{ where: "file", ...found }]);
}

async function fileRain(path: string, file: string, options: RecordOptions): Promise<StormRain> {
  if (!/\.json$/i.test(file)) {
    const { rain, notes, start } = await readRainFile(path, options);
    const clock: RunClock = { start };
    const { day, time } = clockTime(clock, 0);
    return { rain, clock, notes: [`Hour 0 is ${time} on ${day}, by ${clockWords(clock)}.`, ...notes.map((note) => `${file}: ${note}`)] };
  }
  const problems: Problem[] = Object.entries(options).map(([key, value]) => ({ where: key, expected: "no options beside a file of JSON", got: describe(value) }));
  const content = parseJson(await readText(path), problems);
  if (problems.length > 0) throw new InputError("The rain cannot be used:", problems);
  return { rain: recordedRain(content), notes: [] };
}

/**
 * Rain from a record of breakpoints: `hours` that rise and as many cumulative depths, `cumulative_in` or
 * `cumulative_mm`, that do not fall; the rain begins at the first.
 *
 * @throws InputError  with all problems
 */
export function recordedRain(content: unknown): Hyetograph {
  const record = typeof content === "object" && content !== null ? (content as Record<string, unknown>) : {};
  const problems: Problem[] = [];
  const hours = numbers(record, "hours", "rising hours", problems);
  const keys = ["cumulative_in", "cumulative_mm"].filter((key) => key in record);
  if (keys.length !== 1) problems.push({ where: "cumulative_in", expected: "either cumulative_in or cumulative_mm", got: keys.length === 0 ? "neither" : "both" });
  const key = keys[0] ?? "cumulative_in";
  const fallen = keys.length === 1 ? numbers(record, key, "cumulative depths", problems) : [];
  if (problems.length === 0 && (hours.length < 2 || hours.length !== fallen.length)) {
    problems.push({ where: "hours", expected: `two or more, and as many as ${key}`, got: `${hours.length} hours and ${fallen.length} depths` });
  }
  for (let i = 1; i < hours.length; i++) {
    if (!(hours[i]! > hours[i - 1]!)) problems.push({ where: `hours[${i}]`, expected: `more than ${hours[i - 1]!}`, got: String(hours[i]) });
  }
  for (let i = 1; i < fallen.length; i++) {
    if (!(fallen[i]! >= fallen[i - 1]!)) problems.push({ where: `${key}[${i}]`, expected: `${fallen[i - 1]!} or more`, got: String(fallen[i]) });
  }
  const time = hours.map((hour) => (hour - hours[0]!) * 3600);
  const depth = fallen.slice(1).map((by, i) => (key === "cumulative_in" ? ((by - fallen[i]!) * 254) / 10000 : (by - fallen[i]!) / 1000));
  if (problems.length === 0) {
    depth.forEach((each, i) => {
      const fault = unheardOf(each, time[i + 1]! - time[i]!);
      if (fault !== null) problems.push({ where: `${key}[${i + 1}]`, ...fault });
    });
  }
  if (problems.length > 0) throw new InputError("The rain cannot be used:", problems);
  return hyetograph({ time, depth });
}

function numbers(record: Readonly<Record<string, unknown>>, key: string, what: string, problems: Problem[]): number[] {
  const list = record[key];
  if (!Array.isArray(list)) {
    problems.push({ where: key, expected: `a list of ${what}`, got: describe(list) });
    return [];
  }
  const wrong = list.findIndex((value) => typeof value !== "number" || !Number.isFinite(value));
  if (wrong < 0) return list as number[];
  problems.push({ where: `${key}[${wrong}]`, expected: "a number", got: describe(list[wrong]) });
  return [];
}
