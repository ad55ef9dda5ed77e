import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { solvedFor } from "../numerics/linearEquations.ts";
import { dot, oneSidedSlopes, slopes } from "./leastSquares.ts";
import {
  heldOutOfReach, likeliest, outOfReach, seasonBand, seasonFit, whitening, withSoil, type Likeliest, type SeasonFit,
} from "./seasonFit.ts";
import { seasonModel, YEAR, type Change, type SeasonModel, type SeasonRecord } from "./seasonModel.ts";

/** A change at a moment that nobody told. */
export interface ChangePoint extends Change {
  /** moments between which it lies with 95 percent [s] */
  readonly band: readonly [low: number, high: number];
  /** by how much -2 ln L falls with it, less what a trend beside a step costs */
  readonly gain: number;
  /** the season with it */
  readonly fit: SeasonFit;
}

/** What of a season's changes the readings tell. */
export interface ChangesTold {
  /** null: they ask for none beyond a trend throughout */
  readonly change: ChangePoint | null;
  /** a change of another kind that they do not tell from that one, or from the trend */
  readonly rival: ChangePoint | null;
}

/**
 * The change of what the soil takes in that the readings ask for most, at a moment that nobody told: a cleaning that was not written
 * down, a floor that begins to silt up.
 *
 * A season without a change bends its trend and its water table until they look like one, and from there the change cannot be seen. So
 * the pace of the soil is first left free every few days (`loosened`), as nothing else would be: steps p_k at moments all through the
 * record. Around that fit the levels are a straight line in p, and a step on one day, a trend from a day on, one trend throughout or
 * none are each a few numbers phi with p = A phi, whose best leaves
 *
 *   min over phi of |z - J A phi|^2 + priors,    z = r + J p
 *
 * in squares: an equation of ten unknowns for each day and kind. The best days of a step, and of a trend, are fitted in full from
 * there, the better day of each is searched once more with the change in (`daysAround`), and both are compared with each other and with
 * the season that has none by -2 ln L. Where step and trend differ by less than chance, the less likely one is the other's rival. A step
 * with a trend beside it and the same step without are one: the soil's band holds both.
 *
 * Chance: the model's own faults come storm by storm, and of many moments one is always the best; the limits were found on seasons of
 * `tests/bench/seasonTrials.mjs` other than those it counts.
 *
 * @source   likelihood ratio, any text; the search over moments: Andrews, Econometrica 61, 1993, from memory
 */
export function changePoint(record: SeasonRecord, before: SeasonFit): ChangesTold {
  const { time } = record;
  const loose = time.at(-1)! - time[0]! < SHORTEST ? null : loosened(record);
  const trend = seasonBand(before, "trend");
  const hasTrend = trend !== null && (trend.low > 0 || trend.high < 0);
  if (loose === null || (!hasTrend && gainOfPaces(loose, before) < SOME)) return { change: null, rival: null };
  const plain = likeliest(record, before.model, [before.values]);
  const found = ranked(record, loose, before).map((ofKind) => {
    const near = ofKind.map((change) => ({ change, likely: fitted(record, change, [change.start]) }))
      .reduce((low, each) => (each.likely.surprise < low.likely.surprise ? each : low));
    let best = { change: near.change, likely: fromAfar(record, near.change, near.likely) };
    let around = daysAround(record, best.change, best.likely);
    for (let move = 0; move < MOST_MOVES && around.at !== best.change.at; move++) {
      const change = { ...best.change, at: around.at };
      const likely = fitted(record, change, best.likely.fits.map(({ values }) => values), best.likely.errors);
      if (likely.surprise > best.likely.surprise) break;
      best = { change, likely };
      around = daysAround(record, change, likely);
    }
    const { kind, at, withTrend } = best.change;
    const [{ likely }, { band }] = [best, around];
    return { change: { kind, at, withTrend }, likely, band, gain: plain.surprise - likely.surprise - (withTrend ? BESIDE : 0) };
  }).sort((a, b) => b.gain - a.gain);
  const told = ({ change, likely, band, gain }: (typeof found)[number]): ChangePoint => {
    const fit = seasonFit({ ...record, change }, likely.fits.map(({ values }) => values), likely.errors);
    return { ...change, gain, band, fit: withDays(record, change, band, fit) };
  };
  const best = found[0]!;
  if (best.gain >= ASKED) {
    const [same, others] = [found.slice(1).find((each) => isSame(best, each)), found.slice(1).filter((each) => !isSame(best, each))];
    const change = told(best);
    return {
      change: same === undefined || best.gain - same.gain >= TOLD_APART ? change : withSoilOf(change, told(same)),
      rival: best.gain - others[0]!.gain < TOLD_APART ? told(others[0]!) : null,
    };
  }
  const step = found.find(({ change: { kind } }) => kind === "step")!;
  // one that has something for it is no chance beyond doubt, and not told beyond doubt
  if (best.gain > TOLD_APART) return { change: null, rival: told(best) };
  return { change: null, rival: hasTrend && step.gain > -TOLD_APART ? told(step) : null };
}

/** A change and the days between which it lies. */
interface Dated extends Pick<ChangePoint, "band"> {
  readonly change: Change;
}

/** Whether two changes are one, told with a trend beside it and without: of one kind, each on a day that the other's band holds. */
function isSame(one: Dated, other: Dated): boolean {
  const holds = ([low, high]: ChangePoint["band"], at: number): boolean => low <= at && at <= high;
  return one.change.kind === other.change.kind && holds(one.band, other.change.at) && holds(other.band, one.change.at);
}

/** A change with the soil's band so wide that it holds what the soil is with another one. */
function withSoilOf(change: ChangePoint, { fit: { soilBand: [low, high] } }: ChangePoint): ChangePoint {
  const { fit } = change;
  return { ...change, fit: { ...fit, soilBand: [Math.min(low, fit.soilBand[0]), Math.max(high, fit.soilBand[1])] } };
}

/**
 * The likeliest fit of a change, set out once more at the drawn floor, and over a water table out of reach: first held there, where what
 * is left to find is nearly straight, then let go. Soil, floor and table make up for one another, and a season's likelihood may have a
 * hollow on either side of a hill: the one that the season without the change lies in, from which all this began, need not be the deeper
 * with it. The hollows have errors of their own, for by those of one the other looks worse than it is.
 *
 * @returns  the likelier of both, and behind its own hollows the other's
 */
function fromAfar(record: SeasonRecord, { kind, at, withTrend }: Required<Change>, { fits, errors }: Likeliest): Likeliest {
  const changed = { ...record, change: { kind, at, withTrend } };
  const model = seasonModel(changed);
  const { values } = fits[0]!;
  const floor = model.names.indexOf("floor");
  const drawn = floor < 0 ? values : values.with(floor, model.unknowns[floor]!.start);
  const inReach = likeliest(changed, model, [values, withSoil(changed, model, drawn).values], errors);
  const { values: afar } = withSoil(changed, model, outOfReach(model, values));
  const held = likeliest(changed, { ...model, unknowns: heldOutOfReach(model) }, [afar]);
  const deep = likeliest(changed, model, [held.fits[0]!.values], held.errors);
  const [best, other] = deep.surprise < inReach.surprise ? [deep, inReach] : [inReach, deep];
  return { ...best, fits: [...best.fits, ...other.fits] };
}

/**
 * A season with a change, the soil's band as wide as the days between which the change lies make it: by what the soil is with the change on
 * the first and on the last of them.
 */
function withDays(
  record: SeasonRecord, { kind, at, withTrend }: Required<Change>, days: readonly number[], fit: SeasonFit,
): SeasonFit {
  const soil = fit.model.names.indexOf("soil");
  const value = fit.values[soil]!;
  const moved = days.map((day) => (day === at ? value
    : fitted(record, { kind, at: day, withTrend }, [fit.values], fit.errors).fits[0]!.values[soil]!));
  const [low, high] = fit.soilBand;
  return {
    ...fit,
    soilBand: [
      value - Math.hypot(value - low, Math.max(0, value - leastOf(moved))),
      value + Math.hypot(high - value, Math.max(0, greatestOf(moved) - value)),
    ],
  };
}

/** Moments lie so far apart: a few days are as near as storms tell [s]. */
const STEP = 4 * 86_400;
/** Moments that are tried at most. */
const MOST = 32;
/** So near to an end, or to a cleaning that was told, a change is not told from it [s]. */
const EDGE = 8 * 86_400;
/** A record in which to look for one [s]. */
const SHORTEST = 50 * 86_400;
/** What the soil's pace does from one moment to the next, ln: wide enough for a cleaning. */
const PACE = 0.5;
/** Squares that free paces have to take away for a change to be looked for, in variances. */
const SOME = 35;
/** By which -2 ln L has to fall. */
const ASKED = 25;
/** What a trend beside a step has to take off more. */
const BESIDE = 10;
/** By which -2 ln L of step and trend have to differ. */
const TOLD_APART = 10;
/** By which -2 ln L of moments may differ by chance: chi squared of one at 95 percent, times what faults storm by storm make of it. */
const CHANCE = 3.84 * 2.5;
/** Between the days that are tried around one [s]. */
const DAY = 86_400;

/** A season in which the soil's pace may step at many moments. */
interface Loose {
  readonly record: SeasonRecord;
  readonly model: SeasonModel;
  /** which unknown the step at each moment is */
  readonly steps: readonly { readonly at: number; readonly which: number }[];
  /** the season's own unknowns, the trend among them; the trend is held where paces are fitted */
  readonly own: readonly number[];
  readonly trend: number;
}

function loosened(record: SeasonRecord): Loose | null {
  const { time, cleanings } = record;
  const [first, last] = [time[0]!, time.at(-1)!];
  const count = Math.min(MOST, Math.floor((last - first) / STEP));
  const moments = Array.from({ length: count - 1 }, (_, i) => first + ((i + 1) * (last - first)) / count)
    .filter((moment) => moment - first > EDGE && last - moment > EDGE && cleanings.every((each) => Math.abs(each - moment) > EDGE));
  if (moments.length === 0) return null;
  const all = [...cleanings, ...moments].sort((a, b) => a - b);
  const loose = { ...record, cleanings: all };
  const plain = seasonModel(loose);
  const steps = moments.map((at) => ({ at, which: plain.names.indexOf(`cleaned ${all.indexOf(at) + 1}`) }));
  const isStep = new Set(steps.map(({ which }) => which));
  const unknowns = plain.unknowns.map((each, j) => (isStep.has(j) ? { ...each, prior: { mean: 0, deviation: PACE } } : each));
  return {
    record: loose, model: { ...plain, unknowns }, steps, trend: plain.names.indexOf("trend"),
    own: unknowns.flatMap((_, j) => (isStep.has(j) ? [] : [j])),
  };
}

/** The values of a season's own unknowns as those of the loose one, whose cleanings have other numbers; no step anywhere. */
function inLoose({ model, own }: Loose, values: readonly number[]): number[] {
  const all = model.unknowns.map(() => 0);
  own.forEach((j, i) => (all[j] = values[i]!));
  return all;
}

/** By how much the squares would fall, by the slopes at the season without a change, if the soil's pace were free. */
function gainOfPaces(loose: Loose, before: SeasonFit): number {
  const { steps, own } = loose;
  const { normal, right } = linearised(loose, before.errors, inLoose(loose, before.values), true);
  const all = [...own, ...steps.map(({ which }) => which)];
  const gain = (columns: readonly number[]): number => {
    const matrix = columns.map((j) => columns.map((k) => normal[j]![k]! + (j === k ? weightOf(loose.model, j) : 0)));
    const solution = solvedFor(matrix, columns.map((j) => right[j]!));
    return columns.reduce((sum, j, i) => sum + solution[i]! * right[j]!, 0);
  };
  return gain(all) - gain(own);
}

/** What a prior counts for beside squares in variances. */
function weightOf({ unknowns }: SeasonModel, j: number): number {
  const { prior } = unknowns[j]!;
  return prior === undefined ? 1e-9 : 1 / prior.deviation ** 2;
}

/**
 * The normal equations of a loose season around some values: J'J and J'r, what is left counted from those values (`differs`), or J'z of
 * the values themselves.
 */
function linearised(
  { record, model }: Loose, errors: SeasonFit["errors"], values: readonly number[], differs: boolean,
): { readonly normal: readonly (readonly number[])[]; readonly right: readonly number[]; readonly squares: number } {
  const { told, whitenedModel } = whitening(record, model, record.dry.map((each) => 1 - each), errors);
  const base = whitenedModel(values);
  const columns = oneSidedSlopes(whitenedModel, model.unknowns, values).map((column) => column.map((slope) => slope / errors.deviation));
  const left = told.map((each, i) => (each - base[i]!) / errors.deviation
    + (differs ? 0 : values.reduce((sum, value, j) => sum + value * columns[j]![i]!, 0)));
  return {
    normal: columns.map((a) => columns.map((b) => dot(a, b))), right: columns.map((column) => dot(column, left)), squares: dot(left, left),
  };
}

/** A change to be fitted in full, and values to begin with. */
interface Guess extends Required<Change> {
  readonly start: readonly number[];
}

/** A column of J A, as shares of columns of J, with what is known of its number beforehand. */
interface Column {
  readonly parts: readonly (readonly [which: number, share: number])[];
  readonly weight: number;
  readonly mean: number;
}

/** The days of a step, of a trend and of a step beside one that are better than any near them by the paces' free fit, the best first. */
function ranked(record: SeasonRecord, loose: Loose, before: SeasonFit): Guess[][] {
  const { model, steps, own, trend } = loose;
  const held = (values: readonly number[]): number[] => (trend < 0 ? [...values] : values.with(trend, 0));
  const free = likeliest(loose.record, {
    ...model, unknowns: model.unknowns.map((each, j) => (j === trend ? { ...each, low: 0, high: 0 } : each)),
  }, [held(inLoose(loose, before.values))]);
  const { normal, right, squares } = linearised(loose, free.errors, free.fits[0]!.values, false);
  const best = (columns: readonly Column[]) => {
    const matrix = columns.map(({ parts: a, weight }, p) => columns.map(({ parts: b }, q) => a.reduce((sum, [j, x]) =>
      sum + b.reduce((inner, [k, y]) => inner + x * y * normal[j]![k]!, 0), p === q ? weight : 0)));
    const side = columns.map(({ parts, weight, mean }) => parts.reduce((sum, [j, x]) => sum + x * right[j]!, weight * mean));
    const phi = solvedFor(matrix, side);
    return { phi, squares: columns.reduce((sum, { weight, mean }, p) => sum - phi[p]! * side[p]! + weight * mean ** 2, squares) };
  };
  const end = record.time.at(-1)!;
  const stories = [["step", false], ["trend", false], ...(trend < 0 ? [] : [["step", true] as const])] as const;
  return stories.map(([kind, withTrend]) => {
    const tried = steps.map(({ at, which }) => {
      const later = steps.filter((each) => each.at >= at);
      const shape = kind === "step" ? [[which, 1] as const]
        // a line in stairs, each from the middle of one piece to that of the next
        : later.map((each, i) => [each.which, ((later[i + 1]?.at ?? end) - (later[i - 1]?.at ?? each.at)) / 2 / YEAR] as const);
      const kept = own.filter((j) => withTrend || j !== trend);
      const { phi, squares: left } = best([
        ...kept.map((j) => ({ parts: [[j, 1] as const], weight: weightOf(model, j), mean: model.unknowns[j]!.prior?.mean ?? 0 })),
        { parts: shape, weight: kind === "step" ? 1 : 1 / 9, mean: 0 },
      ]);
      return { at, phi, kept, left };
    });
    const chosen: typeof tried = [];
    for (const each of tried.sort((one, other) => one.left - other.left)) {
      if (chosen.length < MOST_GUESSES && chosen.every(({ at }) => Math.abs(at - each.at) > APART)) chosen.push(each);
    }
    return chosen.map(({ at, phi, kept }) => {
      const { names, unknowns } = seasonModel({ ...record, change: { kind, at, withTrend } });
      // own unknowns keep their order; the change stands before the drift
      const values = kept.map((_, i) => phi[i]!);
      values.splice(names.indexOf("change"), 0, phi.at(-1)!);
      return { kind, at, withTrend, start: values.map((value, j) => Math.min(unknowns[j]!.high, Math.max(unknowns[j]!.low, value))) };
    });
  });
}

/** Days of a kind that are fitted in full. */
const MOST_GUESSES = 3;
/** So far apart they are [s]. */
const APART = 12 * 86_400;
/** By which the day of one is moved. */
const MOST_MOVES = 3;

function fitted(
  record: SeasonRecord, { kind, at, withTrend }: Required<Change>, starts: readonly (readonly number[])[], about?: SeasonFit["errors"],
): Likeliest {
  const changed = { ...record, change: { kind, at, withTrend } };
  return likeliest(changed, seasonModel(changed), starts, about);
}

/**
 * The likeliest day around that of a fit, and the days that chance allows, day by day outward until they miss by more. Of each day what is
 * left is cleared of what the season's other unknowns would take up, by their slopes at the fit.
 */
function daysAround(
  record: SeasonRecord, { kind, at, withTrend }: Required<Change>, { fits, errors, wet }: Likeliest,
): { readonly at: number; readonly band: readonly [low: number, high: number] } {
  const { values } = fits[0]!;
  const { deviation } = errors;
  const leftAt = (day: number) => {
    const changed = { ...record, change: { kind, at: day, withTrend } };
    const model = seasonModel(changed);
    const { told, whitenedModel } = whitening(changed, model, wet, errors);
    const base = whitenedModel(values);
    return { model, whitenedModel, left: told.map((each, i) => (each - base[i]!) / deviation) };
  };
  const here = leftAt(at);
  const columns = slopes(here.whitenedModel, here.model.unknowns, values).map((column) => column.map((slope) => slope / deviation));
  const normal = columns.map((a, j) => columns.map((b, k) => dot(a, b) + (j === k ? weightOf(here.model, j) : 0)));
  const squaresOf = (left: Float64Array): number => {
    const pull = columns.map((column) => dot(column, left));
    return dot(left, left) - solvedFor(normal, pull).reduce((sum, each, j) => sum + each * pull[j]!, 0);
  };
  const tried = [{ day: at, squares: squaresOf(here.left) }];
  const [first, last] = [record.time[0]!, record.time.at(-1)!];
  for (const side of [-1, 1]) {
    for (let day = at + side * DAY; day > first && day < last; day += side * DAY) {
      const squares = squaresOf(leftAt(day).left);
      tried.push({ day, squares });
      if (squares > leastOf(tried.map((each) => each.squares)) + 3 * CHANCE) break;
    }
  }
  const least = leastOf(tried.map(({ squares }) => squares));
  const near = tried.filter(({ squares }) => squares - least < CHANCE).map(({ day }) => day);
  const flat = tried.filter(({ squares }) => squares - least < FLAT).map(({ day }) => day).sort((a, b) => a - b);
  return { at: flat[flat.length >> 1]!, band: [Math.max(first, leastOf(near) - DAY), Math.min(last, greatestOf(near) + DAY)] };
}

/** Squares within which days are one as good as the other: the middle one of them is told. */
const FLAT = 0.1;
