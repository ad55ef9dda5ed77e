import { greatestOf } from "./extremes.ts";

/** A linear map from values at the rows to the columns' coefficients; made once, used for many right-hand sides. */
export type LeastSquares = (values: Float64Array) => Float64Array;

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
        const tangent = Math.sign(halfCotangent || 1) / (Math.abs(halfCotangent) + Math.hypot(1, halfCotangent));
        const cosine = 1 / Math.hypot(1, tangent);
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
