import { readFileSync } from "node:fs";
import { expect, test, vi } from "vitest";

// long on a machine that has other work
vi.setConfig({ testTimeout: 60_000 });

// A thread loads a built file, so the build is what is tested.
const { ensemble, readSite } = await import("../../dist/index.js");
const { threadPool } = await import("../../dist/node.js");

const site = readSite(readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8"));
const options = { runs: 250, seed: 9, storm: { pattern: "block", depth: "34 mm", duration: "1 h" }, conductivityWithin: 3, until: "24 h" } as const;

test("an ensemble is the same to the last bit on one thread, on three and without any", async () => {
  const alone = await ensemble(site, options);
  for (const threads of [1, 3]) {
    const pool = threadPool(threads);
    expect(await ensemble(site, options, { pool })).toEqual(alone);
    await pool.close();
  }
});

test("a thread that is killed is replaced, and its runs are made again", async () => {
  const alone = await ensemble(site, { ...options, runs: 500 });
  const pool = threadPool(2);
  let kills = 0;
  const table = await ensemble(site, { ...options, runs: 500 }, {
    pool,
    onRows: () => {
      if (kills < 3) void pool.workers[kills++ % pool.workers.length]!.terminate();
    },
  });
  expect(kills).toBe(3);
  expect(table).toEqual(alone);
  await pool.close();
});

test("a study that is stopped finishes what is under way, tells it, and begins nothing more", async () => {
  const pool = threadPool(2);
  const stop = new AbortController();
  const told: number[] = [];
  const study = ensemble(site, { ...options, runs: 4000 }, {
    pool,
    signal: stop.signal,
    onRows: ({ from }) => {
      told.push(from);
      if (told.length === 3) stop.abort(new Error("enough"));
    },
  });
  await expect(study).rejects.toThrow("enough");
  expect(told.length).toBeGreaterThanOrEqual(3);
  expect(told.length).toBeLessThanOrEqual(3 + 4);
  await pool.close();
});

test("a fault of a study reaches the caller, and the pool goes on", async () => {
  const pool = threadPool(1);
  await expect(ensemble(site, { ...options, until: "soon" }, { pool })).rejects.toThrow(/until/);
  expect((await ensemble(site, { ...options, runs: 3 }, { pool })).count).toBe(3);
  await pool.close();
  await expect(ensemble(site, options, { pool })).rejects.toThrow("the pool is closed");
});
