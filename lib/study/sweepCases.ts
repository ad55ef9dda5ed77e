import { designStormAt, type PatternName } from "../rain/storms/designStorm.ts";
import type { Rainfall } from "../rain/storms/depthDuration.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import { COARSE_TOLERANCE } from "../simulate/runOptions.ts";
import type { Site } from "../site/site.ts";
import { optionReader, type OptionReader } from "../text/optionReader.ts";
import { InputError, type Problem } from "../text/problem.ts";
import { ANSWERS, answerRow } from "./answerRow.ts";
import type { Cases } from "./cases.ts";
import { readSizes, type WrittenSizes } from "./readSizes.ts";
import { resized, sizeProblems, type Sizes } from "./resized.ts";

/** Storms of many durations and return periods, on one or several designs. */
export interface SweepOptions {
  /** the rain of the place, as `designStorm` takes it */
  readonly rainfall: Rainfall;
  /** such as "10 year"; an equation holds for one return period, which is then named for the reader only */
  readonly returnPeriods: readonly string[];
  /** such as "30 min" */
  readonly durations: readonly string[];
  /** a pattern that takes a rainfall; "block" where missing */
  readonly pattern?: PatternName;
  /** of patterns that ask for one */
  readonly interval?: string;
  readonly climateFactor?: number;
  readonly until?: string | number;
  /** other sizes of the same works beside those of the site file */
  readonly designs?: readonly ({ readonly name: string } & WrittenSizes)[];
}

export interface SweepStudy {
  readonly kind: "sweep";
  readonly site: Site;
  readonly options: SweepOptions;
}

/** What a sweep runs: its designs, and a storm for every return period and duration. */
export interface SweepPlan {
  readonly designs: readonly { readonly name: string; readonly site: Site }[];
  readonly returnPeriods: readonly string[];
  readonly durations: readonly string[];
  /** by return period, then duration */
  readonly storms: readonly (readonly Hyetograph[])[];
  /** by what all their rain is multiplied, for a climate to come; 1 where nothing is said */
  readonly rainTimes: number;
  /** [s]; undefined where runs end as they do where nothing is said */
  readonly until: number | undefined;
}

/**
 * A case for every design, return period and duration, in this order, the duration fastest; a row is `ANSWERS`.
 *
 * @throws InputError  with all problems
 */
export function sweepCases({ site, options }: SweepStudy): Cases {
  const { designs, returnPeriods, durations, storms, until } = sweepPlan(site, options);
  const each = returnPeriods.length * durations.length;
  return {
    columns: ANSWERS,
    count: designs.length * each,
    chunk: 10,
    row(index) {
      const storm = storms[Math.floor((index % each) / durations.length)]![index % durations.length]!;
      const tolerance = { tolerance: COARSE_TOLERANCE, ...(until === undefined ? {} : { until }) };
      return answerRow(designs[Math.floor(index / each)]!.site, storm, tolerance);
    },
  };
}

/** @throws InputError  with all problems */
export function sweepPlan(site: Site, options: unknown): SweepPlan {
  const read = optionReader("sweep", options, "The sweep cannot be made:");
  const texts = (key: string): string[] => read.list(key, (value) => String(value));
  const [returnPeriods, durations] = [texts("returnPeriods"), texts("durations")];
  const storms = stormsOf(read, returnPeriods, durations);
  const until = !read.has("until") ? undefined
    : typeof read.raw("until") === "number" ? read.number("until", { above: 0 }) : read.quantity("until", "time", { above: 0 });
  const others = read.has("designs") ? read.children("designs").map((design) => designOf(design, site)) : [];
  read.done();
  const designs = [
    { name: "as the site file has it", site },
    ...others.map(({ name, sizes }) => ({ name, site: resized(site, sizes) })),
  ];
  return { designs, returnPeriods, durations, storms, rainTimes: read.has("climateFactor") ? Number(read.raw("climateFactor")) : 1, until };
}

/**
 * Holds what a file asks against the reader of a sweep.
 *
 * @throws InputError  with all problems
 */
export function checkSweep(site: Site, options: unknown): asserts options is SweepOptions {
  sweepPlan(site, options);
}

function designOf(design: OptionReader, site: Site): { readonly name: string; readonly sizes: Sizes } {
  const name = design.raw("name");
  if (typeof name !== "string" || name.trim() === "") design.problem("name", "a name");
  const sizes = readSizes(design);
  for (const { where, expected, got } of sizeProblems(site, sizes)) design.problem(where, expected, got);
  return { name: String(name), sizes };
}

/** A storm for each return period and duration. What is wrong with many of them is said once. */
function stormsOf(read: OptionReader, returnPeriods: readonly string[], durations: readonly string[]): Hyetograph[][] {
  const given = Object.fromEntries(["pattern", "interval", "climateFactor"].flatMap((key) => (read.has(key) ? [[key, read.raw(key)]] : [])));
  const written = read.raw("rainfall") ?? null;
  if (written === null) read.problem("rainfall", "the rain of the place, as designStorm takes it");
  // Without any, one of our own will do to find what else is wrong.
  const rainfall = written ?? Math.sqrt;
  const isOne = typeof rainfall === "function" || (typeof rainfall === "object" && "form" in rainfall);
  if (isOne && written !== null && returnPeriods.length > 1) {
    read.problem("returnPeriods", "one, as an equation holds for one return period", String(returnPeriods.length));
  }
  const said = new Set<string>();
  const refuse = (key: string, { expected, got }: Problem): void => {
    const words = `${key} ${expected} ${got}`;
    if (!said.has(words)) read.problem(key, expected, got);
    said.add(words);
  };
  return returnPeriods.map((returnPeriod, r) => durations.map((duration, k) => {
    try {
      return designStormAt("sweep", { pattern: "block", ...given, rainfall, duration, ...(isOne ? {} : { returnPeriod }) });
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      const lists: Readonly<Record<string, string>> = { returnPeriod: `returnPeriods[${r}]`, duration: `durations[${k}]` };
      for (const problem of error.problems) {
        const key = problem.where.replace(/^sweep\./, "");
        refuse(lists[key] ?? key, problem);
      }
      return { time: new Float64Array(1), depth: new Float64Array(0) };
    }
  }));
}
