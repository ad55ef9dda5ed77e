import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { solvedFor } from "../numerics/linearEquations.ts";
import { slopes } from "./leastSquares.ts";
import { seasonFit, whitening, type SeasonFit } from "./seasonFit.ts";
import { seasonModel, type Change, type SeasonRecord } from "./seasonModel.ts";

/** A change at a moment that nobody told. */
export interface ChangePoint extends Change {
  /** moments between which it lies with 95 percent [s] */
  readonly band: readonly [low: number, high: number];
  /** by how much the squares of what is left fall, in variances */
  readonly gain: number;
  /** the season with it */
  readonly fit: SeasonFit;
}

/**
 * The change of what the soil takes in that the readings ask for most, at a moment that nobody told: a cleaning that was not written
 * down, a floor that begins to silt up.
 *
 * At moments all through the record a step and a trend from there on are tried: by the slope c of the readings with it, cleared of what the
 * season's other unknowns could imitate, the squares of what is left would fall by
 *
 *   gain = (c . r)^2 / (c . c)
 *
 * and where the largest is far beyond chance the season is fitted again with it. Its band are the moments whose gain lies within what
 * chance makes of it.
 *
 * Chance: the model's own faults come storm by storm, and of many moments one is always the best; `ASKED` was found on seasons without a
 * change, see `tests/prove/seasons.test.ts`.
 *
 * @returns  null where the record is too short, or nothing asks for it
 * @source   score test, Rao, Mathematical Proceedings of the Cambridge Philosophical Society 44, 1948; the search over moments: Andrews,
 *           Econometrica 61, 1993; both from memory
 */
export function changePoint(record: SeasonRecord, before: SeasonFit): ChangePoint | null {
  const { time, dry, cleanings } = record;
  const [first, last] = [time[0]!, time.at(-1)!];
  if (last - first < SHORTEST) return null;
  const { deviation } = before.errors;
  const wet = dry.map((each) => 1 - each);
  const { told, whitenedModel } = whitening(record, before.model, wet, before.errors);
  const { unknowns } = before.model;
  const base = whitenedModel(before.values);
  const left = told.map((each, i) => (each - base[i]!) / deviation);
  const own = slopes(whitenedModel, unknowns, before.values)
    .map((column, j) => column.map((slope) => (slope * unknowns[j]!.size) / deviation));
  const prior = unknowns.map(({ size, prior: known }) => (known === undefined ? 1e-9 : (size / known.deviation) ** 2));
  const normal = own.map((a, j) => own.map((b, k) => dot(a, b) + (j === k ? prior[j]! : 0)));
  const cleared = (column: Float64Array): Float64Array => {
    const share = solvedFor(normal, own.map((each) => dot(each, column)));
    return column.map((each, i) => each - share.reduce((sum, part, j) => sum + part * own[j]![i]!, 0));
  };
  const gainOf = (change: Change): number => {
    const changed = { ...record, change };
    const model = seasonModel(changed);
    const at = model.names.indexOf("change");
    const values = model.names.map((name, j) => (j === at ? PUSH : before.values[before.model.names.indexOf(name)]!));
    const pushed = whitening(changed, model, wet, before.errors).whitenedModel(values);
    const column = cleared(pushed.map((each, i) => (each - base[i]!) / (PUSH * deviation)));
    const size = dot(column, column);
    return size > LEAST ? dot(column, left) ** 2 / size : 0;
  };
  const count = Math.min(MOST, Math.floor((last - first) / STEP));
  const half = (last - first) / count;
  const moments = Array.from({ length: count - 1 }, (_, i) => first + ((i + 1) * (last - first)) / count)
    .filter((moment) => moment - first > EDGE && last - moment > EDGE && cleanings.every((each) => Math.abs(each - moment) > EDGE));
  const tried = (["step", "trend"] as const).map((kind) => moments.map((at) => ({ at, kind, gain: gainOf({ kind, at }) })));
  const all = tried.flat();
  if (all.length === 0) return null;
  const best = all.reduce((most, each) => (each.gain > most.gain ? each : most));
  if (best.gain < ASKED) return null;
  const { kind } = best;
  const fitAt = (at: number): SeasonFit => seasonFit({ ...record, change: { kind, at } });
  // in the errors of the season without it
  const squaresAt = (at: number, values: readonly number[]): number => {
    const changed = { ...record, change: { kind, at } };
    const after = whitening(changed, seasonModel(changed), wet, before.errors).whitenedModel(values);
    return told.reduce((sum, each, i) => sum + ((each - after[i]!) / deviation) ** 2, 0);
  };
  // one storm on the wrong side of it spoils a fit, so the day is looked for once more with the change in
  const coarse = fitAt(best.at);
  const days = Array.from({ length: 2 * FINE + 1 }, (_, k) => best.at + ((k - FINE) * 2 * half) / FINE)
    .filter((day) => day > first && day < last).map((day) => ({ day, squares: squaresAt(day, coarse.values) }));
  const at = days.reduce((low, each) => (each.squares < low.squares ? each : low)).day;
  const fit = at === best.at ? coarse : fitAt(at);
  // slopes are those of the season without it: what a fit of its own gains decides
  const gain = dot(left, left) - squaresAt(at, fit.values);
  if (gain < ASKED) return null;
  const near = all.filter((each) => each.kind === kind && best.gain - each.gain < CHANCE).map(({ at }) => at);
  return { kind, at, band: [leastOf([...near, at]) - half, greatestOf([...near, at]) + half], gain, fit };
}

/** Moments lie so far apart: a few days are as near as storms tell [s]. */
const STEP = 4 * 86_400;
/** Days to either side of the best moment that are looked at once more. */
const FINE = 8;
/** Moments that are tried at most. */
const MOST = 32;
/** So near to an end, or to a cleaning that was told, a change is not told from it [s]. */
const EDGE = 8 * 86_400;
/** A record in which to look for one [s]. */
const SHORTEST = 50 * 86_400;
/** A change that shows and still is nearly a straight line, ln. */
const PUSH = 0.15;
/** Squares of slopes, in variances, of what could be seen at all. */
const LEAST = 1e-6;
/** Squares that a change has to take away, in variances. */
const ASKED = 25;
/** Squares by which moments may differ by chance: chi squared of one at 95 percent, times what faults storm by storm make of it. */
const CHANCE = 3.84 * 2.5;

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
