/**
 * Solves a few linear equations, by elimination with the largest pivot of a column.
 *
 * @param matrix  n rows of n; not changed
 * @param right   n numbers
 * @returns       n numbers; Infinity or NaN where the matrix has no inverse
 * @example solvedFor([[2, 0], [0, 4]], [2, 2]); // => [1, 0.5]
 */
export function solvedFor(matrix: readonly (readonly number[])[], right: readonly number[]): number[] {
  return eliminated(matrix, right.map((each) => [each])).map((line) => line[0]!);
}

/**
 * The inverse of a small matrix.
 *
 * @param matrix  n rows of n; not changed
 * @example inverseOf([[2, 0], [0, 4]]); // => [[0.5, 0], [0, 0.25]]
 */
export function inverseOf(matrix: readonly (readonly number[])[]): number[][] {
  return eliminated(matrix, matrix.map((_, j) => matrix.map((__, k) => (j === k ? 1 : 0))));
}

/** Gauss and Jordan: what is left beside the matrix when it has become the unit matrix. */
function eliminated(matrix: readonly (readonly number[])[], beside: readonly (readonly number[])[]): number[][] {
  const n = matrix.length;
  const rows = matrix.map((line, j) => [...line, ...beside[j]!]);
  for (let column = 0; column < n; column++) {
    let pivot = column;
    for (let j = column + 1; j < n; j++) if (Math.abs(rows[j]![column]!) > Math.abs(rows[pivot]![column]!)) pivot = j;
    [rows[column], rows[pivot]] = [rows[pivot]!, rows[column]!];
    const own = rows[column]!;
    const by = own[column]!;
    for (let k = column; k < own.length; k++) own[k]! /= by;
    for (const row of rows) {
      const factor = row === own ? 0 : row[column]!;
      if (factor !== 0) for (let k = column; k < own.length; k++) row[k]! -= factor * own[k]!;
    }
  }
  return rows.map((row) => row.slice(n));
}
