import { caseRows, type Cases, type Column } from "./cases.ts";
import { casesOf, type Study } from "./study.ts";

/** Something that makes rows `from` to `to - 1` of a study elsewhere, such as `threadPool` of node.js. */
export interface StudyPool {
  readonly threads: number;
  rows(study: Study, from: number, to: number): Promise<Float64Array>;
}

/** Rows of a study that follow one another. */
export interface Rows {
  readonly from: number;
  /** one row after the other */
  readonly values: Float64Array;
}

/** How a study is made; none of it changes a single bit of its result. */
export interface StudyOptions {
  /** makes the rows; without one they are made here, one after the other */
  readonly pool?: StudyPool;
  /** where the rows go, and come from where some were made before; `runStudyInto` of node.js has one */
  readonly store?: (study: Study) => RowStore;
  /** told of every stretch of rows as soon as it is made, in no certain order */
  readonly onRows?: (rows: Rows, made: number, count: number) => void;
  /** stops the study: what is under way is finished and told, nothing more is begun */
  readonly signal?: AbortSignal;
}

/** A place for the rows of one study. */
export interface RowStore {
  /** rows made before, which are not made again */
  readonly made: Iterable<Rows>;
  /** keeps rows; what it was given is not lost, however the study ends */
  add(rows: Rows): void;
  /** told once it was given every row that it had not */
  finish(): void;
  close(): void;
}

/** All rows of a study, case by case. */
export interface StudyTable {
  readonly columns: readonly Column[];
  readonly count: number;
  /** count x columns */
  readonly values: Float64Array;
}

/**
 * Makes every case of a study.
 *
 * @throws InputError       for a study that cannot be made
 * @throws signal.reason    once it is stopped
 */
export async function runStudy(study: Study, how: StudyOptions = {}): Promise<StudyTable> {
  const { columns, count } = casesOf(study);
  how.signal?.throwIfAborted();
  const values = new Float64Array(count * columns.length);
  await makeStudy(study, how, (rows) => { values.set(rows.values, rows.from * columns.length); });
  return { columns, count, values };
}

/**
 * As `runStudy`, for a caller who keeps of the rows what it wants.
 *
 * @param take  is given every row once, a stretch at a time, in no certain order; those made before come first
 */
export async function makeStudy(study: Study, how: StudyOptions, take: (rows: Rows) => void): Promise<void> {
  const cases = casesOf(study);
  how.signal?.throwIfAborted();
  const store = how.store?.(study);
  try {
    await makeRows(study, cases, how, store, take);
    store?.finish();
  } finally {
    store?.close();
  }
}

async function makeRows(
  study: Study, cases: Cases, { pool, onRows, signal }: StudyOptions, store: RowStore | undefined, take: (rows: Rows) => void,
): Promise<void> {
  const { columns, count, chunk } = cases;
  const isMade = new Uint8Array(count);
  let sum = 0;
  const keep = (rows: Rows): void => {
    const length = rows.values.length / columns.length;
    take(rows);
    isMade.fill(1, rows.from, rows.from + length);
    sum += length;
  };
  for (const rows of store?.made ?? []) keep(rows);
  const left = stretches(isMade, chunk);
  const make = (from: number, to: number): Promise<Float64Array> | Float64Array => (
    pool === undefined ? caseRows(cases, from, to) : pool.rows(study, from, to)
  );
  const lane = async (): Promise<void> => {
    for (let next = left.shift(); next !== undefined; next = left.shift()) {
      const rows = { from: next.from, values: await make(next.from, next.to) };
      keep(rows);
      store?.add(rows);
      onRows?.(rows, sum, count);
      await aPause();
      signal?.throwIfAborted();
    }
  };
  await allLanes(lane, pool === undefined ? 1 : LANES * pool.threads, left);
}

/** Stretches that a thread has waiting, so that it need not ask for the next one. */
const LANES = 2;

/** Every lane comes to its end before the first fault of one is thrown, so that what was under way is not lost. */
async function allLanes(lane: () => Promise<void>, lanes: number, left: unknown[]): Promise<void> {
  const endings = await Promise.allSettled(Array.from({ length: lanes }, async () => {
    try {
      await lane();
    } catch (error) {
      left.length = 0;
      throw error;
    }
  }));
  for (const ending of endings) if (ending.status === "rejected") throw ending.reason;
}

/** What is not made yet, cut into stretches of at most `chunk`, each within one chunk. */
function stretches(isMade: Uint8Array, chunk: number): { readonly from: number; readonly to: number }[] {
  const found: { from: number; to: number }[] = [];
  for (let i = 0; i < isMade.length; i++) {
    if (isMade[i] === 1) continue;
    const last = found[found.length - 1];
    if (last !== undefined && last.to === i && i % chunk !== 0) last.to = i + 1;
    else found.push({ from: i, to: i + 1 });
  }
  return found;
}

/** Lets a page draw and a terminal hear of Ctrl-C between two stretches. */
function aPause(): Promise<void> {
  return new Promise((go) => { setTimeout(go); });
}

/** A column of a study's table, by name. */
export function columnOf({ columns, count, values }: StudyTable, name: string): Float64Array {
  const at = columns.findIndex((column) => column.name === name);
  if (at < 0) throw new RangeError(`column: expected one of ${columns.map((column) => column.name).join(", ")}, got "${name}"`);
  return Float64Array.from({ length: count }, (_, i) => values[i * columns.length + at]!);
}
