import fc from "fast-check";
import { expect, test } from "vitest";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { extras, flows, METRES, plain, rarities, siteText } from "../simulate/randomSites.ts";
import { shareOf } from "../share.ts";

// 50 000 random sites with any mix of options, each run for a day: none stops, the ledger closes, no box stands below its outlet's
// crest, the lid moves once a second at the most, and no run takes over 100 times as many steps as the run in the middle does, the
// transients of its lid apart. A failure prints its seed, path and case.

const plans = fc.record({ plan: plain(), more: extras, rare: rarities, settle: fc.constantFrom(0, 0, 0, 86_400) });
const cases = plans.chain(({ plan, more, rare, settle }) => {
  const { json, bodies } = siteText(plan, more, METRES, rare);
  return fc.record({ json: fc.constant(json), settle: fc.constant(settle), load: flows(bodies) });
});

/** how much a ledger may be off, as a share of all that came: it is a sum of some thousand roundings */
const CLOSED = 1e-10;

/** steps of the run in the middle of 5 000, rounded down */
const MEDIAN_STEPS = 380;
/** what a lid that opens again and again takes to open and to shut, each a transient of its own: 31 steps at the most were seen */
const STEPS_A_FIRING = 40;

for (const seed of [1, 2, 3, 4, 5, 6, 7, 8, 9, 10]) {
  test(`5 000 sites of seed ${seed}`, () => {
    let [worst, fluttering] = [0, 0];
    const steps: number[] = [];
    const runs = shareOf(5000);
    fc.assert(fc.property(cases, ({ json, settle, load }) => {
      const site = readSite(json);
      const inflows = Object.fromEntries(Object.entries(load).map(([body, points]) => [body, hydrograph(points)]));
      const run = simulate(site, inflows, { until: "24 h", settle });
      const { bank, trench, lowSpot } = run.groundwaterIn;
      const came = run.ledger.inflow + run.ledger.storedStart + bank + trench + lowSpot;
      worst = Math.max(worst, came > 0 ? Math.abs(run.ledger.error) / came : Math.abs(run.ledger.error));
      expect(Math.abs(run.ledger.error)).toBeLessThanOrEqual(CLOSED * came);
      for (const box of site.settlingBoxes) {
        const crest = Math.max(box.outlet.invert, box.outlet.outletInvert);
        const lowest = run.levels(box.name, run.times).reduce((low, level) => Math.min(low, level), Infinity);
        expect(lowest).toBeGreaterThan(crest - 1e-4);
      }
      let last = -Infinity;
      for (const { start, end } of run.firings) {
        expect(start - last).toBeGreaterThan(1 - 1e-6);
        last = end ?? Infinity;
      }
      if (run.firings.length > 100) fluttering++;
      expect(run.work.steps).toBeLessThan(100 * MEDIAN_STEPS + STEPS_A_FIRING * run.firings.length);
      steps.push(run.work.steps);
    }), { seed, numRuns: runs, endOnFailure: true });
    steps.sort((a, b) => a - b);
    console.log(`${runs} sites of seed ${seed}: none stopped, ledgers closed to ${worst.toExponential(1)} of what came; `
      + `${steps[runs >> 1]} steps in the middle, ${steps.at(-1)} at the most; ${fluttering} with more than 100 firings`);
  });
}
