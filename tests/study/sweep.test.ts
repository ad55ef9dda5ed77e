import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { designStorm } from "../../lib/rain/designStorm.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { sweep } from "../../lib/study/sweep.ts";
import { sweepPlan, type SweepOptions } from "../../lib/study/sweepCases.ts";
import { expectClose } from "../closeTo.ts";

const lane = readSite(readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8"));
const rainfall = lane.studies!.rainfall as unknown as SweepOptions["rainfall"];

/**
 * A soakaway of 690 m2 of roof, r 0.40, 10 years: trench 23 m x 5 m x 0.8 m, f = 8.5e-6 m/s, base excluded. Depths M10 and inflow
 * volumes I as printed in a calculation sheet in a public planning file, 2017 (consultancy work, no standard; read).
 */
const SHEET: readonly (readonly [duration: string, depth_mm: number, inflow: number])[] = [
  ["10 min", 12.69, 8.75], ["15 min", 15.5, 10.69], ["30 min", 19.84, 13.69], ["60 min", 24.8, 17.11], ["120 min", 30.01, 20.71],
  ["240 min", 35.38, 24.41], ["360 min", 38.72, 26.72], ["600 min", 42.96, 29.64], ["1440 min", 52.86, 36.48], ["2880 min", 61.31, 42.3],
];
const MINUTES = SHEET.map(([duration]) => 60 * Number.parseInt(duration, 10));

/** The sheet's trench as our pit without chambers, high enough to hold all; its box is a short wide way in that holds next to nothing. */
const sheetSite = readSite({
  name: "Sheet", catchments: [{ name: "roof", area: "690 m^2", runoffCoefficient: 1, timeOfConcentration: "1 s" }],
  settlingBox: { diameter: "0.2 m", floor: "9.9 m", rim: "20 m", outlet: { diameter: "2 m", invert: "10 m" } },
  chamberBank: { floor: "10 m", length: "23 m", width: "5 m", ground: "14 m", stone: { depth: "3.9 m", porosity: 0.95 } },
  soil: { layers: [{ conductivity: "8.5e-6 m/s" }], floor: false, factorOfSafety: 1 },
});

describe("against a published block-storm table", () => {
  // a sheet's rain as a table of the town's, in millimetres an hour
  const rows = Object.fromEntries(SHEET.map(([duration, depth], i) => [duration, [depth / (MINUTES[i]! / 3600)]]));
  const options: SweepOptions = {
    rainfall: { unit: "mm/h", returnPeriods: ["10 year"], rows }, returnPeriods: ["10 year"], durations: SHEET.map(([duration]) => duration),
  };

  test("what runs in is the printed volume", async () => {
    const { designs } = await sweep(sheetSite, options);
    designs[0]!.rows[0]!.cells.forEach(({ answers }, i) => {
      expectClose(answers.inflow, SHEET[i]![2], { absolute: 0.011, because: "the sheet prints two decimals, or keeps hidden ones" });
    });
  });

  test("the pit rises in every duration as the filling prism's formula says, and the same duration is critical", async () => {
    // The sheet takes the sides at half the trench's depth throughout, which gives S = I - as50 f D, 22.79 m3 at 600 min (derived).
    // Water drains as deep as it stands: h(D) = Q/(f P) (1 - exp(-f P D/(n A))), the filling form in the Ontario guidance (read).
    const stored = SHEET.map(([, , inflow], i) => inflow - 22.4 * 8.5e-6 * MINUTES[i]!);
    expect(SHEET[stored.indexOf(Math.max(...stored))]![0]).toBe("600 min");
    expectClose(Math.max(...stored), 22.79, { absolute: 0.01, because: "the sheet's inflow has two decimals" });
    const [f, P, nA] = [8.5e-6, 56, 0.95 * 23 * 5];
    const depths = SHEET.map(([, depth], i) => {
      const D = MINUTES[i]!;
      return ((690 * depth) / 1000 / D / (f * P)) * (1 - Math.exp((-f * P * D) / nA));
    });
    const { designs } = await sweep(sheetSite, options);
    const { cells, critical } = designs[0]!.rows[0]!;
    cells.forEach(({ answers }, i) => {
      expectClose(answers.pitPeak - 10, depths[i]!, { relative: 0.002, because: "a box of 0.03 m2 before the pit, and the coarse tolerance of studies" });
    });
    expect(critical.pitPeak!.duration).toBe(SHEET[depths.indexOf(Math.max(...depths))]![0]);
  });
});

describe("a sweep", () => {
  const options: SweepOptions = { rainfall, returnPeriods: ["2 year", "100 year"], durations: ["15 min", "1 h", "6 h"] };

  test("has for each storm what simulate says of it", async () => {
    const { designs: [design] } = await sweep(lane, options);
    const cell = design!.rows[1]!.cells[1]!;
    const run = simulate(lane, designStorm({ pattern: "block", rainfall, returnPeriod: "100 year", duration: "1 h" }));
    const coarse = { absolute: 3e-4, because: "studies have a coarser tolerance" };
    expectClose(cell.answers.pitPeak, run.peaks["chamberBank"]!.level, coarse);
    expectClose(cell.answers.emitterVolume, run.ledger.emitter, coarse);
    expect([cell.state, cell.duration, cell.returnPeriod]).toEqual(["emitter firing", "1 h", "100 year"]);
    expectClose(cell.depth, 3.16 * 0.0254, { relative: 1e-12, because: "the table's own figure" });
  });

  test("finds the worst duration of each answer, which differ", async () => {
    const { designs: [design] } = await sweep(lane, { ...options, durations: ["15 min", "30 min", "1 h", "2 h", "6 h", "24 h"] });
    const { cells, critical } = design!.rows[1]!;
    expect(critical.emitterVolume).toEqual({ duration: "24 h", value: Math.max(...cells.map(({ answers }) => answers.emitterVolume)) });
    const fired = cells.map(({ answers }) => answers.firstFiring).filter((time) => !Number.isNaN(time));
    expect(critical.firstFiring!.value).toBe(Math.min(...fired));
    expect(critical.firstFiring!.duration).not.toBe(critical.emitterVolume!.duration);
    expect(design!.rows[0]!.critical.spilled).toBeNull();
  });

  test("of more rain never fills the pit less, and a larger design never more", async () => {
    const { designs } = await sweep(lane, { ...options, designs: [{ name: "larger", chambers: 6, trenchLength: "60 ft" }] });
    expect(designs.map(({ name }) => name)).toEqual(["as the site file has it", "larger"]);
    for (const { rows } of designs) {
      rows[0]!.cells.forEach(({ answers }, k) => expect(rows[1]!.cells[k]!.answers.pitPeak).toBeGreaterThanOrEqual(answers.pitPeak - 1e-4));
    }
    designs[0]!.rows[0]!.cells.forEach(({ answers }, k) => {
      expect(designs[1]!.rows[0]!.cells[k]!.answers.pitPeak).toBeLessThanOrEqual(answers.pitPeak + 1e-4);
    });
  });

  test("says all that is wrong with its options", () => {
    const wrong = { returnPeriods: [], durations: ["1 h"], designs: [{ chambers: 2.5, trenchLenght: "3 m" }] };
    expect(() => sweepPlan(lane, wrong as never)).toThrow([
      "The sweep cannot be made:",
      "  sweep.returnPeriods: expected a list of one or more, got an empty list",
      "  sweep.rainfall: expected the rain of the place, as designStorm takes it, got nothing",
      "  sweep.designs[0].name: expected a name, got nothing",
      "  sweep.designs[0].chambers: expected a whole number, got 2.5",
      '  sweep.designs[0].trenchLenght: expected no such key (did you mean "trenchLength"?), got "3 m"',
    ].join("\n"));
  });
});
