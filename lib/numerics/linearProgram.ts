/** One linear inequality: the sum of `of[i] x[i]` is `least` or more. An unknown that is not in `of` has the factor 0. */
export interface Inequality {
  readonly of: Readonly<Record<string, number>>;
  readonly least: number;
}

/**
 * The least of a linear cost over all that linear inequalities allow:
 *
 * | kind | what |
 * | --- | --- |
 * | `least` | the unknowns at the least cost, and that cost |
 * | `endless` | the cost falls without end |
 * | `impossible` | a weight of 0 or more for each inequality: weighed so, the left sides add up to nothing and the right sides to more
 * than nothing |
 */
export type LeastCost =
  | { readonly kind: "least"; readonly at: Readonly<Record<string, number>>; readonly cost: number }
  | { readonly kind: "endless" }
  | { readonly kind: "impossible"; readonly weights: readonly number[] };

/**
 * Linear program in unknowns of either sign: least `cost . x` where every inequality holds. A few dozen inequalities, dense.
 *
 * Two phases of the simplex method on x = u - v, with the rule of the least index, which cannot run in circles. Where nothing is
 * allowed the multipliers of the first phase are the proof (Farkas' lemma): the inequalities of weight above 0 contradict each other.
 *
 * @param cost          factors of the unknowns, 0 where missing
 * @param inequalities  in any order
 * @source  simplex: Dantzig; least index: Bland, Mathematics of Operations Research 2, 1977; Farkas 1902; all from memory
 * @example leastCost({ x: 1 }, [{ of: { x: 1 }, least: 3 }]); // => { kind: "least", at: { x: 3 }, cost: 3 }
 */
export function leastCost(cost: Readonly<Record<string, number>>, inequalities: readonly Inequality[]): LeastCost {
  const names = [...new Set([...inequalities.flatMap(({ of }) => Object.keys(of)), ...Object.keys(cost)])];
  const n = names.length;
  const m = inequalities.length;
  const columns = 2 * n + 2 * m;
  // columns: u, v, what each row has over its least, the artificial unknown of each row; last the right side
  const signs = inequalities.map(({ least }) => (least < 0 ? -1 : 1));
  const rows = inequalities.map(({ of, least }, r) => {
    const row = new Float64Array(columns + 1);
    names.forEach((name, c) => {
      row[c] = signs[r]! * (of[name] ?? 0);
      row[n + c] = -row[c];
    });
    row[2 * n + r] = -signs[r]!;
    row[2 * n + m + r] = 1;
    row[columns] = signs[r]! * least;
    return row;
  });
  const basis = rows.map((_, r) => 2 * n + m + r);
  const first = new Float64Array(columns + 1);
  for (let r = 0; r < m; r++) first[2 * n + m + r] = 1;
  for (const row of rows)
    row.forEach((value, c) => {
      first[c]! -= value;
    });
  for (let r = 0; r < m; r++) first[2 * n + m + r] = 0;
  pivotAll(rows, basis, first, columns);
  const scale = inequalities.reduce((most, { least }) => Math.max(most, Math.abs(least)), 1);
  if (-first[columns]! > TINY * scale * 10) {
    const weights = signs.map((sign, r) => Math.max(0, sign * (1 - first[2 * n + m + r]!)));
    return { kind: "impossible", weights: weights.map((weight) => (weight < 1e-7 ? 0 : weight)) };
  }
  // an artificial unknown that stays in the basis at 0 leaves it where any true one can take its place
  basis.forEach((column, r) => {
    if (column < 2 * n + m) return;
    const other = rows[r]!.findIndex((value, c) => c < 2 * n + m && Math.abs(value) > TINY);
    if (other >= 0) pivot(rows, basis, first, r, other);
  });
  const second = new Float64Array(columns + 1);
  names.forEach((name, c) => {
    second[c] = cost[name] ?? 0;
    second[n + c] = -second[c];
  });
  basis.forEach((column, r) => {
    const factor = second[column]!;
    if (factor !== 0)
      rows[r]!.forEach((value, c) => {
        second[c]! -= factor * value;
      });
  });
  if (!pivotAll(rows, basis, second, 2 * n + m)) return { kind: "endless" };
  const values = new Float64Array(columns);
  basis.forEach((column, r) => {
    values[column] = rows[r]![columns]!;
  });
  const at = Object.fromEntries(names.map((name, c) => [name, values[c]! - values[n + c]!]));
  return { kind: "least", at, cost: names.reduce((sum, name) => sum + (cost[name] ?? 0) * at[name]!, 0) };
}

/** Levels are metres and factors near 1: what is smaller than this is round-off. */
const TINY = 1e-9;

/** Pivots until no column lowers the cost; false where it falls without end. */
function pivotAll(rows: readonly Float64Array[], basis: number[], cost: Float64Array, columns: number): boolean {
  for (;;) {
    const column = cost.findIndex((value, c) => c < columns && value < -TINY);
    if (column < 0) return true;
    let [leaving, best] = [-1, Infinity];
    rows.forEach((row, r) => {
      if (row[column]! <= TINY) return;
      const ratio = row.at(-1)! / row[column]!;
      if (ratio < best - TINY || (ratio <= best + TINY && basis[r]! < (basis[leaving] ?? Infinity)))
        [leaving, best] = [r, Math.min(ratio, best)];
    });
    if (leaving < 0) return false;
    pivot(rows, basis, cost, leaving, column);
  }
}

function pivot(rows: readonly Float64Array[], basis: number[], cost: Float64Array, r: number, column: number): void {
  const row = rows[r]!;
  const factor = row[column]!;
  row.forEach((value, c) => {
    row[c] = value / factor;
  });
  for (const other of [...rows, cost]) {
    const share = other === row ? 0 : other[column]!;
    if (share !== 0)
      row.forEach((value, c) => {
        other[c]! -= share * value;
      });
  }
  basis[r] = column;
}
