import { randomUUID } from "node:crypto";
import { availableParallelism, hostname } from "node:os";
import { deserialize } from "node:v8";
import { gunzipSync } from "node:zlib";
import type { Study } from "../study/study.ts";
import { GivenUp } from "./givenUp.ts";
import { KEPT_S, MOST_STALLS, NO_STUDY, type RowsJob, type RowsMade, type WorkerTold } from "./queuePool.ts";
import { bullmq, connected, keyOf, PREFIX, queueName } from "./redis.ts";
import { fingerprintOf } from "./studyFile.ts";
import { thisBuild } from "./thisBuild.ts";
import { threadPool, type ThreadPool } from "./threadPool.ts";

/** How a worker works. */
export interface WorkOptions {
  /** all of the machine's where missing */
  readonly threads?: number;
  /** a stretch of rows that takes longer is given up [s]; 600 where missing */
  readonly limit?: number;
  /** what makes the rows: threads of this process where missing */
  readonly pool?: Pick<ThreadPool, "rows" | "close">;
  /** called with every stretch that is made */
  readonly onMade?: (rows: number) => void;
  /** called when the server goes away, and when it is back */
  readonly onServer?: (isThere: boolean) => void;
  /** a worker that has not been heard of for so long is taken for dead, and its stretch given to another [ms]; 10 000 where missing */
  readonly silence_ms?: number;
}

/** A worker of a queue. */
export interface QueueWorker {
  readonly threads: number;
  /** takes no more, and is done once what is under way is made */
  close(): Promise<void>;
}

/**
 * Makes rows that a queue asks for, on this machine's threads, until it is closed. It takes jobs of this very build alone, and holds the
 * fingerprint of each study against what it would be here.
 *
 * @throws UserFault  when bullmq and ioredis are not installed, or there is no such server
 */
export async function workOn(
  url: string,
  { threads = availableParallelism(), limit = 600, onMade, onServer, silence_ms = 10_000, ...how }: WorkOptions = {},
): Promise<QueueWorker> {
  const { Worker, UnrecoverableError } = bullmq();
  const redis = await connected(url);
  const pool = how.pool ?? threadPool(threads, { limit });
  const studies = new Map<string, Promise<Study>>();
  const id = randomUUID();
  const told: WorkerTold = { build: thisBuild(), host: hostname(), pid: process.pid, threads };
  const tell = async (): Promise<void> => {
    await redis.set(keyOf.worker(id), JSON.stringify(told), "PX", 3 * TELLS_MS);
  };
  await tell();
  const telling = setInterval(() => {
    void tell().catch(() => undefined);
  }, TELLS_MS);
  let isClosed = false;
  redis.on("close", () => {
    if (!isClosed) onServer?.(false);
  });
  redis.on("ready", () => {
    onServer?.(true);
  });
  const connection = await connected(url);
  const worker = new Worker<RowsJob, RowsMade>(
    queueName(),
    async ({ data }) => {
      const study = await studyOf(data.study);
      const start = performance.now();
      try {
        const rows = await pool.rows(study, data.from, data.to);
        const took = performance.now() - start;
        await redis.set(
          keyOf.rows(data.study, data.from, data.to),
          Buffer.from(rows.buffer, rows.byteOffset, rows.byteLength),
          "EX",
          KEPT_S,
        );
        onMade?.(data.to - data.from);
        return { took };
      } catch (error) {
        // it would be no better a second time; the one who asked halves the stretch
        if (error instanceof GivenUp) throw new UnrecoverableError(error.message);
        throw error;
      }
    },
    {
      connection,
      prefix: PREFIX,
      concurrency: threads,
      lockDuration: silence_ms,
      stalledInterval: silence_ms / 2,
      maxStalledCount: MOST_STALLS,
    },
  );
  worker.on("error", () => undefined);
  await worker.waitUntilReady();
  return {
    threads,
    async close() {
      await worker.close();
      isClosed = true;
      clearInterval(telling);
      await redis.del(keyOf.worker(id));
      await pool.close();
      redis.disconnect();
      connection.disconnect();
    },
  };

  /** The last few studies stay: a second one may be made beside the first. */
  function studyOf(fingerprint: string): Promise<Study> {
    const known = studies.get(fingerprint) ?? fetchStudy(fingerprint);
    studies.delete(fingerprint);
    studies.set(fingerprint, known);
    known.catch(() => studies.delete(fingerprint));
    if (studies.size > MOST_STUDIES) studies.delete(studies.keys().next().value!);
    return known;
  }

  async function fetchStudy(fingerprint: string): Promise<Study> {
    const bytes = await redis.getBuffer(keyOf.study(fingerprint));
    if (bytes === null) throw new Error(NO_STUDY);
    const study = deserialize(gunzipSync(bytes)) as Study;
    const own = fingerprintOf(study);
    if (own !== fingerprint)
      throw new UnrecoverableError(`expected the study ${fingerprint.slice(0, 12)}, got one that is ${own.slice(0, 12)} here`);
    return study;
  }
}

const MOST_STUDIES = 4;
const TELLS_MS = 5000;
