import { describe, expect, test } from "vitest";
import type { Run } from "../../lib/simulate/run.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { expectAllClose, expectClose } from "../closeTo.ts";
import { referenceRuns, type ReferenceRun } from "./referenceRuns.ts";

// The fixtures hold runs made by an independent solver (implicit Radau, relative tolerance 1e-9) from the same equations:
// believed because nothing of it is shared with this library but the text of the equations.

const LEVELS = { absolute: 1e-4, because: "what the library promises of levels" };
const PEAKS = { absolute: 5e-5, because: "the reference's peaks are the highest of its own steps, not of its dense output" };
const SWITCHES = { absolute: 0.5, because: "what the library promises of switch times" };
const VOLUMES = { absolute: 1e-5, because: "what the library promises of ledger entries" };

const RISE = { absolute: 1e-3, because: "twenty exponentials stand for the mound's response" };
const BESIDE_LEDGER = { absolute: 2e-4, because: "information beside the ledger: a step in which seepage turns its sign is not split" };

for (const file of ["reference-runs.json", "reference-runs-options.json"]) {
  describe.each(referenceRuns(file))(`${file}: $id`, (reference) => {
    const run = lazily(() => simulate(reference.site, reference.load, { until: reference.until }));

    test("has the reference's levels", () => {
      const bodies = Object.keys(reference.levels);
      expect(bodies.length).toBeGreaterThan(1);
      for (const body of bodies) expectAllClose(sampled(run(), reference, body), LEVELS);
    });

    test("has the reference's peaks", () => {
      expectAllClose(Object.entries(reference.peaks).map(([body, expected]) => (
        { what: `peak of ${body} [m]`, value: run().peaks[body]!.level, expected }
      )), PEAKS);
    });

    test.runIf(reference.rise !== null)("has the reference's rise of the water table", () => {
      for (const place of ["centre", "offset"] as const) {
        expectAllClose(reference.times.map((time, i) => (
          { what: `rise at the ${place} at ${time} s [m]`, value: run().rise(time)![place], expected: reference.rise![`${place}_m`][i]! }
        )), RISE);
      }
    });

    test("has the reference's firings", () => {
      const { firings } = run();
      expect(firings.length).toBe(reference.firings.length);
      expectAllClose(reference.firings.flatMap(({ start_s, end_s }, i) => [
        { what: `start of firing ${i + 1} [s]`, value: firings[i]!.start, expected: start_s },
        { what: `end of firing ${i + 1} [s]`, value: firings[i]!.end ?? Infinity, expected: end_s ?? Infinity },
      ]), SWITCHES);
      reference.firings.forEach(({ volume_m3: volume, peak_m3s: peak }, i) => {
        const { volume: own, peakFlow } = firings[i]!;
        if (volume !== undefined) {
          // a firing's volume is the emitter's flow between its two switches
          const ends = { absolute: 1e-5 + 2 * 0.5 * peak!, because: "ledger entry and half a second of peak flow at either end" };
          expectClose(own, volume, ends, `volume of firing ${i + 1} [m3]`);
        }
        if (peak !== undefined) {
          // weir and orifice turn 0.05 mm of a head of 3 mm or more into 2.5 % of their flow at the most
          expectClose(peakFlow, peak, { relative: 0.025, because: "0.05 mm of head" }, `peak flow of firing ${i + 1} [m3/s]`);
        }
      });
    });

    test("has the reference's ledger, and closes it", () => {
      const { ledger } = run();
      const entries = Object.entries(reference.ledger);
      expectAllClose(entries.map(([entry, expected]) => (
        { what: `${entry} [m3]`, value: ledger[entry as keyof Run["ledger"]]!, expected }
      )), VOLUMES);
      expect(Math.abs(ledger.error)).toBeLessThan(1e-12 * ledger.inflow);
    });

    test.runIf(Object.keys(reference.groundwaterIn).length > 0)("has the groundwater that came in", () => {
      expectAllClose(Object.entries(reference.groundwaterIn).map(([body, expected]) => (
        { what: `groundwater into the ${body} [m3]`, value: run().groundwaterIn[body as keyof Run["groundwaterIn"]], expected }
      )), BESIDE_LEDGER);
    });
  });
}

/** Steps of each run at the default tolerance, and trials refused, as they were in November 2026. */
const TRIALS: Readonly<Record<string, readonly [steps: number, refused: number]>> = {
  "library-3in": [625, 36], "library-4in": [676, 48], "low-point-3in": [810, 48], "depot-block-1h": [308, 30], "low-spot-drowns": [782, 66],
  "cover-to-the-rim": [473, 51], "winter-table": [1129, 71], "mound-sand": [639, 6], "fill-test-frost": [728, 73], "slits-rooted": [964, 92],
  "reaches-slope": [1145, 87], "two-boxes-cold": [494, 32], "bench-pump-lid": [1127, 70], "table-rises-dry": [945, 71],
  "trench-on-a-slope": [761, 67], "sides-only-outfall": [960, 95],
};

// How steps are chosen shows in no level within the tolerance: a device that no longer does its work costs or skips steps.
test("the reference runs cost as many steps as they did, to a rounding here and there", () => {
  for (const { id, site, load, until } of ["reference-runs.json", "reference-runs-options.json"].flatMap(referenceRuns)) {
    const { steps, rejections } = simulate(site, load, { until }).work;
    const [before, refused] = TRIALS[id]!;
    expect(Math.abs(steps - before), `${id}: steps ${steps} for ${before}`).toBeLessThanOrEqual(2);
    expect(Math.abs(rejections - refused), `${id}: refused ${rejections} for ${refused}`).toBeLessThanOrEqual(2);
  }
});

/** Makes the run in the first test that asks, so that a run that cannot be made fails tests and not the whole file. */
function lazily(make: () => Run): () => Run {
  let made: Run | null = null;
  return () => (made ??= make());
}

function sampled(run: Run, { times, levels }: ReferenceRun, body: string): { what: string; value: number; expected: number }[] {
  return Array.from(run.levels(body, times), (value, i) => (
    { what: `${body} at ${times[i]} s [m]`, value, expected: levels[body]![i]! }
  ));
}
