import { greatestOf } from "../numerics/extremes.ts";
import { solvedFor } from "../numerics/linearEquations.ts";
import { remembered } from "../numerics/remembered.ts";

/** One number to be found. */
export interface Unknown {
  readonly start: number;
  /** a change of it that clearly shows in the model; unknowns are counted in it inside */
  readonly size: number;
  readonly low: number;
  readonly high: number;
  /** over which its slope is taken, either way; a hundredth of its size where missing */
  readonly step?: number;
  /** what is known of it beforehand: a normal distribution; where missing nothing but its bounds */
  readonly prior?: { readonly mean: number; readonly deviation: number };
}

/** A fit of a model to what was measured. */
export interface LeastSquaresFit {
  readonly values: readonly number[];
  /** by the model */
  readonly fitted: Float64Array;
  /** measured less fitted */
  readonly residual: Float64Array;
  /** sum of the residuals' squares, and of what the unknowns are off their priors, each counted in `spread` */
  readonly squares: number;
  /** of the residuals alone */
  readonly misfit: number;
}

/** Numbers in, as many predictions out as were measured. */
export type Model = (values: readonly number[]) => Float64Array;

/**
 * The values of a model's unknowns that leave the smallest sum of squared residuals near their starts, each within its bounds. What is
 * known of an unknown beforehand counts as one more measurement of it: its square is ((value - mean)/deviation)^2 spread^2, so with
 * residuals of a standard deviation `spread` the solution is the likeliest one.
 *
 * The method is Levenberg and Marquardt's: with residuals r and slopes J, both in their own sizes,
 *
 *   (J'J + damping diag(J'J)) step = J'r
 *
 * over the unknowns that no bound holds; a step that gains lowers the damping, one that does not raises it. It ends when steps gain less
 * than a hundred-thousandth of the squares.
 *
 * Where runs are dear, slopes are kept for some steps and only mended along each step that was made, d, by what the model says of it,
 *
 *   J += (change of the predictions - J d) d'/(d'd)
 *
 * all slopes are computed again when a step with them gains nothing, and before the search ends; and it ends as soon as the squares that
 * the slopes promise to take away, p'(J'J)^-1 p with p = J'r, are no more than would be enough, without a step being tried.
 *
 * @param measured  n numbers
 * @param spread    about what a residual is, in the unit of the measurements
 * @param options.kept    steps that slopes are kept for; none where missing
 * @param options.enough  share of the squares by which a step has to lower them to be followed by others
 * @param options.trusts  whether it may end by slopes that were only mended
 * @throws Error    what the model throws
 * @source  Levenberg, Quarterly of Applied Mathematics 2, 1944; Marquardt, SIAM Journal 11, 1963; Broyden, Mathematics of Computation 19,
 *          1965; from memory
 */
export function leastSquares(
  measured: Float64Array, model: Model, unknowns: readonly Unknown[], spread: number,
  { kept = 0, enough = ENOUGH, trusts = false }: { readonly kept?: number; readonly enough?: number; readonly trusts?: boolean } = {},
): LeastSquaresFit {
  const own = priorsOf(unknowns);
  const count = measured.length;
  const predicted = remembered(withPriors(model, own, spread), 12, (values) => values.join());
  const all = Float64Array.from({ length: count + own.length }, (_, i) => measured[i] ?? 0);
  const fitAt = (values: readonly number[]): LeastSquaresFit & { readonly off: Float64Array } => {
    const fitted = predicted(values);
    const off = new Float64Array(all.length);
    for (let i = 0; i < off.length; i++) off[i] = all[i]! - fitted[i]!;
    const residual = off.subarray(0, count);
    return { values, off, fitted: fitted.subarray(0, count), residual, squares: dot(off, off), misfit: dot(residual, residual) };
  };
  let best = fitAt(unknowns.map(({ start }) => start));
  if (unknowns.length === 0) return best;
  let damping = 1e-2;
  let [columns, age] = [freshColumns(), 0];
  for (let turn = 0; turn < MOST_TURNS; turn++) {
    const pull = columns.map((column) => dot(column, best.off));
    // what has no slope, as a water table under soil that takes in nothing, stands where it is
    const free = unknowns.flatMap(({ low, high }, j) => (columns[j]!.every((slope) => slope === 0)
      || (best.values[j]! <= low && pull[j]! < 0) || (best.values[j]! >= high && pull[j]! > 0) ? [] : [j]));
    if (free.length === 0) {
      if (age === 0) return best;
      [columns, age] = [freshColumns(), 0];
      continue;
    }
    const normal = free.map((j) => free.map((k) => (k < j ? 0 : dot(columns[j]!, columns[k]!))));
    normal.forEach((line, j) => line.forEach((_, k) => (k < j ? line[k] = normal[k]![j]! : null)));
    const largest = greatestOf(normal.map((line, j) => line[j]!));
    if (kept > 0 && promiseOf(normal, free.map((j) => pull[j]!), largest) <= enough * best.squares) {
      if (age === 0 || trusts) return best;
      [columns, age] = [freshColumns(), 0];
      continue;
    }
    let gain = 0;
    const before = best;
    for (let trial = 0; trial < (age > 0 ? MOST_STALE_TRIALS : kept > 0 ? MOST_DEAR_TRIALS : MOST_TRIALS); trial++) {
      const step = solvedFor(normal.map((line, j) => line.map((each, k) => (j === k ? each * (1 + damping) + NOTHING * largest
        : each))), free.map((j) => pull[j]!));
      const next = fitAt(unknowns.map(({ size, low, high }, j) => {
        const at = free.indexOf(j);
        return at < 0 ? best.values[j]! : Math.min(high, Math.max(low, best.values[j]! + size * step[at]!));
      }));
      gain = best.squares - next.squares;
      if (gain > 0) {
        best = next;
        damping = Math.max(1e-7, damping / 5);
        break;
      }
      if (next.values.every((value, j) => Math.abs(value - best.values[j]!) < 1e-7 * unknowns[j]!.size)) break;
      damping = Math.max(1e-3, damping * 6);
    }
    const isStill = gain <= enough * best.squares + NOTHING * spread * spread;
    if (isStill && age === 0) return best;
    if (isStill || age >= kept) [columns, age] = [freshColumns(), 0];
    else {
      columns = mended(columns, before, best);
      age++;
    }
  }
  return best;

  function freshColumns(): Float64Array[] {
    return oneSidedSlopes(predicted, unknowns, best.values).map((column, j) => column.map((slope) => slope * unknowns[j]!.size));
  }

  function mended(old: readonly Float64Array[], from: { readonly values: readonly number[]; readonly off: Float64Array },
    to: typeof from): Float64Array[] {
    const step = unknowns.map(({ size }, j) => (to.values[j]! - from.values[j]!) / size);
    const length = step.reduce((sum, each) => sum + each * each, 0);
    // predictions rise by as much as residuals fall
    const unsaid = from.off.slice();
    for (let i = 0; i < unsaid.length; i++) unsaid[i]! -= to.off[i]!;
    old.forEach((column, j) => {
      if (step[j] !== 0) for (let i = 0; i < unsaid.length; i++) unsaid[i]! -= step[j]! * column[i]!;
    });
    return old.map((column, j) => {
      if (step[j] === 0) return column;
      const [share, mendedColumn] = [step[j]! / length, new Float64Array(column.length)];
      for (let i = 0; i < column.length; i++) mendedColumn[i] = column[i]! + unsaid[i]! * share;
      return mendedColumn;
    });
  }
}

/** By how much the squares would fall if the slopes held all the way to the bottom. */
function promiseOf(normal: readonly (readonly number[])[], pull: readonly number[], largest: number): number {
  const step = solvedFor(normal.map((line, j) => line.map((each, k) => (j === k ? each + NOTHING * largest : each))), pull);
  return step.reduce((sum, each, j) => sum + each * pull[j]!, 0);
}

/** Of as many numbers as the shorter one has. */
export function dot(a: Float64Array, b: Float64Array): number {
  const count = Math.min(a.length, b.length);
  let sum = 0;
  for (let i = 0; i < count; i++) sum += a[i]! * b[i]!;
  return sum;
}

/** What values of the unknowns are off their priors, as squares counted in `spread`. */
export function priorSquares(unknowns: readonly Unknown[], values: readonly number[], spread: number): number {
  return priorsOf(unknowns).reduce((sum, { at, mean, deviation }) => sum + (((values[at]! - mean) / deviation) * spread) ** 2, 0);
}

interface Prior {
  readonly at: number;
  readonly mean: number;
  readonly deviation: number;
}

function priorsOf(unknowns: readonly Unknown[]): Prior[] {
  return unknowns.flatMap(({ prior }, at) => (prior === undefined ? [] : [{ at, ...prior }]));
}

function withPriors(model: Model, priors: readonly Prior[], spread: number): Model {
  if (priors.length === 0) return model;
  return (values) => {
    const predictions = model(values);
    const all = new Float64Array(predictions.length + priors.length);
    all.set(predictions);
    priors.forEach(({ at, mean, deviation }, i) => (all[predictions.length + i] = ((values[at]! - mean) / deviation) * spread));
    return all;
  };
}

/**
 * The slopes of a model's predictions with each of its unknowns, by differences over their steps: central, or one-sided at a bound.
 *
 * @returns  a column of n numbers for each unknown
 */
export function slopes(model: Model, unknowns: readonly Unknown[], values: readonly number[]): Float64Array[] {
  return unknowns.map(({ size, low, high, step = DIFFERENCE * size }, j) => {
    const [below, above] = [Math.max(low, values[j]! - step), Math.min(high, values[j]! + step)];
    const [under, over] = [model(values.with(j, below)), model(values.with(j, above))];
    return over.map((value, i) => (value - under[i]!) / (above - below));
  });
}

/** Far more than a fit that moves at all needs. */
const MOST_TURNS = 60;
const MOST_TRIALS = 9;
/** Where runs are dear: what five dampings do not gain, four more do not either. */
const MOST_DEAR_TRIALS = 5;
/** With slopes that were kept a step that does not gain says that they are too old. */
const MOST_STALE_TRIALS = 2;

/** Share of the squares by which a step has to lower them to be followed by others. */
const ENOUGH = 1e-5;

/** Of the squares of a residual of one spread: what round-off leaves. */
const NOTHING = 1e-9;

/** Small against any bend, large against what the stepper's error makes of a difference. */
const DIFFERENCE = 0.01;

/** As `slopes`, to one side: good enough to step by, at half the runs. */
export function oneSidedSlopes(model: Model, unknowns: readonly Unknown[], values: readonly number[]): Float64Array[] {
  const here = model(values);
  return unknowns.map(({ size, low, high, step = DIFFERENCE * size }, j) => {
    const change = values[j]! + step / 2 > high ? -step / 2 : step / 2;
    // one that is held stands still
    if (values[j]! + change < low) return new Float64Array(here.length);
    const slope = model(values.with(j, values[j]! + change)).slice();
    for (let i = 0; i < slope.length; i++) slope[i] = (slope[i]! - here[i]!) / change;
    return slope;
  });
}
