import { availableParallelism } from "node:os";
import { Worker } from "node:worker_threads";
import { GivenUp } from "./givenUp.ts";
import type { StudyPool } from "../study/runStudy.ts";
import type { Study } from "../study/study.ts";

/** A pool whose threads are to be closed when the study is over. */
export interface ThreadPool extends StudyPool {
  /** the threads hired so far; one that dies is replaced, and what it had under way is made again */
  readonly workers: readonly Worker[];
  close(): Promise<void>;
}

/** What a thread is asked to do, and what it answers. The study comes along the first time only. */
export interface Task {
  readonly id: number;
  readonly study?: Study;
  readonly from: number;
  readonly to: number;
}
export type Answer = { readonly rows: Float64Array } | { readonly error: unknown };

interface Waiting {
  readonly study: Study;
  readonly from: number;
  readonly to: number;
  readonly resolve: (rows: Float64Array) => void;
  readonly reject: (error: unknown) => void;
  /** threads that died over it */
  deaths: number;
}

/** A stretch of rows is given up once this many threads have died making it. */
const MOST_DEATHS = 3;

/**
 * Threads that make the rows of a study, a stretch each at a time.
 *
 *   const pool = threadPool();
 *   const columns = await ensemble(site, { runs: 10_000, seed: 1, storm, conductivityWithin: 3 }, { pool });
 *   await pool.close();
 *
 * @param threads    whole, 1 or more; all of the machine's where missing
 * @param how.limit  a stretch that takes longer is given up [s]; none where missing
 */
export function threadPool(threads: number = availableParallelism(), { limit = Infinity }: { readonly limit?: number } = {}): ThreadPool {
  if (!(Number.isInteger(threads) && threads >= 1)) throw new RangeError(`threads: expected a whole number, 1 or more, got ${threads}`);
  const queue: Waiting[] = [];
  const idle: Worker[] = [];
  const timers = new Map<Worker, NodeJS.Timeout>();
  const busy = new Map<Worker, Waiting>();
  const workers = new Set<Worker>();
  const ids = new WeakMap<Study, number>();
  let studies = 0;
  const knownTo = new WeakMap<Worker, Study>();
  let closed = false;

  return {
    threads,
    get workers() {
      return [...workers];
    },
    rows(study, from, to) {
      if (closed) return Promise.reject(new Error("the pool is closed"));
      return new Promise((resolve, reject) => {
        queue.push({ study, from, to, resolve, reject, deaths: 0 });
        handOut();
      });
    },
    async close() {
      closed = true;
      await Promise.all([...workers].map((worker) => worker.terminate()));
    },
  };

  function hire(): void {
    const worker = new Worker(new URL("../node/studyWorker.js", import.meta.url));
    worker.on("message", (answer: Answer) => {
      const task = busy.get(worker);
      // given up just now
      if (task === undefined) return;
      const { resolve, reject } = task;
      clearTimeout(timers.get(worker));
      busy.delete(worker);
      idle.push(worker);
      if ("rows" in answer) {
        resolve(answer.rows);
      } else {
        knownTo.delete(worker);
        reject(answer.error);
      }
      handOut();
    });
    let fault: unknown = null;
    worker.on("error", (error) => { fault = error; });
    worker.on("exit", () => { bury(worker, fault); });
    worker.unref();
    workers.add(worker);
    idle.push(worker);
  }

  function bury(worker: Worker, fault: unknown): void {
    workers.delete(worker);
    if (idle.includes(worker)) idle.splice(idle.indexOf(worker), 1);
    const task = busy.get(worker);
    busy.delete(worker);
    clearTimeout(timers.get(worker));
    if (closed) {
      task?.reject(new Error("the pool is closed"));
      return;
    }
    if (task !== undefined) {
      task.deaths++;
      if (task.deaths < MOST_DEATHS) queue.unshift(task);
      else task.reject(new GivenUp(`${task.deaths} threads died over it${fault instanceof Error ? ` (${fault.message})` : ""}`));
    }
    handOut();
  }

  /** A thread cannot leave a row half-way: it is ended, and the next stretch gets a new one. */
  function giveUp(worker: Worker): void {
    const task = busy.get(worker);
    if (task === undefined) return;
    busy.delete(worker);
    task.reject(new GivenUp(`it did not end within ${limit} s`));
    void worker.terminate();
  }

  function handOut(): void {
    while (idle.length < queue.length && workers.size < threads) hire();
    while (idle.length > 0 && queue.length > 0) {
      const worker = idle.pop()!;
      const task = queue.shift()!;
      busy.set(worker, task);
      worker.ref();
      if (limit < Infinity) timers.set(worker, setTimeout(() => { giveUp(worker); }, 1000 * limit));
      try {
        worker.postMessage(taskFor(worker, task));
        knownTo.set(worker, task.study);
      } catch (error) {
        // a study with a function in it, which no thread can be sent
        busy.delete(worker);
        idle.push(worker);
        task.reject(error);
      }
    }
    for (const worker of idle) worker.unref();
  }

  function taskFor(worker: Worker, { study, from, to }: Waiting): Task {
    if (!ids.has(study)) ids.set(study, studies++);
    const id = ids.get(study)!;
    return knownTo.get(worker) === study ? { id, from, to } : { id, study, from, to };
  }
}
