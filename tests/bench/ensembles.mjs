import { ensemble } from "../../dist/index.js";
import { threadPool } from "../../dist/node.js";
import { round, summary } from "./summary.mjs";

const RUNS = 10_000;

/** 10 000 runs over random conductivity and storm depth: here, on one thread and on two; rows for the bench's table. */
export async function ensembles(site) {
  const options = {
    runs: RUNS, seed: 1, storm: { pattern: "nrcs-ii", depth: "4 in" }, conductivityWithin: 3, depthWithin: 1.3, until: "72 h",
  };
  await ensemble(site, { ...options, runs: 500 });
  const [here] = await timed(() => ensemble(site, options));
  const pools = [threadPool(1), threadPool(2)];
  for (const pool of pools) await ensemble(site, { ...options, runs: 1000 }, { pool });
  // in turn, so that the machine's other work falls on both alike
  const times = [[], []];
  for (let turn = 0; turn < 3; turn++) {
    for (const [i, pool] of pools.entries()) times[i].push((await timed(() => ensemble(site, options, { pool })))[0]);
  }
  for (const pool of pools) await pool.close();
  const [one, two] = times.map((each) => summary(each));
  const rate = (ms) => `${RUNS} runs, random soil and storm: ${Math.round((1000 * RUNS) / ms)} runs/s`;
  return [
    { case: `${rate(here)}, no thread of its own`, median_ms: round(here) },
    { case: `${rate(one.median_ms)}, on 1 thread`, ...one },
    { case: `${rate(two.median_ms)}, on 2 threads`, ...two, ratio: round(one.median_ms / two.median_ms) },
  ];
}

async function timed(task) {
  const start = performance.now();
  const result = await task();
  return [performance.now() - start, result];
}
