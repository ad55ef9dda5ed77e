import { gzipSync } from "node:zlib";
import { serialize } from "node:v8";
import type { Redis } from "ioredis";
import type { StudyPool } from "../study/runStudy.ts";
import type { Study } from "../study/study.ts";
import { GivenUp, halving } from "./givenUp.ts";
import { bullmq, connected, keyOf, PREFIX, queueName } from "./redis.ts";
import { fingerprintOf } from "./studyFile.ts";
import { thisBuild } from "./thisBuild.ts";

/** A pool of workers on as many machines as there are. */
export interface QueuePool extends StudyPool {
  /** those that are there now: of this build, and of others, which take no job of it */
  workers(): Promise<{ readonly same: readonly WorkerTold[]; readonly others: readonly WorkerTold[] }>;
  close(): Promise<void>;
}

/** What a worker says of itself. */
export interface WorkerTold {
  readonly build: string;
  readonly host: string;
  readonly pid: number;
  readonly threads: number;
}

/** What a worker is asked to make; the study stands in Redis under its fingerprint. */
export interface RowsJob {
  readonly study: string;
  readonly from: number;
  readonly to: number;
}

/** What it answers; the rows stand in Redis. */
export interface RowsMade {
  /** how long it took [ms] */
  readonly took: number;
}

interface Waiting {
  readonly job: RowsJob;
  readonly study: Study;
  readonly resolve: (rows: Float64Array) => void;
  readonly reject: (error: unknown) => void;
  since: number;
}

/** Stretches put into the queue at a time: what a thousand threads have under way and next, and no more results than a Redis holds. */
const MOST_WAITING = 2000;
/** What a job should take [ms]: long against the way there and back, short against a worker that is lost. */
const JOB_TAKES = 3000;
/** And bring at most [bytes]. */
const JOB_BRINGS = 1 << 17;
/** Times that workers may die over a stretch before it is cut in half. */
export const MOST_STALLS = 3;
/** What a worker says that does not find the study. */
export const NO_STUDY = "expected the study in the queue's server, got none";
/** How long a study, and rows that nobody fetched, stay [s]. */
export const KEPT_S: number = 7 * 86400;

/**
 * Workers that a queue in a Redis server reaches (`workOn`, `soakstep work`): a pool like `threadPool`. Its rows are the same to the last
 * bit. When a worker dies, another makes the rows it had not finished; after a restart of Redis the study continues.
 *
 * @param url     of the server; user, password and TLS by it
 * @param how.every_ms  how often what is missing is looked for; 2000 where missing
 * @param how.job_ms    what a job is to take, once it is known what a row takes; 3000 where missing
 * @throws UserFault  when bullmq and ioredis are not installed, or there is no such server
 */
export async function queuePool(
  url: string,
  { every_ms = 2000, job_ms = JOB_TAKES }: { readonly every_ms?: number; readonly job_ms?: number } = {},
): Promise<QueuePool> {
  const { Queue, QueueEvents } = bullmq();
  const redis = await connected(url);
  const eventsRedis = await connected(url);
  const queue = new Queue<RowsJob, RowsMade>(queueName(), { connection: redis, prefix: PREFIX });
  const events = new QueueEvents(queueName(), { connection: eventsRedis, prefix: PREFIX });
  // a connection that is lost is made again, and what was missed meanwhile is looked for
  queue.on("error", () => undefined);
  events.on("error", () => undefined);
  const waiting = new Map<string, Waiting>();
  const kept = new WeakMap<Study, Promise<string>>();
  let perRow = NaN;
  let isClosed = false;
  await events.waitUntilReady();
  events.on("completed", ({ jobId, returnvalue }) => {
    const its = waiting.get(jobId);
    if (its === undefined) return;
    const each = tookOf(returnvalue) / (its.job.to - its.job.from);
    if (!Number.isNaN(each)) perRow = Number.isNaN(perRow) ? each : 0.8 * perRow + 0.2 * each;
    void fetched(jobId, its).catch(its.reject);
  });
  events.on("failed", ({ jobId, failedReason }) => {
    const its = waiting.get(jobId);
    if (its === undefined) return;
    if (failedReason === NO_STUDY) {
      // the server lost it; the job is asked for again
      void keep(its.study)
        .then(async () => add(its.job))
        .catch(its.reject);
      return;
    }
    waiting.delete(jobId);
    its.reject(new GivenUp(/stalled/.test(failedReason) ? `${MOST_STALLS + 1} workers died over it` : failedReason));
  });
  const search = setInterval(() => {
    void lookForMissing().catch(() => undefined);
  }, every_ms);

  const pool: StudyPool = {
    threads: MOST_WAITING / 2,
    chunks: (width, rows) => jobChunks({ width, rows, perRow, job_ms }),
    rows: async (study, from, to) => {
      if (!kept.has(study)) kept.set(study, keep(study));
      const job = { study: await kept.get(study)!, from, to };
      return new Promise((resolve, reject) => {
        const its: Waiting = { job, study, resolve, reject, since: Date.now() };
        waiting.set(idOf(job), its);
        void begin(its).catch(reject);
      });
    },
  };
  return {
    threads: pool.threads,
    chunks: pool.chunks!,
    rows: (study, from, to) => halving(pool).rows(study, from, to),
    workers: () => workersIn(redis),
    async close() {
      isClosed = true;
      clearInterval(search);
      for (const { reject } of waiting.values()) reject(new Error("the queue is closed"));
      // what nobody waits for any more nobody needs to make
      await Promise.allSettled([...waiting.keys()].map(async (id) => queue.remove(id)));
      waiting.clear();
      await events.close();
      await queue.close();
      redis.disconnect();
      eventsRedis.disconnect();
    },
  };

  async function keep(study: Study): Promise<string> {
    const fingerprint = fingerprintOf(study);
    await redis.set(keyOf.study(fingerprint), gzipSync(serialize(study)), "EX", KEPT_S);
    return fingerprint;
  }

  /** Rows that an earlier session asked for and did not fetch are there already. */
  async function begin(its: Waiting): Promise<void> {
    if (!(await fetched(idOf(its.job), its))) await add(its.job);
  }

  async function add(job: RowsJob): Promise<void> {
    await queue.add("rows", job, { jobId: idOf(job), removeOnComplete: true, removeOnFail: true });
  }

  async function fetched(id: string, { job, resolve }: Waiting): Promise<boolean> {
    const key = keyOf.rows(job.study, job.from, job.to);
    const bytes = await redis.getBuffer(key);
    if (bytes === null || !waiting.delete(id)) return false;
    // a copy, whose start lies where numbers may
    resolve(new Float64Array(Uint8Array.from(bytes).buffer));
    await redis.del(key);
    return true;
  }

  /** What a Redis that went away has lost, and what it announced while this process was cut off. */
  async function lookForMissing(): Promise<void> {
    const now = Date.now();
    for (const [id, its] of [...waiting].filter(([, { since }]) => now - since > 2 * every_ms).slice(0, 200)) {
      if (isClosed || !waiting.has(id)) continue;
      its.since = Date.now();
      if (await fetched(id, its)) continue;
      if ((await queue.getJobState(id)) !== "unknown") continue;
      if ((await redis.exists(keyOf.study(its.job.study))) === 0) await keep(its.study);
      if (!(await fetched(id, its)) && waiting.has(id)) await add(its.job);
    }
  }
}

/**
 * Chunks of rows that make a job: as many as take what a job is to take, and bring no more than it is to bring.
 *
 * @param width   numbers a row
 * @param rows    of a chunk
 * @param perRow  what a row takes [ms]; NaN as long as it is not known
 */
export function jobChunks({ width, rows, perRow, job_ms = JOB_TAKES }: JobOf): number {
  if (Number.isNaN(perRow)) return 1;
  return Math.max(1, Math.floor(Math.min(job_ms / Math.max(perRow, 1e-3), JOB_BRINGS / (8 * width)) / rows));
}

interface JobOf {
  readonly width: number;
  readonly rows: number;
  readonly perRow: number;
  readonly job_ms?: number;
}

/** How long a worker says that a job took [ms]; NaN where it says nothing of the kind. The queue's types call its answer a text. */
function tookOf(answer: unknown): number {
  const took = typeof answer === "object" && answer !== null && "took" in answer ? answer.took : null;
  return typeof took === "number" && took >= 0 ? took : NaN;
}

function idOf({ study, from, to }: RowsJob): string {
  return `${study.slice(0, 32)}-${from}-${to}`;
}

async function workersIn(redis: Redis): Promise<Awaited<ReturnType<QueuePool["workers"]>>> {
  const told: WorkerTold[] = [];
  let cursor = "0";
  do {
    const [next, keys] = await redis.scan(cursor, "MATCH", keyOf.worker("*"), "COUNT", 1000);
    cursor = next;
    if (keys.length > 0) for (const text of await redis.mget(keys)) if (text !== null) told.push(JSON.parse(text) as WorkerTold);
  } while (cursor !== "0");
  const build = thisBuild();
  return { same: told.filter((each) => each.build === build), others: told.filter((each) => each.build !== build) };
}
