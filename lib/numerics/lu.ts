/**
 * LU factors of `diagonal` I - J [size x size], the diagonal of U inverted, without pivoting. Water that leaves a body
 * reaches another or is gone, and flows rise with the level they come from, so the matrix is diagonally dominant by
 * columns and every pivot is safe. Zeros are passed over: bodies in a row or on a tree fill in next to nothing.
 */
export function factorise(jacobian: Float64Array, diagonal: number, factors: Float64Array, size: number): void {
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

/** Solves L U x = b in place: forward, then backward. */
export function substitute(factors: Float64Array, x: Float64Array, size: number): void {
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
