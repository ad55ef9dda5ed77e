import { normalQuantile } from "../numerics/normalQuantile.ts";
import { designStorm } from "../rain/storms/designStorm.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import { settledRun } from "../simulate/settledRun.ts";
import type { Site } from "../site/site.ts";
import { durationText } from "../text/format.ts";
import { InputError } from "../text/problem.ts";
import { readQuantity } from "../text/quantity.ts";
import { asBuiltWorks } from "./asBuiltWorks.ts";
import { deviateOf } from "./fillFit.ts";
import { asBuiltOf, type FilledPit } from "./fillModel.ts";
import type { FillSolution } from "./fillSolution.ts";
import type { Emptying } from "./fillTest.ts";
import { POROSITY_ERROR, withPorosity } from "./roomDoubt.ts";

/**
 * How long works as they were found take to empty after the storm that is asked of them, with its band: by the slopes of its logarithm
 * over the unknowns of the fit, and over the stone's porosity, of which conductivity over room stays as it was found.
 *
 * @returns  null where the file has no storm that can be made without another file
 */
export function emptyingOf(pit: FilledPit, { fit: { model, fit }, covariance, scatter }: FillSolution, site: Site): Emptying | null {
  const asked = askedStorm(site);
  if (asked === null) return null;
  const { rain, half } = asked;
  const timeOf = (works: Site): number => {
    const { drainDown } = settledRun(works, rain, { until: rain.time.at(-1)! + LOOKED });
    return (half ? drainDown.half : drainDown.empty) ?? NaN;
  };
  const built = asBuiltWorks(pit.site);
  const ofValues = (values: readonly number[]): number => timeOf(built(asBuiltOf(pit, model.names, values)));
  const time = ofValues(fit.values);
  const drawn = timeOf(site);
  const slopes = fit.values.map((value, j) => {
    const { low, high } = model.unknowns[j]!;
    // what went in on the day of the test is of no storm; dry soil drinks once
    if (j === 0 || model.names[j] === "dry") return 0;
    const step = Math.max(1e-6, 0.5 * Math.sqrt(covariance[j]![j]!));
    const [below, above] = [Math.max(low, value - step), Math.min(high, value + step)];
    return (Math.log(ofValues(fit.values.with(j, above))) - Math.log(ofValues(fit.values.with(j, below)))) / (above - below);
  });
  const variance = slopes.reduce((sum, a, j) => sum + slopes.reduce((part, b, k) => part + a * covariance[j]![k]! * b, 0), 0);
  const roomy = withPorosity(pit.site, 1 + POROSITY_ERROR);
  const asFound = asBuiltOf(pit, model.names, fit.values);
  const ofRoom = Math.log(timeOf(asBuiltWorks(roomy)({ ...asFound, soil: asFound.soil * (1 + POROSITY_ERROR) }))) - Math.log(time);
  const spread = Math.hypot(deviateOf(scatter, 0.975) * Math.sqrt(variance), normalQuantile(0.975) * ofRoom);
  const known = (value: number): number | null => (Number.isFinite(value) ? value : null);
  const band = { low: known(time * Math.exp(-spread)), high: known(time * Math.exp(spread)) };
  return { storm: asked.name, time: known(time), band, drawn: known(drawn), asked: asked.time === null ? null : { time: asked.time, half }, sentence: sentenceOf(asked, known(time), band) };
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
  if (time === null) return `${start}not within 20 days${asked === null ? "" : `; ${durationText(asked)} was asked`}.`;
  const took = `${start}in ${durationText(time)}${low === null || high === null ? "" : ` (${durationText(low)} to ${durationText(high)})`}`;
  if (asked === null) return `${took}; the file asks for no time.`;
  const verdict = low !== null && low > asked ? "too slow" : high !== null && high <= asked ? "in time" : time <= asked ? "in time, but not for sure" : "too slow, but not for sure";
  return `${took}; ${durationText(asked)} was asked: ${verdict}.`;
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
  const needsRain = !["depth", "rainfall", "intensity", "points"].some((key) => key in storm) && rainfall !== undefined;
  try {
    return designStorm({ pattern: "block", ...storm, ...(needsRain ? { rainfall } : {}) } as never);
  } catch (failure) {
    if (failure instanceof InputError) return null;
    throw failure;
  }
}
