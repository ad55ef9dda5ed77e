import { stepWork } from "./stepWork.ts";

const work = stepWork;

/**
 * LU factors of `diagonal` I - J of the step under way, the diagonal of U inverted, without pivoting. Water that leaves a
 * body reaches another or is gone, and flows rise with the level they come from, so the matrix is diagonally dominant by
 * columns and every pivot is safe. Zeros are passed over: bodies in a row or on a tree fill in next to nothing.
 */
export function factorise(diagonal: number): void {
  const { size, jacobian, factors } = work;
  for (let i = 0; i < size * size; i++) factors[i] = -jacobian[i]!;
  for (let i = 0; i < size; i++) factors[i * size + i]! += diagonal;
  for (let c = 0; c < size; c++) {
    const pivot = 1 / factors[c * size + c]!;
    factors[c * size + c] = pivot;
    for (let r = c + 1; r < size; r++) {
      if (factors[r * size + c] === 0) continue;
      const factor = factors[r * size + c]! * pivot;
      factors[r * size + c] = factor;
      for (let m = c + 1; m < size; m++) factors[r * size + m]! -= factor * factors[c * size + m]!;
    }
  }
}

/** Solves L U x = b in place, forward, then backward. */
export function substitute(x: Float64Array): void {
  if (work.size === 3) substituteThree(x);
  else substituteAny(x);
}

/** A box, a pit and a trench are the most common works, and loops over three would take twice as long. */
function substituteThree(x: Float64Array): void {
  const { factors } = work;
  const y0 = x[0]!;
  const y1 = x[1]! - factors[3]! * y0;
  const x2 = (x[2]! - factors[6]! * y0 - factors[7]! * y1) * factors[8]!;
  const x1 = (y1 - factors[5]! * x2) * factors[4]!;
  x[0] = (y0 - factors[1]! * x1 - factors[2]! * x2) * factors[0]!;
  x[1] = x1;
  x[2] = x2;
}

function substituteAny(x: Float64Array): void {
  const { size, factors } = work;
  for (let n = 1; n < size; n++) {
    let sum = x[n]!;
    for (let m = 0; m < n; m++) sum -= factors[n * size + m]! * x[m]!;
    x[n] = sum;
  }
  for (let n = size - 1; n >= 0; n--) {
    let sum = x[n]!;
    for (let m = n + 1; m < size; m++) sum -= factors[n * size + m]! * x[m]!;
    x[n] = sum * factors[n * size + n]!;
  }
}
