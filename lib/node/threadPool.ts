import { availableParallelism } from "node:os";
import { Worker } from "node:worker_threads";
import type { Site } from "../site/site.ts";
import type { EnsembleColumns, EnsembleOptions, StudyPool } from "../study/ensemble.ts";

/** A pool whose threads are to be closed when the study is over. */
export interface ThreadPool extends StudyPool {
  close(): Promise<void>;
}

/** What a thread is asked to do, and what it answers. */
export interface Task {
  readonly site: Site;
  readonly options: EnsembleOptions;
  readonly from: number;
  readonly to: number;
}
export type Answer = { readonly columns: EnsembleColumns } | { readonly error: unknown };

interface Waiting {
  readonly task: Task;
  readonly resolve: (columns: EnsembleColumns) => void;
  readonly reject: (error: unknown) => void;
}

/**
 * Threads that make the runs of a study, one chunk each at a time.
 *
 *   const pool = threadPool();
 *   const columns = await ensemble(site, { runs: 10_000, seed: 1, storm, conductivityWithin: 3 }, pool);
 *   await pool.close();
 *
 * @param threads  whole, 1 or more; all of the machine's where missing
 */
export function threadPool(threads: number = availableParallelism()): ThreadPool {
  if (!(Number.isInteger(threads) && threads >= 1)) throw new RangeError(`threads: expected a whole number, 1 or more, got ${threads}`);
  const queue: Waiting[] = [];
  const idle: Worker[] = [];
  const busy = new Map<Worker, Waiting>();
  const workers = Array.from({ length: threads }, hired);

  return {
    threads,
    ensemble(site, options, from, to) {
      return new Promise((resolve, reject) => {
        queue.push({ task: { site, options, from, to }, resolve, reject });
        handOut();
      });
    },
    async close() {
      await Promise.all(workers.map((worker) => worker.terminate()));
    },
  };

  function hired(): Worker {
    const worker = new Worker(new URL("./studyWorker.js", import.meta.url));
    worker.on("message", (answer: Answer) => {
      const { resolve, reject } = busy.get(worker)!;
      busy.delete(worker);
      idle.push(worker);
      if ("columns" in answer) resolve(answer.columns);
      else reject(answer.error);
      handOut();
    });
    worker.on("error", (error) => {
      busy.get(worker)?.reject(error);
      busy.delete(worker);
    });
    worker.unref();
    idle.push(worker);
    return worker;
  }

  function handOut(): void {
    while (idle.length > 0 && queue.length > 0) {
      const worker = idle.pop()!;
      const waiting = queue.shift()!;
      busy.set(worker, waiting);
      worker.ref();
      worker.postMessage(waiting.task);
    }
    for (const worker of idle) worker.unref();
  }
}
