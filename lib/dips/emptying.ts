import { normalQuantile } from "../numerics/normalQuantile.ts";
import { designStormAt } from "../rain/storms/designStorm.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import { drainedWithin } from "../simulate/drainTime.ts";
import { settledRun } from "../simulate/settledRun.ts";
import type { Site } from "../site/site.ts";
import type { AskedRun } from "../study/askedRuns.ts";
import { readCriteria, type RecordedStorm } from "../study/criteria.ts";
import { optionReader } from "../text/optionReader.ts";
import { asBuiltWorks } from "./asBuiltWorks.ts";
import { deviateOf } from "./fillFit.ts";
import { asBuiltOf, type FilledPit } from "./fillModel.ts";
import type { FillSolution } from "./fillSolution.ts";
import type { Unknown } from "./leastSquares.ts";
import { POROSITY_ERROR, withPorosity } from "./roomDoubt.ts";
import { lastingText } from "../text/hours.ts";

/** The works as they are, after the storm that is asked of them. */
export interface Emptying {
  readonly storm: string;
  /** its rain */
  readonly rain: Hyetograph;
  /** whether it is timed to half empty */
  readonly half: boolean;
  /** from the fullest moment on [s]; null: not within 20 days */
  readonly time: number | null;
  readonly band: { readonly low: number | null; readonly high: number | null };
  /** of the works as drawn [s] */
  readonly drawn: number | null;
  /** what was asked [s], and of what; null where the file asks nothing of the kind */
  readonly asked: { readonly time: number; readonly half: boolean } | null;
  /** storms in which something is asked and whose rain stands in files that were not read */
  readonly passedOver: readonly string[];
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
  /**
   * which of the values is the logarithm of the soil over room; -1 where `works` makes up for room by itself, null where the doubt of the
   * room is in the covariance
   */
  readonly inSoil: number | null;
}

/** The works as a fill test found them, on the site as it was on that day. */
export function foundByFill(pit: FilledPit, { fit: { model, fit }, covariance, scatter }: FillSolution): FoundWorks {
  const built = asBuiltWorks(pit.site);
  return {
    values: fit.values, unknowns: model.unknowns, covariance, deviate: deviateOf(scatter, 0.975),
    // what went in on the day of the test is of no storm; dry soil drinks once
    counts: (j) => j > 0 && model.names[j] !== "dry",
    works: (values, on) => {
      const asBuilt = asBuiltOf(pit, model.names, values);
      return on === pit.site ? built(asBuilt) : asBuiltWorks(on)({ ...asBuilt, soil: asBuilt.soil * (1 + POROSITY_ERROR) });
    },
    inSoil: -1,
  };
}

/**
 * How long works as they were found take to empty after the storm that is asked of them, with its band: by the slopes of its logarithm
 * over the unknowns of the fit, and over the stone's porosity, of which conductivity over room stays as it was found.
 *
 * @param found  the site the works were found on, its groundwater of the day
 * @param drawn  the site as drawn
 * @param recorded  rain of the site's recorded storms, which stands in files
 * @returns      null where the file has no storm, or none whose rain was read
 * @throws InputError  where what the file asks cannot be read
 */
export function emptyingAfter(found: Site, drawn: Site, { values, unknowns, covariance, deviate, counts, works,
  inSoil }: FoundWorks, recorded: readonly RecordedStorm[]): Emptying | null {
  const after = (site: Site, of: Hyetograph, toHalf: boolean): number => {
    const { half: halved, empty } = drainedWithin(settledRun(site, of, { until: of.time.at(-1)! + LOOKED }));
    return (toHalf ? halved : empty) ?? NaN;
  };
  // one that never empties is the last of all
  const lateness = (run: AskedRun, toHalf: boolean): number => after(drawn, run.rain, toHalf) || Infinity;
  const { asked, passedOver } = askedStorm(drawn, recorded, (runs, toHalf) => runs.map((run) => ({ run, late: lateness(run, toHalf) }))
    .reduce((worst, each) => (each.late > worst.late ? each : worst)).run);
  if (asked === null) return null;
  const { rain, half } = asked;
  const timeOf = (site: Site): number => after(site, rain, half);
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
  const roomy = inSoil === null || inSoil < 0 ? values : values.with(inSoil, values[inSoil]! + Math.log(1 + POROSITY_ERROR));
  const ofRoom = inSoil === null ? 0 : Math.log(timeOf(works(roomy, withPorosity(found, 1 + POROSITY_ERROR)))) - Math.log(time);
  const spread = Math.hypot(deviate * Math.sqrt(Math.max(0, variance)), normalQuantile(0.975) * ofRoom);
  const known = (value: number): number | null => (Number.isFinite(value) ? value : null);
  const band = { low: known(time * Math.exp(-spread)), high: known(time * Math.exp(spread)) };
  return {
    storm: asked.name, rain, half, time: known(time), band, drawn: known(timeOf(drawn)), passedOver,
    asked: asked.time === null ? null : { time: asked.time, half }, sentence: sentenceOf(asked, known(time), band),
  };
}

/** The same with the time that was found when all that was measured was at hand, where it is of the same storm. */
export function emptyingAsFound(emptying: Emptying, found: Pick<Emptying, "storm" | "half"> & {
  readonly time: number; readonly band: { readonly low: number; readonly high: number };
}): Emptying {
  const { asked, half, storm } = emptying;
  if (found.storm !== storm || found.half !== half) return emptying;
  const { time, band } = found;
  return { ...emptying, time, band, sentence: sentenceOf({ name: storm, time: asked?.time ?? null, half }, time, band) };
}

/** The same of the works as they are drawn, of which nothing was measured. */
export function emptyingAsDrawn(drawn: Site, recorded: readonly RecordedStorm[]): Emptying | null {
  const asDrawn: FoundWorks = {
    values: [], unknowns: [], covariance: [], deviate: 0, counts: () => false, works: () => drawn, inSoil: null,
  };
  return emptyingAfter(drawn, drawn, asDrawn, recorded);
}

/** What was not looked at, in sentences. */
export function passedOverNotes(emptying: Emptying | null): string[] {
  return (emptying?.passedOver ?? []).map((name) => `What the file asks in “${name}” is not looked at: its rain stands in a file that was not read.`);
}

/** How long after the rain is looked [s]. */
const LOOKED = 20 * 86_400;

interface AskedStorm {
  readonly name: string;
  readonly rain: Hyetograph;
  readonly time: number | null;
  readonly half: boolean;
}

function sentenceOf({ name, time: asked, half }: Omit<AskedStorm, "rain">, time: number | null, { low, high }: Emptying["band"]): string {
  const state = half ? "half empty" : "empty";
  const start = `After ${name} the pit is ${state} `;
  if (time === null) return `${start}not within 20 days${asked === null ? "" : `, against ${lastingText(asked)} asked`}.`;
  const took = `${start}in ${lastingText(time)}${low === null || high === null ? "" : ` (${lastingText(low)} to ${lastingText(high)})`}`;
  if (asked === null) return `${took}; the file asks for no time.`;
  const verdict = low !== null && low > asked ? "too slow" : high !== null && high <= asked ? "in time" : time <= asked ? "in time, but not for sure" : "too slow, but not for sure";
  return `${took}, against ${lastingText(asked)} asked: ${verdict}.`;
}

/**
 * The first storm for which the studies of the file ask a time of emptying, in the run that empties last as drawn; else its first storm, of
 * which no time is asked. A storm whose rain stands in a file and was not read is passed over, and told.
 *
 * @throws InputError  where what the file asks cannot be read
 */
function askedStorm(site: Site, recorded: readonly RecordedStorm[], last: (runs: readonly AskedRun[], half: boolean) => AskedRun): {
  readonly asked: AskedStorm | null; readonly passedOver: readonly string[];
} {
  const unread = site.storms.flatMap(({ name, options }) => ("file" in options && recorded.every((each) => each.name !== name) ? [name] : []));
  const { size, rainfall } = site.studies ?? { size: null, rainfall: null };
  const written = size?.["criteria"];
  const readable = Array.isArray(written) ? written.filter((each: unknown) => !unread.includes(stormName(each))) : [];
  const passedOver = unread.filter((name) => Array.isArray(written) && written.some((each) => stormName(each) === name));
  if (readable.length > 0) {
    const read = optionReader("studies.size", { criteria: readable }, "What the file asks cannot be read:");
    const { storms, criteria } = readCriteria(read, site, size?.["rainfall"] ?? rainfall ?? undefined, recorded);
    read.done();
    const timed = criteria.find(({ asks }) => asks === "emptyWithin" || asks === "halfEmptyWithin");
    if (timed !== undefined) {
      const [{ name, runs }, half] = [storms[timed.storm]!, timed.asks === "halfEmptyWithin"];
      const { rain, duration } = runs.length === 1 ? runs[0]! : last(runs, half);
      return { asked: { name: `“${name}${duration === null ? "" : `: ${duration}`}”`, rain, time: timed.limit, half }, passedOver };
    }
  }
  const first = site.storms.find(({ name }) => !unread.includes(name));
  if (first === undefined) return { asked: null, passedOver: [...new Set([...passedOver, ...unread])] };
  const rain = recorded.find(({ name }) => name === first.name)?.rain ?? designStormAt("storms", first.options);
  return { asked: { name: `“${first.name}”`, rain, time: null, half: false }, passedOver };
}

function stormName(criterion: unknown): string {
  const storm = typeof criterion === "object" && criterion !== null && "storm" in criterion ? criterion.storm : null;
  return typeof storm === "string" ? storm : "";
}

/** `after 31 h`, or that it is not within the time that is looked at. */
export function drainText(time: number | null): string {
  return time === null ? "not within 20 days" : `after ${lastingText(time)}`;
}
