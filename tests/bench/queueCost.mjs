// @ts-check
// What a queue costs: a real Redis, one asker and a number of workers of 8 threads, in processes of ten workers each. The workers make no rows:
// each waits as long as a row takes and sends numbers as wide, so that the queue is what works here and a machine of two cores has room for
// a hundred. Prints the jobs a second, the seconds of CPU a job of asker and Redis, and how far behind no queue at all that is.
// Needs a build, bullmq, ioredis and Debian's redis-server; the server is this bench's own, on the loopback, and ends with it.
//   node tests/bench/queueCost.mjs [workers …]
import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { Redis } from "ioredis";
import { designStorm } from "../../dist/index.js";
import { fillStudyFile, lotPattern, queuePool, workOn } from "../../dist/node.js";

/** A run of a lot [ms], and the numbers of its row. */
const ROW_MS = 2.5;
const WIDTH = 18;
const THREADS = 8;
/** What a size of bench is to take without a queue [s]. */
const TAKES_S = 20;

const [first, ...others] = process.argv.slice(2);
if (first === "work") await work(String(others[0]), Number(others[1]));
else await bench((first === undefined ? [1, 10, 100] : [first, ...others]).map(Number));

/** @param {string} url @param {number} workers */
async function work(url, workers) {
  const pool = {
    rows: (/** @type {unknown} */ _study, /** @type {number} */ from, /** @type {number} */ to) =>
      new Promise((/** @type {(rows: Float64Array) => void} */ done) => {
        setTimeout(() => { done(new Float64Array((to - from) * WIDTH)); }, (to - from) * ROW_MS);
      }),
    close: () => Promise.resolve(),
  };
  await Promise.all(Array.from({ length: workers }, async () => workOn(url, { threads: THREADS, pool })));
  process.stdout.write("working\n");
}

/** @param {readonly number[]} sizes */
async function bench(sizes) {
  const folder = mkdtempSync(join(tmpdir(), "soakstep-queue-cost-"));
  const port = await freePort();
  const url = `redis://127.0.0.1:${port}`;
  const server = spawn("redis-server", ["--port", String(port), "--bind", "127.0.0.1", "--dir", folder, "--save", "", "--appendonly", "yes"], { stdio: "ignore" });
  const redis = new Redis(url, { retryStrategy: () => 50, maxRetriesPerRequest: null });
  redis.on("error", () => undefined);
  try {
    await redis.ping();
    for (const workers of sizes) await oneSize(workers, url, redis, folder);
  } finally {
    redis.disconnect();
    server.kill();
    await once(server, "exit");
    rmSync(folder, { recursive: true });
  }
}

/** @param {number} workers @param {string} url @param {Redis} redis @param {string} folder */
async function oneSize(workers, url, redis, folder) {
  const hands = Array.from({ length: Math.ceil(workers / 10) }, (_, i) =>
    spawn(process.execPath, [fileURLToPath(import.meta.url), "work", url, String(Math.min(10, workers - 10 * i))], { stdio: ["ignore", "pipe", "inherit"] }));
  try {
    await Promise.all(hands.map(async (hand) => once(hand.stdout, "data")));
    const pattern = lotPattern(JSON.parse(readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8")));
    const lots = Math.round((1000 * TAKES_S * workers * THREADS) / (11 * ROW_MS));
    const study = /** @type {const} */ ({
      kind: "lots", file: pattern.file, keys: ["roofArea"], values: Array.from({ length: lots }, (_, i) => [`${1000 + (i % 3000)} sq ft`]),
      options: { storms: [{ name: "day", rain: designStorm({ pattern: "nrcs-ii", depth: "3 in" }) }], soils: 9, conductivityWithin: 3 },
    });
    const pool = await queuePool(url);
    const before = { asker: process.cpuUsage(), redis: await cpuOf(redis), start: performance.now() };
    let jobs = 0;
    await fillStudyFile(join(folder, `${workers}.csv`), study, { pool, onRows: () => { jobs++; } });
    const wall = (performance.now() - before.start) / 1000;
    const { user, system } = process.cpuUsage(before.asker);
    const asker = (user + system) / 1e6;
    const server = (await cpuOf(redis)) - before.redis;
    await pool.close();
    const ideal = (11 * lots * ROW_MS) / (1000 * workers * THREADS);
    const each = (/** @type {number} */ seconds) => `${((1000 * seconds) / jobs).toFixed(2)} ms`;
    console.log(`${workers} workers of ${THREADS} threads: ${lots} lots, ${11 * lots} rows in ${jobs} jobs, ${wall.toFixed(1)} s (${ideal.toFixed(1)} s without a queue), ${(jobs / wall).toFixed(0)} jobs a second; CPU of the asker ${asker.toFixed(1)} s, ${each(asker)} a job with its rows into the file; of Redis ${server.toFixed(1)} s, ${each(server)} a job`);
  } finally {
    for (const hand of hands) hand.kill();
  }
}

/** @param {Redis} redis */
async function cpuOf(redis) {
  const told = await redis.info("cpu");
  return ["used_cpu_user", "used_cpu_sys"].reduce((sum, name) => sum + Number(new RegExp(`${name}:([\\d.]+)`).exec(told)?.[1]), 0);
}

async function freePort() {
  const server = createServer().listen(0, "127.0.0.1");
  await once(server, "listening");
  const { port } = /** @type {{ port: number }} */ (server.address());
  server.close();
  await once(server, "close");
  return port;
}
