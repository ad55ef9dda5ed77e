// Synthetic fill tests by the thousand: how often the 95 percent bands hold what was drawn, and how often the cause is found.
//   node tests/bench/fillTrials.mjs [trials 1000] [seed 1] [first 0]       10 to 15 minutes
import { readFileSync } from "node:fs";
import { fileURLToPath, pathToFileURL } from "node:url";
import { fillTrial } from "./fillTrial.mjs";

const root = fileURLToPath(new URL("../../", import.meta.url));
const dist = pathToFileURL(process.env.DIST ?? `${root}dist/`).href;
const from = (path) => import(new URL(path, dist).href);
const [{ readSite }, draw, model, { fitFill }, { solveFill, widest }, { chooseFill }, assemble, { withRoom }, room] = await Promise.all([
  "index.js", "numerics/draw.js", "dips/fillModel.js", "dips/fillFit.js", "dips/fillSolution.js", "dips/misread.js",
  "simulate/assemble.js", "dips/fillTest.js", "dips/roomDoubt.js",
].map(from));
const lib = { ...draw, ...model, ...assemble, ...room };
const demos = ["copperbeech-lane", "hazelbank-lower-bench", "hazelbank-upper-bench", "juniper-yard", "linden-row", "sedge-hollow"];
const sites = demos.map((name) => readSite(readFileSync(`${root}data/${name}.json`, "utf8")));

const [trials, seed, first] = [1000, 1, 0].map((missing, i) => Number(process.argv[2 + i] ?? missing));
const tally = new Map();
function count(name, holds) {
  const [held, of] = tally.get(name) ?? [0, 0];
  tally.set(name, [held + Number(holds), of + 1]);
}
function report(made) {
  console.log(`${made} trials of seed ${seed} from ${first} on, ${left} left out for too few dips, ${Math.round((performance.now() - began) / made)} ms each`);
  console.table([...tally].sort(([a], [b]) => a.localeCompare(b)).map(([what, [held, of]]) => ({ what, held, of, percent: Math.round((1000 * held) / of) / 10 })));
}
const began = performance.now();
let left = 0;
for (let i = first; i < first + trials; i++) {
  // a run that is stopped has told something
  if (i > first && (i - first) % 100 === 0) report(i - first);
  const trial = fillTrial(lib, sites, seed, i);
  if (trial.dips.time.length < 8) {
    left++;
    continue;
  }
  const causes = trial.cause === "none" ? [] : [trial.cause];
  const dipError = i % 8 >= 4 ? trial.deviation : null;
  const soil = fitFill(trial, [], 0.003);
  const solved = solveFill(trial, causes.length === 0 ? soil : fitFill(trial, causes, 0.003, soil), dipError);
  const { bands } = solved;
  const numbers = withRoom(trial, trial.names.map((name, j) => ({ name, value: solved.fit.fit.values[j], band: bands[j] })).map((each) => (
    each.name === "hose" ? { ...each, value: Math.exp(each.value) } : each)));
  trial.names.forEach((name, j) => {
    // what went in stands for the room as well
    if (j === 0) return;
    const { low, high } = numbers.find((each) => each.name === name).band;
    const holds = (low ?? -Infinity) <= trial.truth[j] && trial.truth[j] <= (high ?? Infinity);
    count(`band: ${trial.cause}: ${name}`, holds);
    count(`band: all: ${name}`, holds);
    count("band: all", holds);
    count(`band: all, dips' error ${dipError === null ? "not " : ""}given`, holds);
  });
  // to find the cause costs three times as much, and a quarter of the trials tells
  if (Math.floor(i / 4) % 4 !== 0) continue;
  const { chosen, rivals } = chooseFill(trial, ["floor", "waterTable", "leak"], dipError);
  const found = chosen.model.causes.join() === causes.join();
  count(`cause found: ${trial.cause}`, found);
  const named = rivals.find((rival) => rival.model.causes.join() === causes.join());
  count("cause found, or named beside another", found || named !== undefined);
  // without the cause the soil is another unknown: that of floor and sides as one
  if (found || named !== undefined) {
    const all = [chosen, ...rivals].map((fit) => solveFill(trial, fit, dipError));
    const { low, high } = withRoom(trial, [{ name: "soil", value: all[0].fit.fit.values[all[0].fit.model.names.indexOf("soil")], band: widest(all, "soil") }]).find(({ name }) => name === "soil").band;
    count("soil's band after the choice, all causes that may be counted", (low ?? -Infinity) <= trial.truth[1] && trial.truth[1] <= (high ?? Infinity));
  }
}
report(trials);
