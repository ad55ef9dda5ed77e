import { levenbergMarquardt } from "ml-levenberg-marquardt";

/** One number to be found. */
export interface Unknown {
  readonly start: number;
  /** a change of it that clearly shows in the model; unknowns are counted in it inside */
  readonly size: number;
  readonly low: number;
  readonly high: number;
}

/** A fit of a model to what was measured. */
export interface LeastSquaresFit {
  readonly values: readonly number[];
  /** by the model */
  readonly fitted: Float64Array;
  /** measured less fitted */
  readonly residual: Float64Array;
  /** sum of the residuals' squares */
  readonly squares: number;
}

/** Numbers in, as many predictions out as were measured. */
export type Model = (values: readonly number[]) => Float64Array;

/**
 * The values of a model's unknowns that leave the smallest sum of squared residuals near their starts, each within its bounds.
 *
 * The method is Levenberg and Marquardt's, by the package ml-levenberg-marquardt. The package adds its damping to J'WJ as it is
 * and stops after a count of steps, so here the unknowns are counted in their own sizes, residuals in `spread`, and bursts of a
 * few steps go on until one gains less than a hundred-thousandth of the squares.
 *
 * @param measured  n numbers
 * @param spread    about what a residual is, in the unit of the measurements
 * @throws Error    what the model throws
 * @source  Levenberg 1944, Marquardt 1963; Gavin's notes on the method, which the package follows
 */
export function leastSquares(measured: Float64Array, model: Model, unknowns: readonly Unknown[], spread: number): LeastSquaresFit {
  const remembered = remember(model);
  const fitAt = (values: readonly number[]): LeastSquaresFit => {
    const fitted = remembered(values);
    const residual = measured.map((value, i) => value - fitted[i]!);
    return { values, fitted, residual, squares: residual.reduce((sum, each) => sum + each * each, 0) };
  };
  let best = fitAt(unknowns.map(({ start }) => start));
  if (unknowns.length === 0) return best;
  let gained = false;
  let damping = 1e-2;
  for (let burst = 0; burst < MOST_BURSTS; burst++) {
    const next = fitAt(stepped(measured, remembered, unknowns, best.values, spread, damping, burst === 0 ? 3 : 2));
    const gain = best.squares - next.squares;
    if (gain > 0) best = next;
    if (gain > ENOUGH * best.squares + NOTHING * spread * spread) {
      gained = true;
      continue;
    }
    // a search that began too boldly may have gained nothing where a careful one would
    if (gained || damping > 1) return best;
    damping = 10;
  }
  return best;
}

/**
 * The slopes of a model's predictions with each of its unknowns, by differences over a hundredth of their sizes: central, or
 * one-sided at a bound.
 *
 * @returns  a column of n numbers for each unknown
 */
export function slopes(model: Model, unknowns: readonly Unknown[], values: readonly number[]): Float64Array[] {
  return unknowns.map(({ size, low, high }, j) => {
    const [below, above] = [Math.max(low, values[j]! - DIFFERENCE * size), Math.min(high, values[j]! + DIFFERENCE * size)];
    const [under, over] = [model(values.with(j, below)), model(values.with(j, above))];
    return over.map((value, i) => (value - under[i]!) / (above - below));
  });
}

/** Far more than a fit that moves at all needs. */
const MOST_BURSTS = 20;

/** Share of the squares by which a burst has to lower them to be followed by another. */
const ENOUGH = 1e-5;

/** Of the squares of a residual of one spread: what round-off leaves. */
const NOTHING = 1e-9;

/** Small against any bend, large against what the stepper's error makes of a difference. */
const DIFFERENCE = 0.01;

function stepped(
  measured: Float64Array, model: Model, unknowns: readonly Unknown[], from: readonly number[], spread: number,
  damping: number, steps: number,
): number[] {
  const valuesOf = (counts: readonly number[]): number[] =>
    counts.map((count, j) => Math.min(unknowns[j]!.high, Math.max(unknowns[j]!.low, count * unknowns[j]!.size)));
  const predicted = (counts: readonly number[]): ((i: number) => number) => {
    const predictions = model(valuesOf(counts));
    return (i) => predictions[i]! / spread;
  };
  const slopesAt = (counts: readonly number[]): ((i: number) => number[]) => {
    const columns = oneSidedSlopes(model, unknowns, valuesOf(counts));
    return (i) => columns.map((column, j) => (column[i]! * unknowns[j]!.size) / spread);
  };
  const { parameterValues } = levenbergMarquardt(
    { x: Array.from(measured.keys()), y: Array.from(measured, (value) => value / spread) },
    predicted,
    {
      initialValues: from.map((value, j) => value / unknowns[j]!.size),
      minValues: unknowns.map(({ low, size }) => low / size),
      maxValues: unknowns.map(({ high, size }) => high / size),
      jacobianFunction: slopesAt,
      damping, maxIterations: steps, errorTolerance: NOTHING,
    },
  );
  return valuesOf(parameterValues);
}

/** Good enough to step by, at half the runs. */
function oneSidedSlopes(model: Model, unknowns: readonly Unknown[], values: readonly number[]): Float64Array[] {
  const here = model(values);
  return unknowns.map(({ size, high }, j) => {
    const change = values[j]! + ONE_SIDED * size > high ? -ONE_SIDED * size : ONE_SIDED * size;
    return model(values.with(j, values[j]! + change)).map((value, i) => (value - here[i]!) / change);
  });
}

const ONE_SIDED = 1e-3;

/** The package asks for the same values twice in a row; a model is dear. */
function remember(model: Model): Model {
  const known = new Map<string, Float64Array>();
  return (values) => {
    const key = values.join();
    let predictions = known.get(key);
    if (predictions === undefined) {
      predictions = model(values);
      if (known.size >= 12) known.delete(known.keys().next().value!);
      known.set(key, predictions);
    }
    return predictions;
  };
}
