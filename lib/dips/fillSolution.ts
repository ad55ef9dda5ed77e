import { greatestOf } from "../numerics/extremes.ts";
import { inverseOf } from "../numerics/linearEquations.ts";
import { deviateOf, type FillFit, movedTo, type Scatter, scatterOf } from "./fillFit.ts";
import type { FilledPit, UnknownName } from "./fillModel.ts";
import { leastSquares, type LeastSquaresFit, type Model, priorSquares, slopes, type Unknown } from "./leastSquares.ts";

/** A fitted model with what can be believed of it. */
export interface FillSolution {
  readonly fit: FillFit;
  readonly scatter: Scatter;
  /** of the unknowns, as the fit counts them */
  readonly covariance: readonly (readonly number[])[];
  /** 95 percent band of each unknown, as the fit counts it */
  readonly bands: readonly ProfileBand[];
}

/**
 * The 95 percent bands of all unknowns of a fit. Where looking for one comes upon values that fit better, the fit moves there
 * and all are looked for again; in a hollow so flat that it still moves after some rounds, what is better by so little counts as
 * no worse, and the bands are the wider for it.
 *
 * @param dipError  standard deviation of a dip [m], null where it is not known
 */
export function solveFill(pit: FilledPit, start: FillFit, dipError: number | null): FillSolution {
  let fit = start;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const solution = bandsOf(pit, fit, dipError, true);
    if (!("better" in solution)) return solution;
    fit = movedTo(fit, pit, solution.better, scatterOf(fit, dipError).deviation);
  }
  return bandsOf(pit, fit, dipError, false) as FillSolution;
}

const MOST_ROUNDS = 6;

function bandsOf(
  pit: FilledPit, fit: FillFit, dipError: number | null, moves: boolean,
): FillSolution | { readonly better: readonly number[] } {
  const scatter = scatterOf(fit, dipError);
  const { atDips: model, unknowns } = fit.model;
  const met: LeastSquaresFit[] = [];
  const solved: Solved = {
    measured: pit.dips.level, model, unknowns, fit: fit.fit, others: fit.others, deviation: scatter.deviation,
    meet: (each) => void met.push(each),
  };
  const covariance = covarianceOf(solved);
  const deviate = deviateOf(scatter, 0.975);
  const bands: ProfileBand[] = [];
  for (let j = 0; j < unknowns.length; j++) {
    const profiled = profileBand(solved, covariance, j, deviate, moves);
    if ("better" in profiled) return profiled;
    bands.push(profiled.band);
  }
  for (let j = 0; j < unknowns.length; j++) {
    const profiled = profileBand({ ...solved, others: [...fit.others, ...outermost(met, j)] }, covariance, j, deviate, moves, bands[j]);
    if ("better" in profiled) return profiled;
    bands[j] = profiled.band;
  }
  return { fit, scatter, covariance, bands };
}

/**
 * What looking along one unknown came upon may lie beyond the band of another, where the valley bends away from what looking along that one
 * saw: the farthest of it either way.
 */
function outermost(met: readonly LeastSquaresFit[], which: number): LeastSquaresFit[] {
  if (met.length === 0) return [];
  const farthest = (side: 1 | -1): LeastSquaresFit => met.reduce((best, each) =>
    (side * (each.values[which]! - best.values[which]!) > 0 ? each : best));
  return [farthest(-1), farthest(1)];
}

/** From the lowest to the highest end of an unknown's bands in several solutions, those that lack it left out. */
export function widest(solutions: readonly FillSolution[], name: UnknownName): ProfileBand {
  const bands = solutions.flatMap(({ fit, bands: own }) => own.filter((_, j) => fit.model.names[j] === name));
  const end = (side: "low" | "high", outer: (...ends: number[]) => number): number | null => {
    const ends = bands.flatMap((band) => band[side] ?? []);
    return ends.length < bands.length ? null : outer(...ends);
  };
  return { low: end("low", Math.min), high: end("high", Math.max) };
}

/** Where an unknown lies with the confidence asked for; null: the measurements set no bound on that side. */
interface ProfileBand {
  readonly low: number | null;
  readonly high: number | null;
}

/** A problem of least squares with its solution. */
interface Solved {
  readonly measured: Float64Array;
  readonly model: Model;
  readonly unknowns: readonly Unknown[];
  readonly fit: LeastSquaresFit;
  /** other hollows of the sum of squares; those that are deep enough widen a band */
  readonly others: readonly LeastSquaresFit[];
  /** standard deviation of a measurement */
  readonly deviation: number;
  /** told of every fit on the way that the measurements do not rule out */
  meet?(fit: LeastSquaresFit): void;
}

/** What looking along one unknown found: its band, or values that fit better than those it set out from. */
type Profiled = { readonly band: ProfileBand } | { readonly better: readonly number[] };

/**
 * The band of one unknown by the likelihood profile: all values at which the best fit of the others leaves no more than
 *
 *   S(v) = S_min + (deviate s)^2
 *
 * Where the model is a straight line in its unknowns this is the usual v -+ deviate x standard error; where it bends, or ends at
 * a bound, the band follows it. The ends are found by secants on sign sqrt(S(v) - S_min)/s, which is nearly straight.
 *
 * @param covariance  of the unknowns, from `covarianceOf`; it gives the first guesses
 * @param deviate     Student's t for the freedom left, or the normal's
 * @param moves       false: never answer with values that fit better
 * @param known       a band found before, which only another hollow may widen
 * @source  Bates & Watts, Nonlinear Regression Analysis and Its Applications, 1988, chapter 6, from memory
 */
export function profileBand(
  solved: Solved, covariance: readonly (readonly number[])[], which: number, deviate: number, moves: boolean,
  known: ProfileBand | null = null,
): Profiled {
  const { fit, others, deviation } = solved;
  const left = others.filter(({ squares }) => squares - fit.squares < (deviate * deviation) ** 2);
  const hollows = known === null ? [fit, ...left] : left;
  let { low, high }: ProfileBand = known ?? { low: Infinity, high: -Infinity };
  for (const hollow of hollows) {
    const at = hollow.values[which]!;
    // a hollow inside the band so far has nothing to add
    if (hollow !== fit && (low === null || at >= low) && (high === null || at <= high)) continue;
    for (const side of [-1, 1] as const) {
      if (known !== null && (side < 0 ? low === null || at >= low : high === null || at <= high)) continue;
      const end = profileEnd(solved, hollow, covariance, which, deviate, side, moves);
      if (typeof end === "object" && end !== null) return end;
      if (side < 0) low = end === null || low === null ? null : Math.min(low, end);
      else high = end === null || high === null ? null : Math.max(high, end);
    }
  }
  return { band: { low, high } };
}

/**
 * Covariance of the unknowns by the model's slopes at the solution and what was known beforehand, s^2 (J'J + s^2 P)^-1; an unknown
 * without any slope, or one that
 * others can imitate, gets a large variance and no infinite one.
 */
export function covarianceOf({ model, unknowns, fit, deviation }: Solved): number[][] {
  const columns = slopes(model, unknowns, fit.values).map((column, j) => column.map((slope) => slope * unknowns[j]!.size));
  const normal = columns.map((a) => columns.map((b) => a.reduce((sum, value, i) => sum + value * b[i]!, 0)));
  const largest = greatestOf([...normal.map((line, j) => line[j]!), FLAT]);
  const prior = (j: number): number => (unknowns[j]!.prior === undefined ? 0
    : ((unknowns[j]!.size / unknowns[j]!.prior.deviation) * deviation) ** 2);
  const inverse = inverseOf(normal.map((line, j) => line.map((value, k) => (j === k ? value + 1e-12 * largest + prior(j) : value))));
  return inverse.map((line, j) => line.map((value, k) => value * deviation ** 2 * unknowns[j]!.size * unknowns[k]!.size));
}

/** Small against any slope, and large enough that a share of it is no nothing: where no unknown has a slope. */
const FLAT = 1e-200;

/** A sum of squares lower than the least one by this share of a variance is a better fit worth moving to. */
const BETTER = 0.01;

const MOST_SECANTS = 12;

function profileEnd(
  solved: Solved, hollow: LeastSquaresFit, covariance: readonly (readonly number[])[], which: number, deviate: number, side: 1 | -1,
  moves: boolean,
): number | null | { readonly better: readonly number[] } {
  const { fit, unknowns, deviation } = solved;
  const { low, high, size } = unknowns[which]!;
  const best = hollow.values[which]!;
  const bound = side < 0 ? low : high;
  if (best === bound) return null;
  const error = Math.sqrt(covariance[which]![which]!);
  let [inside, insideRise] = [best, Math.sqrt(Math.max(0, hollow.squares - fit.squares)) / deviation];
  let [outside, outsideRise] = [bound, Infinity];
  let guess = best + side * Math.min(deviate * error, 4 * size);
  let from = hollow.values;
  for (let secant = 0; secant < MOST_SECANTS; secant++) {
    if (side * (guess - bound) >= 0) guess = bound;
    const along = constrained(solved, covariance, which, guess, from, fit.squares + (deviate * deviation) ** 2);
    const more = along.squares - fit.squares;
    if (moves && more < -BETTER * deviation ** 2) return { better: along.values };
    const rise = Math.sqrt(Math.max(0, more)) / deviation;
    if (Math.abs(rise - deviate) < 0.01 * deviate) return guess;
    if (rise < deviate) {
      solved.meet?.(along);
      if (guess === bound) return null;
      [inside, insideRise, from] = [guess, rise, along.values];
    } else [outside, outsideRise] = [guess, rise];
    guess = outsideRise < Infinity
      ? between(inside, insideRise, outside, outsideRise, deviate, secant)
      : inside + Math.sign(side) * stretch(Math.abs(inside - best), insideRise, deviate, size);
  }
  return inside;
}

/** On the line through both ends; every third time in the middle, so that a bend cannot hold one end for ever. */
function between(inside: number, low: number, outside: number, high: number, wanted: number, secant: number): number {
  const share = secant % 3 === 2 ? 0.5 : Math.min(0.95, Math.max(0.05, (wanted - low) / (high - low)));
  return inside + share * (outside - inside);
}

/** How much farther to look where nothing is outside yet: as the rise so far has it, at most three times as far. */
function stretch(gone: number, rise: number, wanted: number, size: number): number {
  const farther = rise > 0.05 ? gone * Math.min(3, 1.1 * (wanted / rise) - 1) : 3 * gone;
  return Math.max(farther, 1e-3 * size);
}

/**
 * The best fit with one unknown held: from where a straight model would have the others, and where that does not come below
 * `enough`, from where they were.
 */
function constrained(
  { measured, model, unknowns, deviation }: Solved, covariance: readonly (readonly number[])[], which: number, held: number,
  from: readonly number[], enough: number,
): LeastSquaresFit {
  const others = unknowns.flatMap((_, j) => (j === which ? [] : [j]));
  const full = (values: readonly number[]): number[] => unknowns.map((_, j) => (j === which ? held : values[others.indexOf(j)]!));
  const fitFrom = (start: (j: number) => number): LeastSquaresFit => {
    const free = others.map((j) => {
      const unknown = unknowns[j]!;
      return { ...unknown, start: Math.min(unknown.high, Math.max(unknown.low, start(j))) };
    });
    const along = leastSquares(measured, (values) => model(full(values)), free, deviation);
    const values = full(along.values);
    // what is held is off its own prior too
    return { ...along, values, squares: along.misfit + priorSquares(unknowns, values, deviation) };
  };
  const straight = fitFrom((j) => from[j]! + (covariance[j]![which]! / covariance[which]![which]!) * (held - from[which]!));
  if (straight.squares < enough || others.length === 0) return straight;
  const unmoved = fitFrom((j) => from[j]!);
  return unmoved.squares < straight.squares ? unmoved : straight;
}
