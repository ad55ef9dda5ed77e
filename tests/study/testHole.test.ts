import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { soilTest } from "../../lib/ground/test/soilTest.ts";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { expectClose, type Tolerance } from "../closeTo.ts";

const INCH = 0.0254;

/** The stepper promises levels to 0.1 mm. */
const TOLERANCE: Tolerance = { relative: 8e-4, because: "0.02 mm in an inch of fall, a fifth of the promise" };

/**
 * A test hole as a site: an open pit, square, as wide as the hole is across. Floor over perimeter is then that of the round hole
 * (D/4), and the fall of the water knows a hole by that quotient alone. The box beside it stays out of it: nothing runs in.
 */
function holeSite(diameter: number, depth: number, soil: object, conductivityFrom = "lower"): ReturnType<typeof readSite> {
  const m = (metres: number): string => `${metres} m`;
  return readSite({
    name: "a hole in the lawn",
    catchments: [{ name: "none", area: "1 m^2", runoffCoefficient: 0, timeOfConcentration: "5 min" }],
    settlingBox: { length: "0.5 m", width: "0.5 m", floor: "99 m", rim: "101 m", outlet: { diameter: "110 mm", invert: "100 m", length: "1 m" } },
    chamberBank: { floor: "10 m", length: m(diameter), width: m(diameter), ground: m(11 + depth), stone: { depth: m(0.5 + depth), porosity: 1 } },
    soil: { layers: [soil], conductivityFrom },
  });
}

/** Fills the hole from a hose in ten seconds, to a little over the depth, and lets it drain. */
function drained(site: ReturnType<typeof readSite>, diameter: number, depth: number, until: number): Run {
  const flow = (diameter * diameter * (depth + 0.05)) / 10;
  return simulate(site, { chamberBank: hydrograph({ time: [0, 0, 10, 10], flow: [0, flow, flow, 0] }) }, { until });
}

/** When the falling water passes a depth [s]. */
function passes(run: Run, depth: number): number {
  let [low, high] = [10, run.until];
  for (let halving = 0; halving < 60; halving++) {
    const middle = (low + high) / 2;
    if (run.level("chamberBank", middle) - 10 > depth) low = middle;
    else high = middle;
  }
  return low;
}

describe("a test hole run through the stepper", () => {
  test.each([
    [12, 6, 10], [6, 12, 10], [8, 6, 30], [6, 6, 120], [12, 12, 2],
  ])("%f in across with %f in of water gives back its %f minutes an inch", (diameter_in, depth_in, minutesPerInch) => {
    const [diameter, depth] = [diameter_in * INCH, depth_in * INCH];
    const test = { kind: "percolationHole", diameter: `${diameter_in} in`, waterDepth: `${depth_in} in`, minutesPerInch } as const;
    // the stepper's law is the hole's own, gravity alone
    const site = holeSite(diameter, depth, { test }, "hole");
    expect(site.soil.layers[0]!.conductivity).toBe(soilTest(test).hydraulicConductivity);
    const run = drained(site, diameter, depth, 3600 * minutesPerInch);
    const minutes = (passes(run, depth - INCH) - passes(run, depth)) / 60;
    expectClose(minutes, minutesPerInch, TOLERANCE);
  });

  test("of any size gives back any minutes an inch", () => {
    const inches = (least: number, most: number): fc.Arbitrary<number> =>
      fc.integer({ min: 4 * least, max: 4 * most }).map((quarters) => quarters / 4);
    const minutes = fc.integer({ min: 1, max: 480 });
    fc.assert(fc.property(inches(4, 18), inches(3, 24), minutes, (diameter_in, depth_in, minutesPerInch) => {
      const [diameter, depth] = [diameter_in * INCH, depth_in * INCH];
      const test = { kind: "percolationHole", diameter: `${diameter_in} in`, waterDepth: `${depth_in} in`, minutesPerInch };
      const run = drained(holeSite(diameter, depth, { test }, "hole"), diameter, depth, 3600 * minutesPerInch);
      const measured = (passes(run, depth - INCH) - passes(run, depth)) / 60;
      expectClose(measured, minutesPerInch, TOLERANCE);
    }), { seed: 81, numRuns: 40 });
  });

  test("a trial pit gives back its time from three quarters to one quarter, stone and all", () => {
    // a pit is a pit: 1.6 m by 0.6 m, 0.65 m of water in stone of porosity 0.38
    const test = { kind: "trialPit", length: "1.6 m", width: "0.6 m", waterDepth: "0.65 m", time75to25: "67 min", stonePorosity: 0.38 };
    const file = {
      name: "a trial pit",
      catchments: [{ name: "none", area: "1 m^2", runoffCoefficient: 0, timeOfConcentration: "5 min" }],
      settlingBox: { length: "0.5 m", width: "0.5 m", floor: "99 m", rim: "101 m", outlet: { diameter: "110 mm", invert: "100 m", length: "1 m" } },
      chamberBank: { floor: "10 m", length: "1.6 m", width: "0.6 m", ground: "12 m", stone: { depth: "1 m", porosity: 0.38 } },
      soil: { layers: [{ test }] },
    };
    const flow = (0.38 * 1.6 * 0.6 * 0.7) / 10;
    const hose = hydrograph({ time: [0, 0, 10, 10], flow: [0, flow, flow, 0] });
    const run = simulate(readSite(file), { chamberBank: hose }, { until: 24 * 3600 });
    expectClose((passes(run, 0.25 * 0.65) - passes(run, 0.75 * 0.65)) / 60, 67, TOLERANCE);
  });

  test("that never drained keeps its water to the last drop, and says why", () => {
    const test = { kind: "percolationHole", diameter: "6 in", waterDepth: "12 in", minutesPerInch: "never", watched: "24 h" };
    const site = holeSite(6 * INCH, 12 * INCH, { test });
    const run = drained(site, 6 * INCH, 12 * INCH, 7 * 86400);
    expect(run.level("chamberBank", run.until)).toBe(run.level("chamberBank", 86400));
    expect([run.ledger.bankSeepage, run.drainDown.half, run.drainDown.empty]).toEqual([0, null, null]);
    expect(site.notes).toContain("In 24 h the water did not fall by more than the readings can show: this hole does not drain.");
  });
});
