import { readFileSync } from "node:fs";
import { failedPit } from "../../dist/dips/failedPit.js";
import { faultCase } from "../../dist/dips/faultCase.js";
import { causeOf } from "../../dist/dips/pitCauses.js";
import { readSite } from "../../dist/index.js";

// Blind cases: one module makes them, the other diagnoses them, in soil from 0.7 to 3 times the design's that the diagnosis never hears of.
// What has been found so far is printed every 50 cases, so that a run that is stopped has told something.
//   node tests/bench/faultCases.mjs [cases 600] [seeds, with commas 1] [first case 0]       half an hour
const [count, seeds, first] = ["600", "1", "0"].map((missing, i) => process.argv[2 + i] ?? missing);
const names = ["copperbeech-lane", "hazelbank-lower-bench", "hazelbank-upper-bench", "juniper-yard", "linden-row", "sedge-hollow"];
const sites = names.map((name) => readSite(readFileSync(new URL(`../../data/${name}.json`, import.meta.url), "utf8")));

for (const seed of seeds.split(",").map(Number)) {
  // tied: two causes at most, their ratio under 2; something else counts as wrong, and sure is above 90 %
  const tally = { first: 0, tied: 0, wrong: 0, sureAndWrong: 0, unexplained: 0, hidden: 0 };
  let brier = 0;
  const start = performance.now();
  for (let i = Number(first); i < Number(first) + Number(count); i++) {
    const { site, options, fault, severity, soil, hidden } = faultCase(sites, seed, i);
    const { causes, explained } = failedPit(site, options);
    const truth = causeOf(fault);
    const [leader, second] = causes;
    const verdict = leader.cause === truth ? "first"
      : leader.cause !== "somethingElse" && second.cause === truth && leader.share < 2 * second.share ? "tied" : "wrong";
    tally[verdict]++;
    tally.hidden += hidden;
    if (!explained) tally.unexplained++;
    if (verdict === "wrong" && leader.share > 0.9) tally.sureAndWrong++;
    brier += causes.reduce((sum, { cause, share }) => sum + (share - (cause === truth ? 1 : 0)) ** 2, causes.some(({ cause }) => cause === truth) ? 0 : 1);
    if (verdict !== "first") {
      const told = causes.slice(0, 4).map(({ cause, share, severity: s, misfit }) => `${cause} ${share.toFixed(3)} (severity ${s.toFixed(2)}, misfit ${misfit.toFixed(1)})`).join(", ");
      console.log(`  case ${i}, ${verdict}: ${fault} ${severity.toFixed(2)} in soil of ${soil.toFixed(2)} on ${site.name}, ${JSON.stringify(options.storm ?? options.hose)}: ${told}`);
    }
    const made = i + 1 - Number(first);
    if (made % 50 !== 0 && made !== Number(count)) continue;
    const seconds = (performance.now() - start) / 1000;
    const share = (many) => `${many} (${((100 * many) / made).toFixed(1)} %)`;
    console.log(`seed ${seed}, ${made} cases from ${first} on: the true cause first in ${tally.first}, tied in ${tally.tied}: right or tied ${share(tally.first + tally.tied)}; wrong above 90 % sure ${share(tally.sureAndWrong)}; Brier score ${(brier / made).toFixed(3)}; ${tally.unexplained} best fits do not explain the dips; ${tally.hidden} draws hidden; ${seconds.toFixed(0)} s`);
  }
}
