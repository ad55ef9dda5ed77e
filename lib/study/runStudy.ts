import { caseRows, type Cases, type Column } from "./cases.ts";
import { casesOf, type Study } from "./study.ts";

/** Something that makes rows `from` to `to - 1` of a study elsewhere, such as `threadPool` of node.js. */
export interface StudyPool {
  readonly threads: number;
  rows(study: Study, from: number, to: number): Promise<Float64Array>;
  /** number of chunks it would have at a time, by the rows of each and the numbers of a row; one where missing */
  chunks?(width: number, rows: number): number;
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
  /** called with each block of rows when it completes, in any order */
  readonly onRows?: (rows: Rows, made: number, count: number) => void;
  /** makes one of a number of equal shares of the rows and no more, counted from 1; once it is made `ShareMade` is thrown */
  readonly share?: Share;
  /** stops the study: what is under way is finished and reported, nothing more is begun */
  readonly signal?: AbortSignal;
}

/** One of several parts of a study's rows, such as one of an array of jobs makes. */
export interface Share {
  readonly index: number;
  readonly of: number;
}

/** A share of a study's rows is made; what the study asks needs them all. */
export class ShareMade extends Error {
  constructor({ index, of }: Share) {
    super(`share ${index} of ${of} is made`);
    this.name = "ShareMade";
  }
}

/** Rows that could not be made; all others are made, those of `made` among them. */
export class LostRows extends Error {
  readonly lost: readonly { readonly row: number; readonly why: string }[];
  readonly made: readonly Rows[];

  constructor(lost: LostRows["lost"], made: readonly Rows[]) {
    super(`rows that could not be made: ${lost.slice(0, MOST_TOLD).map(({ row, why }) => `${row} (${why})`).join(", ")}${lost.length > MOST_TOLD ? ` and ${lost.length - MOST_TOLD} more` : ""}; all others are made`);
    this.name = "LostRows";
    this.lost = lost;
    this.made = made;
  }
}

const MOST_TOLD = 20;

/** The rows of a share, from the first of `from` to the one before `to`; shares begin where chunks do. */
export function shareRows({ index, of }: Share, { count, chunk }: Pick<Cases, "count" | "chunk">): { readonly from: number; readonly to: number } {
  const chunks = Math.ceil(count / chunk);
  const edge = (share: number): number => Math.min(count, chunk * Math.floor((chunks * share) / of));
  return { from: edge(index - 1), to: edge(index) };
}

/** A place for the rows of one study. */
export interface RowStore {
  /** rows made before, which are not made again */
  readonly made: Iterable<Rows>;
  /** keeps rows; what it was given is not lost, however the study ends */
  add(rows: Rows): void;
  /** called once it has every row that was missing */
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
    if (how.share !== undefined) throw new ShareMade(how.share);
    store?.finish();
  } finally {
    store?.close();
  }
}

async function makeRows(
  study: Study, cases: Cases, { pool, onRows, signal, share }: StudyOptions, store: RowStore | undefined, take: (rows: Rows) => void,
): Promise<void> {
  const { columns, count, chunk } = cases;
  const asked = share === undefined ? { from: 0, to: count } : shareRows(share, cases);
  const isMade = new Uint8Array(count);
  const lost: { row: number; why: string }[] = [];
  let sum = 0;
  const keep = (rows: Rows): void => {
    const length = rows.values.length / columns.length;
    take(rows);
    isMade.fill(1, rows.from, rows.from + length);
    sum += length;
  };
  for (const rows of store?.made ?? []) keep(rows);
  const left = stretches(isMade, asked, () => chunk * (pool?.chunks?.(columns.length, chunk) ?? 1));
  const make = (from: number, to: number): Promise<Float64Array> | Float64Array => (
    pool === undefined ? caseRows(cases, from, to) : pool.rows(study, from, to)
  );
  const madeOf = async ({ from, to }: Stretch): Promise<readonly Rows[]> => {
    try {
      return [{ from, values: await make(from, to) }];
    } catch (error) {
      if (!(error instanceof LostRows)) throw error;
      for (const row of error.lost) lost.push(row);
      return error.made;
    }
  };
  const lane = async (): Promise<void> => {
    for (let next = left.next(); next !== null; next = left.next()) {
      for (const rows of await madeOf(next)) {
        keep(rows);
        store?.add(rows);
        onRows?.(rows, sum, asked.to - asked.from);
      }
      await aPause();
      signal?.throwIfAborted();
    }
  };
  await allLanes(lane, pool === undefined ? 1 : LANES * pool.threads, left);
  if (lost.length > 0) throw new LostRows(lost.sort((a, b) => a.row - b.row), []);
}

/** Stretches that a thread has waiting, so that it need not ask for the next one. */
const LANES = 2;

/** Every lane comes to its end before the first fault of one is thrown, so that what was under way is not lost. */
async function allLanes(lane: () => Promise<void>, lanes: number, left: Stretches): Promise<void> {
  const endings = await Promise.allSettled(Array.from({ length: lanes }, async () => {
    try {
      await lane();
    } catch (error) {
      left.stop();
      throw error;
    }
  }));
  for (const ending of endings) if (ending.status === "rejected") throw ending.reason;
}

interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** What is not made yet, a stretch after the other. */
interface Stretches {
  next(): Stretch | null;
  /** there is no next one any more */
  stop(): void;
}

/** Cut into stretches of at most a size, which may change on the way, each within one block of that size. */
function stretches(isMade: Uint8Array, { from, to }: Stretch, sizeNow: () => number): Stretches {
  let at = from;
  let end = to;
  return {
    next() {
      while (at < end && isMade[at] === 1) at++;
      if (at >= end) return null;
      const size = sizeNow();
      const start = at++;
      while (at < end && isMade[at] === 0 && at % size !== 0) at++;
      return { from: start, to: at };
    },
    stop() {
      end = at;
    },
  };
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
