/**
 * A stiffly accurate Rosenbrock method for y' = f(t, y) in the transformed form of Hairer & Wanner, Solving Ordinary
 * Differential Equations II, 2nd ed. 1996, sec. IV.7, where no product of the Jacobian J and a vector is needed:
 *
 *   (I/(h gamma) - J) k_i = f(t + alpha_i h, y + sum_j A_ij k_j) + sum_j (C_ij/h) k_j + h d_i df/dt      i = 1 .. s
 *   y1 = y + sum_j A_sj k_j + k_s,         error estimate k_s
 *
 * and between the ends of a step, u from 0 to 1:
 *
 *   y(u) = (1-u) y0 + u (y1 + (1-u) (c1 + u (c2 + u c3))),         c_r = sum_j H_rj k_j
 *
 * A volume c that only adds up a flow, c' = q(t, y), is one more state. Its stages can be eliminated, which leaves
 *
 *   c1 - c0 = h [ sum_i b_i q_i + dq/dy . sum_i b_i k_i + h (sum_i b_i d_i) dq/dt ],    b = gamma (I - gamma C)^-T m
 *
 * with m the weights of the k_i in y1 - y0: the same rule as the states, so sums of flows and changes of volume agree
 * to round-off.
 */
export interface RosenbrockMethod {
  readonly name: string;
  readonly order: number;
  readonly stages: number;
  readonly gamma: number;
  /** stages x stages, row by row, 0 where j >= i */
  readonly A: Float64Array;
  /** stages x stages, row by row, 0 where j >= i */
  readonly C: Float64Array;
  readonly alpha: Float64Array;
  readonly d: Float64Array;
  /** denseRows x stages, row by row */
  readonly H: Float64Array;
  readonly denseRows: number;
  /** weights of a flow's stages in the change of its volume */
  readonly b: Float64Array;
  /** sum_i b_i d_i */
  readonly bd: number;
}

/** A method as it is published: rows of A and C hold the coefficients for j < i. */
export interface PublishedCoefficients {
  readonly name: string;
  readonly order: number;
  readonly gamma: number;
  readonly A: readonly (readonly number[])[];
  readonly C: readonly (readonly number[])[];
  readonly alpha: readonly number[];
  readonly d: readonly number[];
  readonly H: readonly (readonly number[])[];
}

/** Lays published coefficients out flat and adds the weights of the flows. */
export function rosenbrockMethod(published: PublishedCoefficients): RosenbrockMethod {
  const { name, order, gamma } = published;
  const stages = published.alpha.length;
  const A = flat(published.A, stages);
  const C = flat(published.C, stages);
  const d = Float64Array.from(published.d);
  const b = flowWeights(stages, gamma, A, C);
  return {
    name, order, stages, gamma, A, C, d, b,
    alpha: Float64Array.from(published.alpha),
    H: flat(published.H, stages),
    denseRows: published.H.length,
    bd: b.reduce((sum, weight, i) => sum + weight * d[i]!, 0),
  };
}

function flat(rows: readonly (readonly number[])[], width: number): Float64Array {
  const out = new Float64Array(rows.length * width);
  rows.forEach((row, i) => out.set(row, i * width));
  return out;
}

/** b = gamma (I - gamma C)^-T m by back substitution: C is strictly lower triangular. */
function flowWeights(stages: number, gamma: number, A: Float64Array, C: Float64Array): Float64Array {
  const b = new Float64Array(stages);
  for (let j = stages - 1; j >= 0; j--) {
    const inY1 = j === stages - 1 ? 1 : A[(stages - 1) * stages + j]!;
    let sum = inY1;
    for (let i = j + 1; i < stages; i++) sum += C[i * stages + j]! * b[i]!;
    b[j] = gamma * sum;
  }
  return b;
}
