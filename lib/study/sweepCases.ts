import { designStorm, type DesignStormOptions, type PatternName } from "../rain/designStorm.ts";
import type { Rainfall } from "../rain/depthDuration.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import { COARSE_TOLERANCE } from "../simulate/runOptions.ts";
import type { Site } from "../site/site.ts";
import { optionReader } from "../units/optionReader.ts";
import { ANSWERS, answerRow } from "./answerRow.ts";
import type { Cases } from "./cases.ts";
import { resized } from "./resized.ts";
import { readSizes, type WrittenSizes } from "./readSizes.ts";

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
  readonly until: string | number | undefined;
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
export function sweepPlan(site: Site, options: SweepOptions): SweepPlan {
  const read = optionReader("sweep", options, "The sweep cannot be made:");
  const texts = (key: string): string[] => read.list(key, (value) => String(value));
  const [returnPeriods, durations] = [texts("returnPeriods"), texts("durations")];
  const pattern = (read.raw("pattern") ?? "block") as PatternName;
  const rainfall = read.raw("rainfall") as SweepOptions["rainfall"] | undefined;
  if (rainfall === undefined) read.problem("rainfall", "the rain of the place, as designStorm takes it");
  const further = Object.fromEntries(["interval", "climateFactor"].flatMap((key) => (read.has(key) ? [[key, read.raw(key)]] : [])));
  const until = read.raw("until") as string | number | undefined;
  const others = read.has("designs") ? read.children("designs").map((design) => {
    const name = design.raw("name");
    if (typeof name !== "string" || name.trim() === "") design.problem("name", "a name");
    return { name: String(name), sizes: readSizes(design) };
  }) : [];
  read.done();
  const designs = [
    { name: "as the site file has it", site },
    ...others.map(({ name, sizes }) => ({ name, site: resized(site, sizes) })),
  ];
  const isEquation = typeof rainfall === "object" && "form" in rainfall;
  const storms = returnPeriods.map((returnPeriod) => durations.map((duration) => designStorm({
    pattern, rainfall, duration, ...further, ...(isEquation || typeof rainfall === "function" ? {} : { returnPeriod }),
  } as unknown as DesignStormOptions)));
  return { designs, returnPeriods, durations, storms, until };
}
