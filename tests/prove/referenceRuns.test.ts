import { expect, test } from "vitest";
import { simulate } from "../../lib/simulate/simulate.ts";
import { referenceRuns } from "../simulate/referenceRuns.ts";

// Between the 97 samples of the reference runs: at ten moments inside every step the levels of a run at the default tolerance are held
// against one of a thousandth of it, which the samples show to be the reference to their last digit. Within half a second of a move of
// the lid, which is what a switch is held to, levels are not compared: a slit pipe falls by half a millimetre in the hundredth of a
// second after one.

const MOMENTS = 10;
const FINE = 1e-10;
/** what a switch may be off [s] */
const SWITCH = 0.5;
/** [m] */
const PROMISED = 3e-4;

test("levels at ten moments inside every step of every reference run", () => {
  for (const file of ["reference-runs.json", "reference-runs-options.json"]) {
    for (const { id, site, load, until } of referenceRuns(file)) {
      const [run, fine] = [simulate(site, load, { until }), simulate(site, load, { until, tolerance: FINE })];
      const moves = [run, fine].flatMap(({ firings }) => firings.flatMap(({ start, end }) => [start, end ?? Infinity]));
      let worst = { off: 0, body: "", time: 0 };
      for (let i = 0; i + 1 < run.times.length; i++) {
        for (let moment = 0; moment < MOMENTS; moment++) {
          const time = run.times[i]! + ((moment + 0.5) / MOMENTS) * (run.times[i + 1]! - run.times[i]!);
          if (moves.some((move) => Math.abs(move - time) < SWITCH)) continue;
          for (const { name } of run.bodies) {
            const off = Math.abs(run.level(name, time) - fine.level(name, time));
            if (off > worst.off) worst = { off, body: name, time };
          }
        }
      }
      console.log(`${id}: ${(1000 * worst.off).toFixed(3)} mm at most (${worst.body}, ${Math.round(worst.time)} s), ${run.work.steps} steps`);
      expect(worst.off).toBeLessThan(PROMISED);
    }
  }
});
