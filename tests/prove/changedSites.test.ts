import fc from "fast-check";
import { expect, test } from "vitest";
import { answerSentence } from "../../lib/figures/answer.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { settledRun } from "../../lib/simulate/settledRun.ts";
import { StoppedRun } from "../../lib/simulate/stoppedRun.ts";
import { readSite, SiteError } from "../../lib/site/readSite.ts";
import type { Site } from "../../lib/site/site.ts";
import { shareOf } from "../share.ts";
import { change, mutate, places } from "../site/changedFiles.ts";
import { fixture, fixtureNames } from "../site/siteFiles.ts";

// What of 10 000 files with something wrong in them still reads as a site is run and answered: numbers all the way, and no water lost.

const storm = designStorm({ pattern: "block", depth: "40 mm", duration: "1 h" });
const files = fixtureNames.map(fixture);

/** One quantity made up to thirty times larger or smaller, as a wrong unit does; or a change of any kind. */
const changed = fc.oneof(
  fc.record({ which: fc.nat(), at: fc.nat(), log: fc.double({ min: -1.5, max: 1.5, noNaN: true }) }).map(({ which, at, log }) => {
    const file = structuredClone(files[which % files.length]!);
    const quantities = places(file).filter(({ parent, key }) => /^[\d.]+ \S+$/.test(String(parent[key])));
    const { parent, key } = quantities[at % quantities.length]!;
    parent[key] = String(parent[key]).replace(/^[\d.]+/, (number) => String(Number(number) * 10 ** log));
    return file;
  }),
  fc.record({ which: fc.nat(), changes: fc.array(change, { minLength: 1, maxLength: 2 }) }).map(({ which, changes }) => {
    const file = structuredClone(files[which % files.length]!);
    for (const one of changes) mutate(file, one);
    return file;
  }),
);

test("10 000 changed files: refused in words, or run to numbers", () => {
  let [refused, ran, stopped] = [0, 0, 0];
  fc.assert(fc.property(changed, (file) => {
    const site = siteOf(file);
    if (site === null) {
      refused++;
      return;
    }
    try {
      const run = settledRun(site, storm, { until: "24 h" });
      ran++;
      const { bank, trench, lowSpot } = run.groundwaterIn;
      const came = run.ledger.inflow + run.ledger.storedStart + bank + trench + lowSpot;
      expect(Math.abs(run.ledger.error)).toBeLessThanOrEqual(1e-9 * Math.max(came, 1e-6));
      for (const { level, time } of Object.values(run.peaks)) expect([level, time].every(Number.isFinite)).toBe(true);
      expect(answerSentence(run)).not.toMatch(/NaN|undefined|Infinity|null/);
    } catch (error) {
      if (!(error instanceof StoppedRun)) throw error;
      stopped++;
    }
  }), { seed: 1, numRuns: shareOf(10_000) });
  console.log(`${refused} refused, ${ran} run, ${stopped} stopped in words`);
  expect(ran).toBeGreaterThan(shareOf(2000));
  expect(stopped).toBe(0);
});

function siteOf(file: unknown): Site | null {
  try {
    return readSite(file);
  } catch (error) {
    if (error instanceof SiteError) return null;
    throw error;
  }
}
