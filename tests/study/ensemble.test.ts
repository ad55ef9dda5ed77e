import { readFileSync } from "node:fs";
import { describe, expect, test, vi } from "vitest";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { variedSite } from "../../lib/simulate/variedSite.ts";
import { changedSite } from "../../lib/site/changedSite.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Pipe } from "../../lib/site/site.ts";
import { caseRows } from "../../lib/study/cases.ts";
import { ensemble } from "../../lib/study/ensemble.ts";
import { ensembleCases, type EnsembleOptions } from "../../lib/study/ensembleCases.ts";
import { quantiles, shareOf, stoppedRuns } from "../../lib/study/quantiles.ts";
import { columnOf, type StudyTable } from "../../lib/study/runStudy.ts";
import { expectClose } from "../closeTo.ts";

// long on a machine that has other work
vi.setConfig({ testTimeout: 60_000 });

const site = readSite(readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8"));
const OPTIONS: EnsembleOptions = {
  runs: 30, seed: 42, storm: { pattern: "nrcs-ii", depth: "3 in" }, conductivityWithin: 3, depthWithin: 1.3, until: "48 h",
};
const EVERYTHING: EnsembleOptions = { ...OPTIONS, groundwaterWithin: "1 ft", porosityWithin: 0.05, levelsWithin: "6 mm" };

function row({ columns, values }: StudyTable, i: number): Record<string, number> {
  return Object.fromEntries(columns.map(({ name }, c) => [name, values[i * columns.length + c]!]));
}

test("runs are the same to the last bit one by one, backwards and in pieces", async () => {
  const whole = await ensemble(site, EVERYTHING);
  const cases = ensembleCases({ kind: "ensemble", site, options: EVERYTHING });
  const width = whole.columns.length;
  for (let run = OPTIONS.runs - 1; run >= 0; run -= 7) {
    expect(caseRows(cases, run, run + 1)).toEqual(whole.values.slice(run * width, (run + 1) * width));
  }
});

test("adding runs changes no earlier one", async () => {
  const [few, many] = [await ensemble(site, EVERYTHING), await ensemble(site, { ...EVERYTHING, runs: 45 })];
  expect(many.values.slice(0, few.values.length)).toEqual(few.values);
});

/** The soil as it was given: a factor of safety is a rule of design, and no case is divided by it. */
const measured = changedSite(site, { soil: { ...site.soil, factorOfSafety: 1 } });

test("a run is what simulate says of the same soil, levels, stone and storm", async () => {
  const drawn = row(await ensemble(site, EVERYTHING), 5);
  const { time, depth } = designStorm({ pattern: "nrcs-ii", depth: "3 in" });
  const [bank, trench, box, emitter] = [site.chamberBank, site.overflowTrench!, site.settlingBoxes[0]!, site.emitter!];
  const moved = (pipe: Pipe, by: number): Pipe => ({ ...pipe, invert: pipe.invert + by, outletInvert: pipe.outletInvert + by });
  const stone = <S extends { porosity: number }>(of: S): S => ({ ...of, porosity: of.porosity + drawn["porosityShift"]! });
  const same = changedSite(measured, {
    settlingBoxes: [{ ...box, outlet: moved(box.outlet, drawn["boxOutletShift"]!) }],
    chamberBank: { ...bank, stone: stone(bank.stone) },
    overflowTrench: { ...trench, stone: stone(trench.stone), inlet: moved(trench.inlet, drawn["inletShift"]!) },
    emitter: { ...emitter, crest: emitter.crest + drawn["emitterShift"]! },
  });
  const ground = variedSite(same, { conductivityFactor: drawn["conductivityFactor"]!, groundwaterShift: drawn["groundwaterShift"]! });
  const run = simulate(ground, { time, depth: depth.map((each) => each * drawn["stormFactor"]!) }, { until: "48 h" });
  const coarse = { absolute: 1e-4, because: "runs by the thousand have a coarser tolerance" };
  expectClose(drawn["pitPeak"]!, run.peaks["chamberBank"]!.level, coarse);
  expectClose(drawn["boxHeadroom"]!, box.rim - run.peaks["settlingBox"]!.level, coarse);
  expectClose(drawn["emitterVolume"]!, run.ledger.emitter, coarse);
  expect(drawn["emitterShift"]).not.toBe(drawn["inletShift"]);
});

describe("95 of 100 draws lie within what was given", () => {
  const drawn = ensemble(site, { ...EVERYTHING, runs: 400, until: "1 s" });
  test.each([
    ["conductivityFactor", (factor: number) => factor > 1 / 3 && factor < 3],
    ["stormFactor", (factor: number) => factor > 1 / 1.3 && factor < 1.3],
    ["groundwaterShift", (shift: number) => Math.abs(shift) < 0.3048],
    ["porosityShift", (shift: number) => Math.abs(shift) < 0.05],
    ["emitterShift", (shift: number) => Math.abs(shift) < 0.006],
  ] as const)("%s", async (name, inside) => {
    expectClose(shareOf(await drawn, name, inside).share, 0.95, { absolute: 0.006, because: "Sobol's draws miss a share by little more than a run or two" });
  });
});

test("quantiles of a monotone answer are the answer at the quantiles of what is drawn", async () => {
  // with only the soil in doubt the seeped volume rises with the conductivity, so its quantile is a run at the conductivity's own
  const only = { ...OPTIONS, runs: 200 };
  delete (only as { depthWithin?: number }).depthWithin;
  const table = await ensemble(site, only);
  const storm = designStorm({ pattern: "nrcs-ii", depth: "3 in" });
  for (const [share, deviate] of [[0.05, -1.6448536269514722], [0.5, 0], [0.95, 1.6448536269514722]] as const) {
    const run = simulate(variedSite(measured, { conductivityFactor: Math.exp((Math.log(3) / 1.959963984540054) * deviate) }), storm, { until: "48 h" });
    expectClose(quantiles(table, "seeped", [share])[0]!, run.ledger.bankSeepage + run.ledger.trenchSeepage + run.ledger.weep, {
      relative: ((Math.log(3) / 1.959963984540054) * Math.sqrt(2 * Math.PI) * Math.exp(deviate ** 2 / 2)) / 200,
      because: "one of 200 even draws is so much of the soil's conductivity there, and the volume goes with less than its first power",
    });
  }
});

test("more doubt never narrows the band of a monotone answer", async () => {
  let before = 0;
  for (const conductivityWithin of [1.2, 2, 3, 5]) {
    const [low, high] = quantiles(await ensemble(site, { ...OPTIONS, runs: 50, depthWithin: 1, conductivityWithin }), "seeped", [0.05, 0.95]);
    expect(high! - low!).toBeGreaterThanOrEqual(before);
    before = high! - low!;
  }
});

test("an answer that some runs do not have has no quantile among them", async () => {
  const table = await ensemble(site, { ...OPTIONS, runs: 40, until: "30 h", conductivityWithin: 5 });
  const empty = columnOf(table, "empty");
  const without = empty.filter(Number.isNaN).length;
  expect(without).toBeGreaterThan(0);
  expect(without).toBeLessThan(40);
  const [first, last] = quantiles(table, "empty", [0, 1]);
  expect(first).toBe(Math.min(...empty.filter((time) => !Number.isNaN(time))));
  expect(last).toBeNull();
  expect(stoppedRuns(table)).toBe(0);
});

test("says all that is wrong with its options", () => {
  const wrong = {
    ...OPTIONS, runs: 1.5, seed: -1, conductivityWithin: 0.5, porosityWithin: 0.5, levelsWithin: "2 ft", depht: 2,
  };
  expect(() => ensembleCases({ kind: "ensemble", site, options: wrong })).toThrow([
    "The ensemble cannot be run:",
    "  ensemble.seed: expected a number of 0 or more and of 4294967295 or less, got -1",
    "  ensemble.runs: expected a whole number, got 1.5",
    "  ensemble.conductivityWithin: expected a number of 1 or more and of 1000 or less, got 0.5",
    "  ensemble.porosityWithin: expected a number of 0 or more and of 0.12 or less, got 0.5",
    "  ensemble.levelsWithin: expected a length below 64 mm: beyond it a crest could come to lie below the floor of its body, got \"2 ft\"",
    "  ensemble.depht: expected no such key (known here: runs, seed, moments, conductivityWithin, depthWithin, soils, "
      + "groundwaterWithin, porosityWithin, levelsWithin, storm, until), got 2",
  ].join("\n"));
});

test("has no doubt of a water table that is nowhere", () => {
  const dry = changedSite(site, { groundwater: { ...site.groundwater, level: null } });
  expect(() => ensembleCases({ kind: "ensemble", site: dry, options: { ...OPTIONS, groundwaterWithin: "1 ft" } })).toThrow(
    "ensemble.groundwaterWithin: expected a site whose groundwater has a level, or no such key, got a site with groundwater far below",
  );
});

test("a box's name changes no number, though it begins as a trench's does", async () => {
  const file = JSON.parse(readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8")) as {
    settlingBox: object; catchments: object[];
  };
  const named = (name: string): string => JSON.stringify({
    ...file, settlingBox: [{ name, ...file.settlingBox }],
    catchments: file.catchments.map((catchment) => ({ ...catchment, drainsTo: name })),
  });
  const few = { ...OPTIONS, runs: 4 };
  const [odd, plain] = [await ensemble(readSite(named("overflowTrenchside box")), few), await ensemble(readSite(named("yard box")), few)];
  expect(columnOf(odd, "trenchPeak").every((level) => level > 0)).toBe(true);
  expect(odd.values).toEqual(plain.values);
});

describe("the factor of safety", () => {
  test("moves no case: factors 1, 2 and 3 give the same rows to the last bit", async () => {
    const of = (factorOfSafety: number): Promise<StudyTable> => ensemble(changedSite(site, { soil: { ...site.soil, factorOfSafety } }),
      { ...OPTIONS, runs: 12 });
    const [one, two, three] = [await of(1), await of(2), await of(3)];
    expect(two.values).toEqual(one.values);
    expect(three.values).toEqual(one.values);
  });
});

describe("the soil of pit and trench", () => {
  test("drawn together is one soil; apart the trench has its own, and all other draws stay", async () => {
    const [together, apart] = [await ensemble(site, EVERYTHING), await ensemble(site, { ...EVERYTHING, soils: "apart" })];
    expect(columnOf(together, "trenchSoilFactor")).toEqual(columnOf(together, "conductivityFactor"));
    for (const name of ["conductivityFactor", "stormFactor", "groundwaterShift", "emitterShift", "inletShift"]) expect(columnOf(apart, name)).toEqual(columnOf(together, name));
    expect(columnOf(apart, "trenchSoilFactor")).not.toEqual(columnOf(apart, "conductivityFactor"));
    // what the trench's own soil does is what simulate says of a site whose trench lies in it
    const drawn = row(apart, 3);
    const rain = designStorm({ pattern: "nrcs-ii", depth: "3 in" });
    const its = variedSite(measured, { conductivityFactor: 1, trenchFactor: drawn["trenchSoilFactor"]! });
    const alone = await ensemble(site, { ...OPTIONS, soils: "apart", depthWithin: 1, runs: 4 });
    const pitOnly = variedSite(measured, { conductivityFactor: row(alone, 3)["conductivityFactor"]!, trenchFactor: row(alone, 3)["trenchSoilFactor"]! });
    expectClose(row(alone, 3)["seeped"]!, simulate(pitOnly, rain, { until: "48 h" }).seeped, { absolute: 1e-3, because: "runs by the thousand have a coarser tolerance" });
    const [asGiven, other] = [simulate(measured, rain, { until: "48 h" }), simulate(its, rain, { until: "48 h" })];
    const faster = drawn["trenchSoilFactor"]! > 1;
    expect(other.ledger.trenchSeepage > asGiven.ledger.trenchSeepage).toBe(faster);
  });
});
