// Holds this build against another, such as that of an earlier commit: `node tests/bench/against.mjs <its folder> [rounds] [part of a
// case's name]`. Each case runs in a process of its own, the two builds in turn, so that other work of the machine falls on both alike.
// Told are the least CPU time of the process in all rounds (of threads the time by the clock) and the median of the rounds' ratios.
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { cpus } from "node:os";
import { fileURLToPath, pathToFileURL } from "node:url";
import { hourlyRain } from "./rainRecord.mjs";

const own = fileURLToPath(new URL("../../", import.meta.url));
const { runs } = JSON.parse(readFileSync(new URL("../simulate/fixtures/reference-runs.json", import.meta.url), "utf8"));
const library = runs.find(({ id }) => id === "library-4in");
/** what the stepper before the kernel took for works of three bodies */
const EARLIER = 3e-6;
const STORM = { pattern: "nrcs-ii", depth: "4 in" };
const SOIL = { conductivityWithin: 3, depthWithin: 1.3 };
const ALL = { ...SOIL, porosityWithin: 0.04, levelsWithin: "6 mm" };

/** ms, or runs a second, of a build */
const CASES = {
  "library-4in at a tolerance of 3e-6 [ms]": (core) => warm(core, 3, EARLIER),
  "library-4in at the default of each [ms]": (core) => warm(core, 3),
  "6 bodies [ms]": (core) => warm(core, 6),
  "12 bodies [ms]": (core) => warm(core, 12),
  "a run of an ensemble, soil and storm [ms]": (core) => ensembleRun(core, SOIL),
  "a run of an ensemble, stone and levels too [ms]": (core) => ensembleRun(core, ALL),
  "1000 runs, soil and storm, 1 thread [ms by the clock]": (core, node) => threads(core, node, 1),
  "1000 runs, soil and storm, 2 threads [ms by the clock]": (core, node) => threads(core, node, 2),
  "ten years of hourly rain, inflow included [ms]": async (core) => {
    const { rain } = await core.readRain(hourlyRain(10));
    const site = core.readSite(library.site);
    return fastest(() => core.simulateRecord(site, rain), 3);
  },
  "ten years of hourly rain, 8 soils, 2 threads [ms by the clock]": async (core, node) => {
    const { rain } = await core.readRain(hourlyRain(10));
    return pooled(node, 2, (pool) => core.often(core.readSite(library.site), { records: [rain], soils: 8, conductivityWithin: 3 }, { pool }));
  },
};

const [folder, rounds = "5", part = "", inChild] = process.argv.slice(2);
if (inChild !== undefined) {
  const load = (file) => import(pathToFileURL(`${folder}/dist/${file}`).href);
  console.log(await CASES[inChild]({ ...await load("hydrology.js"), ...await load("index.js") }, await load("node.js")));
} else {
  console.log(`${cpus().length} x ${cpus()[0].model.trim()}, Node ${process.version}; this build | the one in ${folder} | ratio`);
  const first = (build) => Number(node(["-e", firstRun(build)]));
  for (const [each, measure] of [
    ...Object.keys(CASES).map((key) => [key, (build) => Number(node([fileURLToPath(import.meta.url), build, "1", "", key]))]),
    ["first run in a new process, load included [ms]", first],
  ].filter(([each]) => each.includes(part))) {
    const pairs = Array.from({ length: Number(rounds) }, () => [own, folder].map(measure));
    const [ours, theirs] = [0, 1].map((i) => Math.min(...pairs.map((pair) => pair[i])));
    const ratio = pairs.map(([a, b]) => a / b).sort((a, b) => a - b)[pairs.length >> 1];
    console.log(`${each}: ${ours.toPrecision(3)} | ${theirs.toPrecision(3)} | ${ratio.toFixed(2)}`);
  }
}

function node(args) {
  return execFileSync(process.execPath, args, { cwd: own, encoding: "utf8", stdio: ["ignore", "pipe", "inherit"] });
}

/** ms of CPU of the main thread that a task takes, the least of some tries. */
async function fastest(task, tries, times = 1) {
  let least = Infinity;
  for (let i = 0; i < tries; i++) {
    const { user, system } = process.cpuUsage();
    for (let n = 0; n < times; n++) await task();
    const now = process.cpuUsage();
    least = Math.min(least, (now.user + now.system - user - system) / 1000 / times);
  }
  return least;
}

/** The library's works, its trench cut to give that number of bodies. */
function warm(core, bodies, tolerance) {
  const { site: file, inflow, end_s: until } = library;
  const site = core.readSite({ ...file, overflowTrench: { ...file.overflowTrench, segments: bodies - 2 } });
  const load = core.hydrograph({ time: inflow.time_s, flow: inflow.flow_m3s });
  return fastest(() => core.simulate(site, load, { until, ...(tolerance === undefined ? {} : { tolerance }) }), 12, 100);
}

function ensembleRun(core, doubts) {
  const site = core.readSite(library.site);
  const options = { runs: 300, seed: 1, storm: STORM, until: "72 h", ...doubts };
  return fastest(() => core.ensemble(site, options), 4).then((ms) => ms / options.runs);
}

function threads(core, node, count) {
  const options = { runs: 1000, seed: 1, storm: STORM, until: "72 h", ...SOIL };
  return pooled(node, count, (pool) => core.ensemble(core.readSite(library.site), options, { pool }));
}

async function pooled({ threadPool }, count, task) {
  const pool = threadPool(count);
  await task(pool);
  const start = performance.now();
  await task(pool);
  const taken = performance.now() - start;
  await pool.close();
  return taken;
}

function firstRun(build) {
  return `(async () => {
    const { readSite, simulate, designStorm } = await import(${JSON.stringify(pathToFileURL(`${build}/dist/index.js`).href)});
    const site = readSite(require("node:fs").readFileSync("data/copperbeech-lane.json", "utf8"));
    simulate(site, designStorm({ pattern: "nrcs-ii", depth: "3 in" }));
    const { user, system } = process.cpuUsage();
    console.log((user + system) / 1000);
  })()`;
}
