import { readRainFile } from "../node/readRainFile.ts";
import { designStormAt } from "../rain/storms/designStorm.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import type { RecordOptions } from "../rain/record/recordOptions.ts";
import { parseJson } from "../schema/parseJson.ts";
import type { StoppedStorm, StormRun } from "../report/summary.ts";
import type { Run } from "../simulate/run.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import type { Site, StormChoice } from "../site/site.ts";
import { describe } from "../text/describe.ts";
import { InputError, type Problem } from "../text/problem.ts";
import type { Beside } from "./beside.ts";
import { readText } from "./files.ts";
import { recordedRain } from "./recordedRain.ts";

/** The rain of a storm, and what was assumed, repaired and refused in its record. */
export interface StormRain {
  readonly rain: Hyetograph;
  readonly notes: readonly string[];
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
    const { rain, notes } = rains[i]!;
    try {
      storms.push({ name, run: run(rain, name), rainNotes: notes });
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
    const { rain, notes } = await readRainFile(path, options);
    return { rain, notes: notes.map((note) => `${file}: ${note}`) };
  }
  const problems: Problem[] = Object.entries(options).map(([key, value]) => ({ where: key, expected: "no options beside a file of JSON", got: describe(value) }));
  const content = parseJson(await readText(path), problems);
  if (problems.length > 0) throw new InputError("The rain cannot be used:", problems);
  return { rain: recordedRain(content), notes: [] };
}
