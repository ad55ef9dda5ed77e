import { readFileSync } from "node:fs";
import { failedPit } from "../../dist/dips/failedPit.js";
import { faultCase } from "../../dist/dips/faultCase.js";
import { causeOf, inseparable } from "../../dist/dips/pitCauses.js";
import { readSite } from "../../dist/index.js";
import { variedSite } from "../../dist/simulate/variedSite.js";

// Blind cases: one module makes them, the other diagnoses them. node tests/bench/faultCases.mjs [cases] [seeds, with commas] [soil]
// With a factor for the soil the cases are made in soil that is so much better than the drawings say, which the diagnosis never hears.
const [count = "100", seeds = "1,2", soil = "1"] = process.argv.slice(2);
const names = ["copperbeech-lane", "linden-row", "sedge-hollow", "hazelbank-upper-bench"];
const sites = names.map((name) => readSite(readFileSync(new URL(`../../data/${name}.json`, import.meta.url), "utf8")));

const built = sites.map((site) => variedSite(site, { conductivityFactor: Number(soil) }));

for (const seed of seeds.split(",").map(Number)) {
  const tally = { first: 0, tie: 0, wrong: 0, unexplained: 0, hidden: 0 };
  const wrong = [];
  const shares = [];
  const start = performance.now();
  for (let i = 0; i < Number(count); i++) {
    const { site: made, options, fault, severity, hidden } = faultCase(built, seed, i);
    const site = sites[built.indexOf(made)];
    const { causes, alike, explained } = failedPit(site, options);
    const truth = causeOf(fault);
    const leader = causes[0].cause;
    const tied = alike.some((pair) => pair.causes.includes(truth) && pair.causes.includes(leader)) && inseparable(truth, leader) !== null;
    const verdict = leader === truth ? "first" : tied ? "tie" : "wrong";
    tally[verdict]++;
    tally.hidden += hidden;
    if (!explained) tally.unexplained++;
    shares.push(causes.find(({ cause }) => cause === truth)?.share ?? 0);
    if (verdict !== "first") {
      const told = causes.slice(0, 4).map(({ cause, share, severity: s, misfit }) => `${cause} ${share.toFixed(3)} (severity ${s.toFixed(2)}, misfit ${misfit.toFixed(1)})`).join(", ");
      wrong.push(`  case ${i}, ${verdict}: ${fault} ${severity.toFixed(2)} on ${site.name}, ${JSON.stringify(options.storm ?? options.hose)}: ${told}`);
    }
  }
  shares.sort((a, b) => a - b);
  const seconds = (performance.now() - start) / 1000;
  console.log(`seed ${seed}: of ${count} cases the true cause is first in ${tally.first}, tied with one documented as inseparable in ${tally.tie}, wrong in ${tally.wrong}; ${tally.unexplained} best fits do not explain the dips; ${tally.hidden} draws hidden; median share of the true cause ${shares[shares.length >> 1].toFixed(3)}; ${seconds.toFixed(1)} s`);
  if (wrong.length > 0) console.log(wrong.join("\n"));
}
