import { greatestOf } from "../numerics/extremes.ts";
import type { Rainfall } from "../rain/storms/depthDuration.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import type { SimulateOptions } from "../simulate/runOptions.ts";
import { COARSE_TOLERANCE } from "../simulate/runOptions.ts";
import type { Prices } from "../site/prices.ts";
import type { Site } from "../site/site.ts";
import { optionReader, type OptionReader } from "../text/optionReader.ts";
import { ANSWERS, answerRow } from "./answerRow.ts";
import type { AskedRun } from "./askedRuns.ts";
import type { Cases } from "./cases.ts";
import { readCriteria, readRecorded, type AskedStorm, type Criterion, type WrittenCriterion } from "./criteria.ts";
import { readSteps, type WrittenSteps } from "./readSizes.ts";
import { buildableUp } from "../text/buildable.ts";
import { PIPE_SIZES, resized, sizeProblems, type Sizes } from "./resized.ts";
import { readThumbs, type Thumb, type WrittenThumb } from "./rulesOfThumb.ts";
import { withSealedFloors } from "./sidesOnly.ts";

export interface SizeOptions {
  readonly rainfall?: Rainfall;
  readonly criteria: readonly WrittenCriterion[];
  /** the rain of recorded storms of the site that criteria name, which stands in files */
  readonly recorded?: readonly { readonly name: string; readonly rain: Hyetograph }[];
  readonly steps: WrittenSteps;
  /** judges every design with silt over its floors: `openFloorShare` 0 */
  readonly sidesOnly?: boolean;
  /** sizes by rule of thumb to be shown beside: room for an inch and for an inch and a half of rain where missing */
  readonly rulesOfThumb?: readonly WrittenThumb[];
}

export interface SizeStudy {
  readonly kind: "size";
  readonly site: Site;
  readonly options: SizeOptions;
}

/** What is tried, and what it is held against. */
export interface SizePlan {
  readonly sizes: readonly Sizes[];
  readonly storms: readonly AskedStorm[];
  readonly criteria: readonly Criterion[];
  /** of the site; null: the least dug is best */
  readonly prices: Prices | null;
  readonly sidesOnly: boolean;
  readonly thumbs: readonly Thumb[];
  /** the works in one of the sizes, lengths that can be set out with a tape, floors as the file has them */
  readonly siteOf: (sizes: Sizes) => Site;
  /** the steps of every size that was given more than one, from the least up */
  readonly steps: ReadonlyMap<keyof Sizes, readonly number[]>;
  /** the rows of a design, one for every run of every storm, in their order */
  readonly rowOf: (site: Site, run: number) => readonly number[];
  readonly runCount: number;
  /** a row of any rain, that runs as long as what is asked in a storm needs */
  readonly runOf: (site: Site, run: Pick<AskedRun, "rain" | "dayBefore">, storm: number) => readonly number[];
}

/** Designs that are tried at most; every one of them is run, so that the answer is sure. */
const MOST_DESIGNS = 5000;

/**
 * A case for every design and run of a storm, the run fastest; a row is `ANSWERS`, of a storm after a day of rain with what the emitter
 * lets out and what comes to the surface in that day alone taken off.
 *
 * @throws InputError  with all problems
 */
export function sizeCases({ site, options }: SizeStudy): Cases {
  const { sizes, siteOf, sidesOnly, rowOf, runCount } = sizePlan(site, options);
  const asRun = (each: Sizes): Site => (sidesOnly ? withSealedFloors(siteOf(each)) : siteOf(each));
  return {
    columns: ANSWERS, count: sizes.length * runCount, chunk: 20,
    row: (index) => rowOf(asRun(sizes[Math.floor(index / runCount)]!), index % runCount),
  };
}

function rowsOf(storms: readonly AskedStorm[], criteria: readonly Criterion[]): Pick<SizePlan, "rowOf" | "runCount" | "runOf"> {
  const runs = storms.flatMap((storm, s) => storm.runs.map((run) => ({ run, storm: s })));
  const ofDay = ANSWERS.map(({ name }) => name === "emitterVolume" || name === "spilled");
  const runOf: SizePlan["runOf"] = (site, { rain, dayBefore }, storm) => {
    const end = endOf(rain, criteria.filter((each) => each.storm === storm));
    const row = answerRow(site, rain, { tolerance: COARSE_TOLERANCE, ...end });
    if (dayBefore === null) return row;
    const before = answerRow(site, dayBefore, { tolerance: COARSE_TOLERANCE, until: dayBefore.time.at(-1)! });
    return row.map((value, i) => (ofDay[i] ? Math.max(0, value - before[i]!) : value));
  };
  return { runCount: runs.length, runOf, rowOf: (site, index) => runOf(site, runs[index]!.run, runs[index]!.storm) };
}

/** A run in which a time is asked goes on for so long that the time asked has passed since the pit was fullest. */
function endOf(rain: Hyetograph, criteria: readonly Criterion[]): Pick<SimulateOptions, "until"> {
  const asked = greatestOf([0, ...criteria.map(({ asks, limit }) => (asks === "halfEmptyWithin" || asks === "emptyWithin" ? limit : 0))]);
  return asked === 0 ? {} : { until: rain.time.at(-1)! + RUNS_IN + asked };
}

/** By then what a storm brings has run in and the pit has begun to fall [s]; as long as runs go on where nothing is said. */
const RUNS_IN = 72 * 3600;

/**
 * Holds what a file asks against the reader of `size`.
 *
 * @throws InputError  with all problems
 */
export function checkSize(site: Site, options: unknown): asserts options is SizeOptions {
  sizePlan(site, options);
}

/** @throws InputError  with all problems */
export function sizePlan(site: Site, options: unknown): SizePlan {
  const read = optionReader("size", options, "The works cannot be sized:");
  const { storms, criteria } = readCriteria(read, site, read.raw("rainfall"), readRecorded(read));
  const steps = read.child("steps");
  const sizes = readSteps(steps);
  if (sizes.length > MOST_DESIGNS) read.problem("steps", `no more than ${MOST_DESIGNS} designs`, `${sizes.length}`);
  else checkSizes(steps, site, sizes);
  const prices = pricesOf(site);
  if (prices === undefined) read.problem("prices", "prices as they are read, in the site itself", "the name of a file");
  const sidesOnly = read.flag("sidesOnly", false);
  const thumbs = readThumbs(read);
  read.done();
  return {
    sizes, storms, criteria, prices: prices ?? null, sidesOnly, thumbs, steps: stepsOf(sizes), ...rowsOf(storms, criteria),
    siteOf: (each) => setOut(site, each),
  };
}

/** The steps of each size, from the least up, of those that were given more than one. */
function stepsOf(sizes: readonly Sizes[]): SizePlan["steps"] {
  const keys = Object.keys(sizes[0] ?? {}) as (keyof Sizes)[];
  const all = keys.map((key) => [key, [...new Set(sizes.map((each) => each[key]!))].sort((a, b) => a - b)] as const);
  return new Map(all.filter(([, values]) => values.length > 1));
}

/** The works in other sizes; a pit whose length comes of its chambers is as long as a tape can set out, no shorter. */
export function setOut(drawn: Site, sizes: Sizes): Site {
  const now = drawn.chamberBank.length;
  return resized(drawn, sizes, (length) => (sizes.pitLength !== undefined || length === now ? length : buildableUp(length, drawn.units)));
}

/** Sizes between whose steps any length can be built; numbers of chambers and diameters of pipes come whole, or as they are bought. */
export function isLength(key: keyof Sizes): boolean {
  return key !== "chambers" && !PIPE_SIZES.includes(key);
}

/** Whatever sizes cannot be is said before any is run, each thing once. */
function checkSizes(steps: OptionReader, site: Site, sizes: readonly Sizes[]): void {
  const said = new Set<string>();
  for (const { where, expected, got } of sizes.flatMap((each) => sizeProblems(site, each))) {
    const words = `${where} ${expected} ${got}`;
    if (!said.has(words)) steps.problem(where, expected, got);
    said.add(words);
  }
}

/** Undefined where they still stand in a file. */
function pricesOf({ prices }: Site): Prices | null | undefined {
  return prices !== null && "file" in prices ? undefined : prices;
}
