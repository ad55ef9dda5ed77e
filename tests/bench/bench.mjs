// Measures what the README promises and prints one table; also written to out/bench.json. Times on a shared machine wander:
// compare ratios of one run of this script, never figures of two machines.
import { execFileSync } from "node:child_process";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { cpus } from "node:os";
import { fileURLToPath } from "node:url";
import { hydrograph, readSite, simulate } from "../../dist/index.js";

const root = fileURLToPath(new URL("../../", import.meta.url));
const cases = JSON.parse(readFileSync(new URL("../simulate/fixtures/reference-runs.json", import.meta.url), "utf8"));
const rows = [];

for (const item of Array.isArray(cases) ? cases : cases.runs) {
  const site = readSite(item.site);
  const load = hydrograph({ time: item.inflow.time_s, flow: item.inflow.flow_m3s });
  const once = () => simulate(site, load, { until: item.end_s });
  for (let i = 0; i < 300; i++) once();
  const run = once();
  const exact = simulate(site, load, { until: item.end_s, tolerance: 1e-9 });
  rows.push({ case: `${item.id}, warm`, ...timed(once, 201), ...run.work, error_mm: worstLevel(run, exact, item.result.levels.time_s) });
}

const text = readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8");
rows.push({ case: "read and check a site file", ...timed(() => readSite(text), 201) });
const firstRun = `
  const t = performance.now();
  const { readSite, simulate, designStorm } = await import("./dist/index.js");
  const site = readSite(require("node:fs").readFileSync("data/copperbeech-lane.json", "utf8"));
  simulate(site, designStorm({ pattern: "nrcs-ii", depth: "3 in" }));
  console.log(performance.now() - t);`;
rows.push({ case: "first run in a new process, load of the core included", ...processes(["-e", `(async () => {${firstRun}})()`], true, 11) });
rows.push({ case: "npm start from cold: all demo sites, tables and reports", ...processes(["dist/command/main.js"], false, 5) });

mkdirSync(`${root}out`, { recursive: true });
const machine = `${cpus().length} x ${cpus()[0].model.trim()}, Node ${process.version}`;
writeFileSync(`${root}out/bench.json`, `${JSON.stringify({ machine, rows }, null, 2)}\n`);
console.log(machine);
console.table(rows.map(({ case: name, median_ms, spread_ms, steps, rejections, error_mm }) =>
  ({ case: name, "median ms": median_ms, "spread ms": spread_ms, steps, rejections, "error mm": error_mm })));

/** Largest difference of a level at the given times, in millimetres. */
function worstLevel(run, exact, times) {
  let worst = 0;
  for (const body of run.bodies) {
    const [a, b] = [run.levels(body, times), exact.levels(body, times)];
    a.forEach((level, i) => { worst = Math.max(worst, Math.abs(level - b[i])); });
  }
  return Number((worst * 1000).toFixed(4));
}

function timed(task, count) {
  const times = Array.from({ length: count }, () => {
    const start = performance.now();
    task();
    return performance.now() - start;
  });
  return summary(times);
}

/** Whole processes; with `printed`, the time the process itself prints. */
function processes(args, printed, count) {
  const times = Array.from({ length: count }, () => {
    const start = performance.now();
    const out = execFileSync(process.execPath, args, { cwd: root, encoding: "utf8", stdio: ["ignore", "pipe", "ignore"] });
    return printed ? Number(out.trim()) : performance.now() - start;
  });
  return summary(times);
}

/** Median and the spread of the middle half. */
function summary(times) {
  const sorted = [...times].sort((a, b) => a - b);
  const at = (share) => sorted[Math.round(share * (sorted.length - 1))];
  return { median_ms: Number(at(0.5).toFixed(3)), spread_ms: Number((at(0.75) - at(0.25)).toFixed(3)) };
}
