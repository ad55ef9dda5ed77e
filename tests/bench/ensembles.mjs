import { readRain } from "../../dist/hydrology.js";
import { ensemble, often } from "../../dist/index.js";
import { threadPool } from "../../dist/node.js";
import { hourlyRain } from "./rainRecord.mjs";
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

/** What a designer waits for: every doubt at once, and ten years of hourly rain with 200 soils, on two threads. */
export async function studies(site) {
  const pool = threadPool(2);
  const options = {
    runs: RUNS, seed: 1, storm: { pattern: "nrcs-ii", depth: "4 in" }, until: "72 h",
    conductivityWithin: 3, depthWithin: 1.3, porosityWithin: 0.04, levelsWithin: "6 mm",
  };
  const [doubts] = await timed(() => ensemble(site, options, { pool }));
  const { rain } = await readRain(hourlyRain(10));
  const [years] = await timed(() => often(site, { records: [rain], soils: 200, conductivityWithin: 3 }, { pool }));
  await pool.close();
  return [
    { case: `${RUNS} runs, soil, storm, stone and levels in doubt, on 2 threads`, median_ms: round(doubts) },
    { case: "ten years of hourly rain with 200 soils, on 2 threads", median_ms: round(years) },
  ];
}

async function timed(task) {
  const start = performance.now();
  const result = await task();
  return [performance.now() - start, result];
}
