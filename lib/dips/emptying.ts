import { normalQuantile } from "../numerics/normalQuantile.ts";
import { designStormAt } from "../rain/storms/designStorm.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import { settledRun } from "../simulate/settledRun.ts";
import type { Site } from "../site/site.ts";
import { completedStorm } from "../study/criteria.ts";
import { durationText } from "../text/format.ts";
import { InputError } from "../text/problem.ts";
import { readQuantity } from "../text/quantity.ts";
import { asBuiltWorks } from "./asBuiltWorks.ts";
import { deviateOf } from "./fillFit.ts";
import { asBuiltOf, type FilledPit } from "./fillModel.ts";
import type { FillSolution } from "./fillSolution.ts";
import type { Unknown } from "./leastSquares.ts";
import { POROSITY_ERROR, withPorosity } from "./roomDoubt.ts";

/** The works as they are, after the storm that is asked of them. */
export interface Emptying {
  readonly storm: string;
  /** from the fullest moment on [s]; null: not within 20 days */
  readonly time: number | null;
  readonly band: { readonly low: number | null; readonly high: number | null };
  /** of the works as drawn [s] */
  readonly drawn: number | null;
  /** what was asked [s], and of what; null where the file asks nothing of the kind */
  readonly asked: { readonly time: number; readonly half: boolean } | null;
  readonly sentence: string;
}

/** Works as a fit found them. */
export interface FoundWorks {
  readonly values: readonly number[];
  readonly unknowns: readonly Unknown[];
  readonly covariance: readonly (readonly number[])[];
  /** by which a standard error is multiplied for a band of 95 percent */
  readonly deviate: number;
  /** whether an unknown is of the works, and not of the day they were measured on */
  counts(j: number): boolean;
  works(values: readonly number[], site: Site): Site;
  /** which of the values is the logarithm of the soil over room; -1 where `works` makes up for room by itself */
  readonly inSoil: number;
}

/** As `emptyingAfter`, for a fill test. */
export function emptyingOf(pit: FilledPit, { fit: { model, fit }, covariance, scatter }: FillSolution, site: Site): Emptying | null {
  const built = asBuiltWorks(pit.site);
  return emptyingAfter(pit.site, site, {
    values: fit.values, unknowns: model.unknowns, covariance, deviate: deviateOf(scatter, 0.975),
    // what went in on the day of the test is of no storm; dry soil drinks once
    counts: (j) => j > 0 && model.names[j] !== "dry",
    works: (values, on) => {
      const asBuilt = asBuiltOf(pit, model.names, values);
      return on === pit.site ? built(asBuilt) : asBuiltWorks(on)({ ...asBuilt, soil: asBuilt.soil * (1 + POROSITY_ERROR) });
    },
    inSoil: -1,
  });
}

/**
 * How long works as they were found take to empty after the storm that is asked of them, with its band: by the slopes of its logarithm
 * over the unknowns of the fit, and over the stone's porosity, of which conductivity over room stays as it was found.
 *
 * @param found  the site the works were found on, its groundwater of the day
 * @param drawn  the site as drawn
 * @returns      null where the file has no storm that can be made without another file
 */
export function emptyingAfter(found: Site, drawn: Site, { values, unknowns, covariance, deviate, counts, works,
  inSoil }: FoundWorks): Emptying | null {
  const asked = askedStorm(drawn);
  if (asked === null) return null;
  const { rain, half } = asked;
  const timeOf = (site: Site): number => {
    const { drainDown } = settledRun(site, rain, { until: rain.time.at(-1)! + LOOKED });
    return (half ? drainDown.half : drainDown.empty) ?? NaN;
  };
  const time = timeOf(works(values, found));
  const slopes = values.map((value, j) => {
    if (!counts(j)) return 0;
    const { low, high } = unknowns[j]!;
    const step = Math.max(1e-6, 0.5 * Math.sqrt(covariance[j]![j]!));
    const [below, above] = [Math.max(low, value - step), Math.min(high, value + step)];
    return (Math.log(timeOf(works(values.with(j, above), found))) - Math.log(timeOf(works(values.with(j, below),
      found)))) / (above - below);
  });
  const variance = slopes.reduce((sum, a, j) => sum + slopes.reduce((part, b, k) => part + a * covariance[j]![k]! * b, 0), 0);
  const roomy = inSoil < 0 ? values : values.with(inSoil, values[inSoil]! + Math.log(1 + POROSITY_ERROR));
  const ofRoom = Math.log(timeOf(works(roomy, withPorosity(found, 1 + POROSITY_ERROR)))) - Math.log(time);
  const spread = Math.hypot(deviate * Math.sqrt(Math.max(0, variance)), normalQuantile(0.975) * ofRoom);
  const known = (value: number): number | null => (Number.isFinite(value) ? value : null);
  const band = { low: known(time * Math.exp(-spread)), high: known(time * Math.exp(spread)) };
  return {
    storm: asked.name, time: known(time), band, drawn: known(timeOf(drawn)), asked: asked.time === null ? null : { time: asked.time, half },
    sentence: sentenceOf(asked, known(time), band),
  };
}

/** How long after the rain is looked [s]. */
const LOOKED = 20 * 86_400;

interface AskedStorm {
  readonly name: string;
  readonly rain: Hyetograph;
  readonly time: number | null;
  readonly half: boolean;
}

function sentenceOf({ name, time: asked, half }: AskedStorm, time: number | null, { low, high }: Emptying["band"]): string {
  const state = half ? "half empty" : "empty";
  const start = `After ${name} the pit is ${state} `;
  if (time === null) return `${start}not within 20 days${asked === null ? "" : `, against ${durationText(asked)} asked`}.`;
  const took = `${start}in ${durationText(time)}${low === null || high === null ? "" : ` (${durationText(low)} to ${durationText(high)})`}`;
  if (asked === null) return `${took}; the file asks for no time.`;
  const verdict = low !== null && low > asked ? "too slow" : high !== null && high <= asked ? "in time" : time <= asked ? "in time, but not for sure" : "too slow, but not for sure";
  return `${took}, against ${durationText(asked)} asked: ${verdict}.`;
}

/** The first storm for which the studies of the file ask a time of emptying; else its first storm, of which no time is asked. */
function askedStorm(site: Site): AskedStorm | null {
  const studies = (site.studies ?? {}) as Readonly<Record<string, unknown>>;
  const size = studies["size"] as { readonly criteria?: unknown } | undefined;
  const criteria = Array.isArray(size?.criteria) ? size.criteria as readonly Readonly<Record<string, unknown>>[] : [];
  for (const criterion of criteria) {
    const half = criterion["emptyWithin"] === undefined;
    const within = criterion[half ? "halfEmptyWithin" : "emptyWithin"];
    const time = within === undefined ? null : readQuantity(within, "time");
    if (time === null || !("value" in time)) continue;
    const storm = criterion["storm"];
    const named = site.storms.find(({ name }) => name === storm);
    const rain = made(named?.options ?? storm, studies["rainfall"]);
    if (rain !== null) return { name: named === undefined ? "the storm that is asked" : `“${named.name}”`, rain, time: time.value, half };
  }
  for (const { name, options } of site.storms) {
    const rain = made(options, studies["rainfall"]);
    if (rain !== null) return { name: `“${name}”`, rain, time: null, half: false };
  }
  return null;
}

/** null for a storm in a file, or one that leaves its duration open */
function made(storm: unknown, rainfall: unknown): Hyetograph | null {
  if (typeof storm !== "object" || storm === null || "file" in storm) return null;
  try {
    return designStormAt("designStorm", completedStorm(storm, rainfall));
  } catch (failure) {
    if (failure instanceof InputError) return null;
    throw failure;
  }
}

/** `after 31 h`, or that it is not within the time that is looked at. */
export function drainText(time: number | null): string {
  return time === null ? "not within 20 days" : `after ${durationText(time)}`;
}
