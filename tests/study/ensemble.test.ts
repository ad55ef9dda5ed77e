import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { designStorm } from "../../lib/rain/designStorm.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { variedSite } from "../../lib/simulate/variedSite.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { ensemble, ensembleRuns, type EnsembleColumns, type EnsembleOptions } from "../../lib/study/ensemble.ts";
import { expectClose } from "../closeTo.ts";

const site = readSite(readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8"));
const OPTIONS: EnsembleOptions = {
  runs: 60, seed: 42, storm: { pattern: "nrcs-ii", depth: "3 in" }, conductivityWithin: 3, depthWithin: 1.3, until: "48 h",
};

function flat(columns: EnsembleColumns): Record<string, number[]> {
  return Object.fromEntries([...Object.entries(columns), ...Object.entries(columns.peaks)]
    .filter(([, column]) => column instanceof Float64Array).map(([name, column]) => [name, Array.from(column as Float64Array)]));
}

test("runs are the same to the last bit one by one, backwards and in pieces", async () => {
  const whole = flat(await ensemble(site, OPTIONS));
  for (let run = OPTIONS.runs - 1; run >= 0; run -= 7) {
    const one = flat(ensembleRuns(site, OPTIONS, run, run + 1));
    for (const [name, [value]] of Object.entries(one)) expect(Object.is(value, whole[name]![run]), `${name} of run ${run}`).toBe(true);
  }
});

test("adding runs changes no earlier one", async () => {
  const [few, many] = [flat(await ensemble(site, OPTIONS)), flat(await ensemble(site, { ...OPTIONS, runs: 90 }))];
  for (const name of Object.keys(few)) expect(many[name]!.slice(0, OPTIONS.runs)).toEqual(few[name]);
});

test("a run is what simulate says of the same soil and storm", async () => {
  const columns = await ensemble(site, OPTIONS);
  const { time, depth } = designStorm(OPTIONS.storm);
  const total = depth.reduce((sum, each) => sum + each, 0);
  const scale = columns.stormDepth[5]! / total;
  const run = simulate(variedSite(site, { conductivityFactor: columns.conductivityFactor[5]! }), { time, depth: depth.map((each) => each * scale) }, { until: "48 h" });
  expectClose(columns.peaks["chamberBank"]![5]!, run.peaks["chamberBank"]!.level, { absolute: 1e-4, because: "runs by the thousand have a coarser tolerance" });
});

test("95 percent of conductivities lie within the factor given", async () => {
  const { conductivityFactor } = await ensemble(site, { ...OPTIONS, runs: 2000, until: "1 s" });
  const inside = conductivityFactor.filter((factor) => factor > 1 / 3 && factor < 3).length / 2000;
  expectClose(inside, 0.95, { absolute: 0.02, because: "four standard errors" });
});

test("says all that is wrong with its options", async () => {
  await expect(ensemble(site, { ...OPTIONS, runs: 1.5, seed: -1, conductivityWithin: 0.5, depht: 2 } as never)).rejects.toThrow([
    "The ensemble cannot be run:",
    "  ensemble.seed: expected a number of 0 or more and of 4294967295 or less, got -1",
    "  ensemble.conductivityWithin: expected a number of 1 or more and of 1000 or less, got 0.5",
    "  ensemble.runs: expected a whole number, got 1.5",
    "  ensemble.depht: expected no such key (known here: runs, seed, conductivityWithin, depthWithin, storm, until), got 2",
  ].join("\n"));
});
