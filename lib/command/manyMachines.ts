import { availableParallelism } from "node:os";
import { halving } from "../node/givenUp.ts";
import { threadPool } from "../node/threadPool.ts";
import { UserFault } from "../node/userFault.ts";
import type { Share, StudyOptions, StudyPool } from "../study/runStudy.ts";
import { describe } from "../text/describe.ts";
import { readQuantity } from "../text/quantity.ts";
import type { Console } from "./console.ts";
import { progressBar } from "./progressBar.ts";

/** Who makes the rows of a study, and which of them. */
export interface ManyOptions {
  /** the URL of a queue */
  readonly queue?: string | undefined;
  /** one share of the rows, `2/8` */
  readonly share?: string | undefined;
  /** what a stretch of rows may take before it is given up, `10 min` */
  readonly rowLimit?: string | undefined;
  /** the URL of a bucket that results are put into beside the folder */
  readonly store?: string | undefined;
}

/** A pool that is to be closed when the study is over. */
export interface OpenPool extends StudyPool {
  /** how many make the rows, in words: ", 12 threads of 3 workers"; empty for the threads here */
  readonly who: () => string;
  close(): Promise<void>;
}

/** The threads of this machine, or the workers of a queue. */
export async function openPool({ queue, rowLimit }: ManyOptions, console: Console): Promise<OpenPool> {
  if (queue === undefined) {
    const threads = threadPool(availableParallelism(), { limit: limitOf(rowLimit) });
    return { ...halving(threads), threads: threads.threads, who: () => "", close: () => threads.close() };
  }
  const [{ queuePool }, { shownUrl }] = await Promise.all([import("../node/queuePool.ts"), import("../node/redis.ts")]);
  const pool = await queuePool(queue);
  let who = "";
  let isTold = false;
  const look = async (): Promise<void> => {
    const { same, others } = await pool.workers();
    const threads = same.reduce((sum, each) => sum + each.threads, 0);
    who =
      same.length === 0
        ? ", no worker yet"
        : `, ${threads} ${threads === 1 ? "thread" : "threads"} of ${same.length} ${same.length === 1 ? "worker" : "workers"}`;
    if (same.length > 0 || isTold) return;
    isTold = true;
    const mixed =
      others.length === 0
        ? ""
        : ` Those that are there (${[...new Set(others.map(({ build }) => build))].join("; ")}) are of another version, build or Node and take no rows of this one.`;
    console.err(
      `--queue: no worker of this soakstep is at ${shownUrl(queue)} yet: start "soakstep work --queue URL" on any machine.${mixed}\n`,
    );
  };
  await look();
  const looking = setInterval(() => {
    void look().catch(() => undefined);
  }, 3000);
  return {
    threads: pool.threads,
    ...(pool.chunks === undefined ? {} : { chunks: pool.chunks }),
    rows: (study, from, to) => pool.rows(study, from, to),
    who: () => who,
    close: () => {
      clearInterval(looking);
      return pool.close();
    },
  };
}

/** Does something with the threads of this machine, telling how far it has come. */
export async function withThreads<T>(label: string, console: Console, make: (how: StudyOptions) => Promise<T>): Promise<T> {
  const pool = await openPool({}, console);
  const bar = progressBar(console, `${label}: studies`);
  try {
    return await make({ pool, onRows: (_, rows, count) => { bar.tell(rows, count); } });
  } finally {
    bar.clear();
    await pool.close();
  }
}

/** @throws UserFault  for what is no time */
export function limitOf(text: string | undefined): number {
  return text === undefined ? DEFAULT_LIMIT : quantityOption("--row-limit", text, "time", 'a time such as "10 min"');
}

/** A stretch of rows takes seconds; ten minutes is far beyond all [s]. */
const DEFAULT_LIMIT = 600;

/**
 * A quantity of the command line, more than 0.
 *
 * @throws UserFault  for anything else
 */
export function quantityOption(option: string, text: string, dimension: "time" | "length", expected: string): number {
  const reading = readQuantity(text, dimension);
  if ("value" in reading && reading.value > 0) return reading.value;
  throw new UserFault(`${option}: expected ${expected}, got ${describe(text)}`);
}

/**
 * `2/8` as the second of eight shares.
 *
 * @throws UserFault  for anything else
 */
export function shareOption(text: string | undefined): Share | undefined {
  if (text === undefined) return undefined;
  const found = /^(\d{1,7})\/(\d{1,7})$/.exec(text.trim());
  const [index, of] = [Number(found?.[1]), Number(found?.[2])];
  if (found === null || index < 1 || index > of)
    throw new UserFault(`--share: expected a share such as 2/8, from 1/8 to 8/8, got ${describe(text)}`);
  return { index, of };
}

/** Where the rows of a study lie, or of a share of them. */
export function sharePath(path: string, share: Share | undefined): string {
  return share === undefined ? path : path.replace(/\.csv$/, `.share-${share.index}-of-${share.of}.csv`);
}

/** A file of rows, and the note beside it without which nobody knows what they are. */
export function withNote(rows: string): string[] {
  return [rows, `${rows}.study`];
}

/** What is said once a share is made. */
export function shareSentence(path: string, share: Share): string {
  const all = sharePath(path, share).replace(`share-${share.index}-of`, "share-*-of");
  return `Share ${share.index} of ${share.of} is made. With all ${share.of}: soakstep merge ${all}, then the same command without --share.`;
}

/**
 * Puts results into an object store, where one is named. Called before a study is made, so that a wrong URL is refused before the hours of
 * work.
 */
export async function openStore({ store }: ManyOptions): Promise<(paths: readonly string[]) => Promise<readonly string[]>> {
  if (store === undefined) return () => Promise.resolve([]);
  const { objectStore } = await import("../node/objectStore.ts");
  const into = objectStore(store);
  return async (paths) => {
    const put: string[] = [];
    for (const path of paths) for (const address of await into.put(path)) put.push(address);
    return put;
  };
}
