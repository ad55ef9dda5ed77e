import { execFileSync, spawn, spawnSync, type ChildProcess } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { setTimeout as sleep } from "node:timers/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { Redis } from "ioredis";
import { afterAll, describe, expect, test } from "vitest";
import { shareOf } from "../share.ts";

// Workers load built files, so the build is what is tested. Needs Debian's redis-server; each server is this file's own, on the loopback,
// and ends with it.
const { designStorm, readSite } = await import("../../dist/index.js");
const { fillStudyFile, queuePool, threadPool } = await import("../../dist/node.js");

const source = JSON.parse(readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8")) as Record<string, unknown>;
const site = readSite(source);
const command = fileURLToPath(new URL("../../dist/command/main.js", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "soakstep-queue-"));
const processes = new Set<ChildProcess>();
afterAll(() => { for (const each of processes) each.kill("SIGKILL"); });

function started(program: string, words: readonly string[], env: Readonly<Record<string, string>> = {}): ChildProcess {
  const child = spawn(program, words, { stdio: ["ignore", "pipe", "inherit"], env: { ...process.env, ...env } });
  processes.add(child);
  child.on("exit", () => processes.delete(child));
  return child;
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, "127.0.0.1");
  await once(server, "listening");
  const { port } = server.address() as { port: number };
  server.close();
  await once(server, "close");
  return port;
}

interface Server {
  readonly url: string;
  readonly restart: () => Promise<void>;
  readonly stop: () => Promise<void>;
}

/** A Redis that keeps what it is told, whatever happens to it. */
async function redisServer(words: readonly string[] = [], password = ""): Promise<Server> {
  const port = await freePort();
  const place = mkdtempSync(join(folder, "redis-"));
  const url = `redis://${password === "" ? "" : `:${password}@`}127.0.0.1:${port}`;
  const start = async (): Promise<ChildProcess> => {
    const child = started("redis-server", [
      "--port", String(port), "--bind", "127.0.0.1", "--dir", place, "--save", "", "--appendonly", "yes", "--appendfsync", "always",
      ...(password === "" ? [] : ["--requirepass", password]), ...words,
    ]);
    const redis = new Redis(url, { maxRetriesPerRequest: null, retryStrategy: () => 50 });
    redis.on("error", () => undefined);
    await redis.ping();
    redis.disconnect();
    return child;
  };
  let child = await start();
  const stop = async (): Promise<void> => {
    child.kill("SIGKILL");
    await once(child, "exit");
  };
  return {
    url, stop,
    async restart() {
      await stop();
      child = await start();
    },
  };
}

async function worker(url: string, limit = 600): Promise<ChildProcess> {
  const child = started(process.execPath, [fileURLToPath(new URL("queueWorker.mjs", import.meta.url)), url, String(limit)]);
  await once(child.stdout!, "data");
  return child;
}

async function ended(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  child.kill("SIGKILL");
  await once(child, "exit");
}

const storm = { pattern: "block", depth: "34 mm", duration: "1 h" } as const;
const kills = shareOf(20);

function studyOf(runs: number, seed: number): Parameters<typeof fillStudyFile>[1] {
  return { kind: "ensemble", site, options: { runs, seed, storm, conductivityWithin: 3, until: "6 h" } };
}

async function byThreads(study: Parameters<typeof fillStudyFile>[1], name: string): Promise<string> {
  const path = join(folder, `${name}.csv`);
  const pool = threadPool(2);
  await fillStudyFile(path, study, { pool });
  await pool.close();
  return readFileSync(path, "utf8");
}

/** A stretch of 200 rows a job, so that there are enough of them to be killed over. */
const SHORT = { every_ms: 300, job_ms: 0 };

/** The command in a process of its own, in a folder of its own; its answers. */
async function soakstep(place: string, words: readonly string[]): Promise<string> {
  const child = spawn(process.execPath, [command, ...words], { cwd: place, stdio: ["ignore", "pipe", "pipe"] });
  processes.add(child);
  let [out, err] = ["", ""];
  child.stdout.on("data", (text: Buffer) => { out += String(text); });
  child.stderr.on("data", (text: Buffer) => { err += String(text); });
  const [status] = (await once(child, "close")) as [number];
  processes.delete(child);
  expect([status, err.split("\n").filter((line) => line !== "" && !line.startsWith("… "))]).toEqual([0, []]);
  return out;
}

/** Every file of a folder that is no Parquet, its rows in one order. */
function filesOf(place: string): Readonly<Record<string, string>> {
  const names = readdirSync(join(place, "out")).filter((name) => /\.(?:csv|html)$/.test(name) && !name.includes(".share-")).sort();
  return Object.fromEntries(names.map((name) => {
    const text = readFileSync(join(place, "out", name), "utf8");
    return [name, name.endsWith(".csv") ? text.split("\n").sort().join("\n") : text];
  }));
}

describe("a table of lots and a decision, by the command", () => {
  test("are the same bytes from threads, from 4 shares, and from 3 workers on a real Redis", async () => {
    const often = { climate: { stormsPerYear: 40, meanDepth: "0.7 in", meanDuration: "5 h" }, years: 1 };
    const rainfall = (source["studies"] as Record<string, unknown>)["rainfall"];
    const asked = {
      rainfall, often, sweep: { returnPeriods: ["2 year", "10 year"], durations: ["15 min", "1 h"] }, sure: { conductivityWithin: 3, runs: 200, until: "24 h" },
    };
    const pattern = join(folder, "pattern.json");
    writeFileSync(pattern, JSON.stringify({ ...source, surroundings: undefined, storms: [{ name: "s", ...storm }], studies: asked }));
    const table = join(folder, "street.csv");
    const rows = Array.from({ length: 12 }, (_, i) => `No. ${i + 1},${1200 + 250 * i},${(0.1 * 1.3 ** i).toFixed(3)},${i % 2 === 0 ? "east" : "west"}`);
    writeFileSync(table, ["lot,roofArea [sq ft],soil [in/hr],runsTo", ...rows, ""].join("\n"));
    const lots = ["lots", table, "--site", pattern, "--soils", "3", "--years"];
    const decide = ["decide", pattern];
    const [threads, shares, queue] = ["threads", "shares", "queue"].map((name) => mkdtempSync(join(folder, `${name}-`))) as [string, string, string];

    const said = [await soakstep(threads, lots), await soakstep(threads, decide)];
    const expected = filesOf(threads);
    expect(Object.keys(expected)).toEqual(expect.arrayContaining([
      "pattern-decide.html", "pattern-often.csv", "pattern-sure.csv", "pattern-sweep.csv", "street-flows.csv", "street-lots.csv", "street-lots.html", "street-runs.csv", "street-years.csv",
    ]));

    await Promise.all([1, 2, 3, 4].map(async (index) => {
      await soakstep(shares, [...lots, "--share", `${index}/4`]);
      await soakstep(shares, [...decide, "--share", `${index}/4`]);
    }));
    const parts = readdirSync(join(shares, "out")).filter((name) => /\.share-\d-of-4\.csv$/.test(name)).map((name) => join("out", name));
    // runs and years of lots; three studies of the decision
    expect(parts).toHaveLength(20);
    await soakstep(shares, ["merge", ...parts]);
    expect([await soakstep(shares, lots), await soakstep(shares, decide)]).toEqual(said);
    expect(filesOf(shares)).toEqual(expected);

    const server = await redisServer();
    const workers = await Promise.all([1, 2, 3].map(async () => {
      const child = started(process.execPath, [command, "work", "--queue", server.url, "--threads", "1"]);
      await once(child.stdout!, "data");
      return child;
    }));
    // both at once: a second study beside the first
    expect(await Promise.all([soakstep(queue, [...lots, "--queue", server.url]), soakstep(queue, [...decide, "--queue", server.url])])).toEqual(said);
    expect(filesOf(queue)).toEqual(expected);
    await Promise.all(workers.map(ended));
    await server.stop();
  });
});

describe("a queue in a real Redis", () => {
  test(`makes the bytes that threads make, with 3 workers, ${kills} of them killed by signal 9 at random moments and replaced, and Redis killed and started again`, async () => {
    const study = studyOf(200 * (3 * kills + 6), 5);
    const expected = await byThreads(study, "kills");
    const server = await redisServer();
    const workers = await Promise.all([1, 2, 3].map(async () => worker(server.url)));
    const pool = await queuePool(server.url, SHORT);
    const path = join(folder, "killed.csv");
    let told = 0;
    let killed = 0;
    let restarts = 0;
    // what is done to each worker, one thing after the other
    const done: Promise<unknown>[] = workers.map(async () => Promise.resolve());
    const under: Promise<unknown>[] = [];
    const killAndReplace = async (at: number): Promise<void> => {
      // at whatever it is doing by then
      await sleep(300 * Math.random());
      await ended(workers[at]!);
      workers[at] = await worker(server.url);
    };
    await fillStudyFile(path, study, {
      pool,
      onRows: () => {
        told++;
        if (told % 2 === 1 && killed < kills) {
          const at = killed++ % 3;
          done[at] = done[at]!.then(async () => killAndReplace(at));
        }
        if (told === 4) {
          restarts++;
          under.push(server.restart());
        }
      },
    });
    await Promise.all([...under, ...done]);
    expect([killed, restarts]).toEqual([kills, 1]);
    expect(readFileSync(path, "utf8")).toBe(expected);
    await pool.close();
    await Promise.all(workers.map(ended));
    await server.stop();
  });

  test("takes a second study beside the first, and goes on with one whose asker died", async () => {
    const studies = [studyOf(1000, 6), studyOf(1000, 7)];
    const expected = await Promise.all(studies.map(async (study, i) => byThreads(study, `two-${i}`)));
    const server = await redisServer();
    const hand = await worker(server.url);
    const first = await queuePool(server.url, SHORT);
    const paths = [join(folder, "first.csv"), join(folder, "second.csv")];
    const stop = new AbortController();
    const stopped = fillStudyFile(paths[0]!, studies[0]!, { pool: first, signal: stop.signal, onRows: () => { stop.abort(new Error("gone")); } });
    await expect(stopped).rejects.toThrow("gone");
    await first.close();
    const pools = await Promise.all([queuePool(server.url, SHORT), queuePool(server.url, SHORT)]);
    await Promise.all(studies.map(async (study, i) => fillStudyFile(paths[i]!, study, { pool: pools[i]! })));
    expect(paths.map((path) => readFileSync(path, "utf8"))).toEqual(expected);
    await Promise.all(pools.map(async (pool) => pool.close()));
    await ended(hand);
    await server.stop();
  });

  test("bounds a row that never ends, names it, and makes all others", async () => {
    const { storms: _storms, studies: _studies, surroundings: _lot, ...file } = source;
    // where the water table stands over the lid the run would have 10^7 firings and more
    const values = [["84 ft"], ["97 ft"], ["85 ft"]];
    const options = { storms: [{ name: "s", rain: designStorm(storm) }], soils: 1, conductivityWithin: 1, until: 1e11 };
    const study = { kind: "lots", file, keys: ["waterTable"], values, options } as unknown as Parameters<typeof fillStudyFile>[1];
    const server = await redisServer();
    const hand = await worker(server.url, 15);
    const pool = await queuePool(server.url, SHORT);
    const made = new Set<number>();
    const failed = fillStudyFile(join(folder, "poison.csv"), study, { pool, onRows: ({ from, values: rows }) => { for (let i = 0; i < rows.length / 18; i++) made.add(from + i); } });
    // three states a lot: its soil, no water table, more room
    await expect(failed).rejects.toMatchObject({ lost: [{ row: 3, why: "it did not end within 15 s" }, { row: 5, why: "it did not end within 15 s" }] });
    expect([...made].sort((a, b) => a - b)).toEqual([0, 1, 2, 4, 6, 7, 8]);
    await pool.close();
    await ended(hand);
    await server.stop();
  });

  test("lets in by password and TLS of the URL, tells no password, and counts workers of another build apart", async () => {
    const key = join(folder, "key.pem");
    const certificate = join(folder, "certificate.pem");
    execFileSync("openssl", [
      "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-keyout", key, "-out", certificate, "-days", "2", "-subj", "/CN=localhost",
      "-addext", "subjectAltName=DNS:localhost",
    ], { stdio: "ignore" });
    const tls = await freePort();
    const server = await redisServer(["--tls-port", String(tls), "--tls-cert-file", certificate, "--tls-key-file", key, "--tls-ca-cert-file", certificate, "--tls-auth-clients", "no"], "opensesame");
    const env = { NODE_EXTRA_CA_CERTS: certificate };
    const child = started(process.execPath, [command, "work", "--queue", `rediss://:opensesame@localhost:${tls}`, "--threads", "1"], env);
    const [said] = (await once(child.stdout!, "data")) as [Buffer];
    expect(String(said)).toContain(`working on rediss://…@localhost:${tls} with 1 thread`);
    const other = new Redis(server.url);
    await other.set("soakstep:worker:old", JSON.stringify({ build: "soakstep 0.0.9", host: "h", pid: 1, threads: 8 }));
    const pool = await queuePool(server.url);
    const { same, others } = await pool.workers();
    expect([same.map(({ threads }) => threads), others.map(({ build }) => build)]).toEqual([[1], ["soakstep 0.0.9"]]);
    await pool.close();
    other.disconnect();
    child.kill("SIGINT");
    expect(await once(child, "exit")).toEqual([0, null]);
    const wrong = spawnSync(process.execPath, [command, "work", "--queue", server.url.replace("opensesame", "guess")], { encoding: "utf8" });
    expect([wrong.status, wrong.stderr]).toEqual([1, `--queue: expected a Redis server at ${server.url.replace(":opensesame@", "…@")}, got one that does not know that user and password\n`]);
    await server.stop();
    await expect(queuePool(server.url)).rejects.toThrow("got nothing that answers there");
  });
});
