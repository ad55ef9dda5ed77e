import { readFileSync } from "node:fs";
import { expect, test } from "vitest";

// A thread loads a built file, so the build is what is tested.
const { ensemble, readSite } = await import("../../dist/index.js");
const { threadPool } = await import("../../dist/node.js");

const site = readSite(readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8"));
const options = { runs: 450, seed: 9, storm: { pattern: "block", depth: "34 mm", duration: "1 h" }, conductivityWithin: 3, until: "24 h" } as const;

test("an ensemble is the same to the last bit on one thread, on three and without any", async () => {
  const alone = await ensemble(site, options);
  for (const threads of [1, 3]) {
    const pool = threadPool(threads);
    expect(await ensemble(site, options, pool)).toEqual(alone);
    await pool.close();
  }
});

test("an error of a run reaches the caller, and the pool goes on", async () => {
  const pool = threadPool(1);
  await expect(ensemble(site, { ...options, until: "soon" }, pool)).rejects.toThrow(/until/);
  expect((await ensemble(site, { ...options, runs: 3 }, pool)).empty.length).toBe(3);
  await pool.close();
});
