import { columnOf, type StudyTable } from "./runStudy.ts";

/**
 * Quantiles of one answer over all cases of a study: linear between the values in order, the k-th of n standing for the share
 * (k - 1)/(n - 1). A case without the answer (never fired, not empty within the run) counts as later than any other.
 *
 * @param shares  each from 0 to 1
 * @returns       one for each share; null where it falls among cases without the answer
 * @throws RangeError  for a share outside 0 to 1, or a table in which every run was stopped
 * @source  definition 7 of Hyndman & Fan, The American Statistician 50, 1996
 */
export function quantiles(table: StudyTable, answer: string, shares: readonly number[]): (number | null)[] {
  const inOrder = finishedOf(table, answer).sort((a, b) => rank(a) - rank(b));
  return shares.map((share) => {
    if (!(share >= 0 && share <= 1)) throw new RangeError(`share: expected a number from 0 to 1, got ${share}`);
    const at = share * (inOrder.length - 1);
    const [low, high] = [inOrder[Math.floor(at)]!, inOrder[Math.ceil(at)]!];
    return Number.isNaN(high) ? null : low + (at - Math.floor(at)) * (high - low);
  });
}

function rank(value: number): number {
  return Number.isNaN(value) ? Infinity : value;
}

/** A share of the cases, and what chance may make of it: the standard error of as many independent draws. */
export interface Share {
  readonly share: number;
  readonly standardError: number;
}

/**
 * The share of the cases whose answer passes a test, such as `(volume) => volume > 0`. The standard error is that of plain
 * chance, sqrt(p (1 - p)/n), which Sobol's draws stay below; at 0 and 1 that of one case in n + 2 (Laplace's rule, from memory).
 */
export function shareOf(table: StudyTable, answer: string, test: (value: number) => boolean): Share {
  const values = finishedOf(table, answer);
  const n = values.length;
  const hits = values.reduce((sum, value) => sum + (test(value) ? 1 : 0), 0);
  const p = hits === 0 || hits === n ? (hits + 1) / (n + 2) : hits / n;
  return { share: hits / n, standardError: Math.sqrt((p * (1 - p)) / n) };
}

/** Runs that could not go on to their end have no answers, and a study says how many they are. */
export function stoppedRuns(table: StudyTable): number {
  return columnOf(table, "stopped").reduce((sum, stopped) => sum + stopped, 0);
}

/** The answers of the runs that were not stopped. */
export function finishedOf(table: StudyTable, answer: string): Float64Array {
  const stopped = columnOf(table, "stopped");
  const finished = columnOf(table, answer).filter((_, i) => stopped[i] === 0);
  if (finished.length === 0) throw new RangeError("study: expected a run that came to its end, got only stopped ones");
  return finished;
}
