// Measures what notebooks/promises tells and prints one table; also written to out/bench.json. Times on a shared machine wander:
// compare ratios of one run of this script, never figures of two machines. Each group runs in a process of its own: the
// engine fits its code to the sites it has seen, and one that has run several is about a fifth slower.
import { execFileSync } from "node:child_process";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { cpus } from "node:os";
import { fileURLToPath } from "node:url";
import { designStorm, hydrograph, readSite, simulate } from "../../dist/index.js";
import { ensembles, studies } from "./ensembles.mjs";
import { rainRecord } from "./rainRecord.mjs";
import { records } from "./records.mjs";
import { round, summary } from "./summary.mjs";

const root = fileURLToPath(new URL("../../", import.meta.url));
const { runs: references } = JSON.parse(readFileSync(new URL("../simulate/fixtures/reference-runs.json", import.meta.url), "utf8"));
const library = references.find(({ id }) => id === "library-4in");

/** Rows of the table by group. */
const groups = {
  ...Object.fromEntries(references.map((reference) => [reference.id, () => [warmRun(`${reference.id}, warm`, reference)]])),
  tolerances: () => [1e-5, 1e-6, 1e-7, 1e-8].map((tolerance) => warmRun(`library-4in at a tolerance of ${tolerance}`, library, { tolerance })),
  ...Object.fromEntries([2, 3, 4, 6, 8, 12].map((bodies) => (
    [`bodies-${bodies}`, () => [warmRun(`library-4in, its trench cut so that there are ${bodies} bodies`, withBodies(library, bodies))]]
  ))),
  sites: () => {
    const text = readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8");
    const block = designStorm({ pattern: "block", depth: "1 in", duration: "1 h" });
    return [
      { case: "read and check a site file", ...timed(() => readSite(text), 201) },
      { case: "read, check and build a site, and run its first second", ...timed(() => simulate(readSite(text), block, { until: 1 }), 201) },
    ];
  },
  cold: () => [
    { case: "first run in a new process, load of the core included", ...processes(["-e", `(async () => {${FIRST_RUN}})()`], true, 11) },
    { case: "npm start from cold: all demo sites, tables and reports", ...processes(["dist/command/main.js"], false, 5) },
  ],
  ensembles: () => ensembles(readSite(library.site)),
  studies: () => studies(readSite(library.site)),
  records: () => records(readSite(library.site)),
  rain: async () => {
    const { readSeconds, inflowSeconds, heapGrowthMB } = await rainRecord();
    const median_ms = round(1000 * (readSeconds + inflowSeconds));
    return [{ case: "50 years of hourly rain as text: read and turned into inflow", median_ms, heap_MB: round(heapGrowthMB) }];
  },
};

const FIRST_RUN = `
  const t = performance.now();
  const { readSite, simulate, designStorm } = await import("./dist/index.js");
  const site = readSite(require("node:fs").readFileSync("data/copperbeech-lane.json", "utf8"));
  simulate(site, designStorm({ pattern: "nrcs-ii", depth: "3 in" }));
  console.log(performance.now() - t);`;

const [only] = process.argv.slice(2);
if (only !== undefined) {
  console.log(JSON.stringify(await groups[only]()));
} else {
  const rows = Object.keys(groups).flatMap((group) => JSON.parse(node([fileURLToPath(import.meta.url), group])));
  const machine = `${cpus().length} x ${cpus()[0].model.trim()}, Node ${process.version}`;
  mkdirSync(`${root}out`, { recursive: true });
  writeFileSync(`${root}out/bench.json`, `${JSON.stringify({ machine, rows }, null, 2)}\n`);
  console.log(machine);
  console.table(rows.map(({ case: name, median_ms, spread_ms, steps, rejections, error_mm, heap_MB, ratio }) =>
    ({ case: name, "median ms": median_ms, "spread ms": spread_ms, steps, rejections, "error mm": error_mm, "heap MB": heap_MB, ratio })));
}

function node(args) {
  return execFileSync(process.execPath, args, { cwd: root, encoding: "utf8", stdio: ["ignore", "pipe", "ignore"] });
}

/** A reference case run warm, with its error against a run of our own at 1e-9. */
function warmRun(name, { site: file, inflow, end_s: until, result }, options = {}) {
  const site = readSite(file);
  const load = hydrograph({ time: inflow.time_s, flow: inflow.flow_m3s });
  const once = () => simulate(site, load, { until, ...options });
  for (let i = 0; i < 1000; i++) once();
  const times = timed(once, 501);
  const run = once();
  const exact = simulate(site, load, { until, tolerance: 1e-9 });
  return { case: name, ...times, ...run.work, error_mm: worstLevel(run, exact, result.levels.time_s) };
}

/** The case with its overflow trench left out or cut into segments: a box, a bank and a number of lengths of trench. */
function withBodies({ site, ...rest }, bodies) {
  const { overflowTrench, emitter, ...plain } = site;
  return { ...rest, site: bodies === 2 ? plain : { ...plain, emitter, overflowTrench: { ...overflowTrench, segments: bodies - 2 } } };
}

/** Largest difference of a level at the given times, in millimetres. */
function worstLevel(run, exact, times) {
  let worst = 0;
  for (const { name: body } of run.bodies) {
    const [a, b] = [run.levels(body, times), exact.levels(body, times)];
    a.forEach((level, i) => { worst = Math.max(worst, Math.abs(level - b[i])); });
  }
  return Number((worst * 1000).toFixed(4));
}

function timed(task, count) {
  return summary(Array.from({ length: count }, () => {
    const start = performance.now();
    task();
    return performance.now() - start;
  }));
}

/** Whole processes; with `printed`, the time the process itself prints. */
function processes(args, printed, count) {
  return summary(Array.from({ length: count }, () => {
    const start = performance.now();
    const out = node(args);
    return printed ? Number(out.trim()) : performance.now() - start;
  }));
}
