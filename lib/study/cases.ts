/** One number of a case's row. */
export interface Column {
  readonly name: string;
  /** SI, "" for a ratio or a count */
  readonly unit: string;
}

/**
 * The cases of a study, numbered from 0: each is made on its own and gives one row of numbers, so that they can be made in any
 * order, on any thread and in any session, with the same result to the last bit.
 */
export interface Cases {
  readonly columns: readonly Column[];
  readonly count: number;
  /** cases handed to a thread at a time: long against the way there and back, short against the whole */
  readonly chunk: number;
  /** one number a column, NaN where the case has no such answer */
  row(index: number): readonly number[];
}

/** Rows `from` to `to - 1`, one after the other. */
export function caseRows(cases: Cases, from: number, to: number): Float64Array {
  const rows = new Float64Array((to - from) * cases.columns.length);
  for (let index = from; index < to; index++) rows.set(cases.row(index), (index - from) * cases.columns.length);
  return rows;
}
