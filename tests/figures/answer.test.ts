import { describe, expect, test } from "vitest";
import { answerOfStorms, answerSentence } from "../../lib/figures/answer.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { drawnRun } from "./drawnRun.ts";

// Levels and volumes of the independent solver's runs (fixtures/reference-runs.json), the times to empty of drawnRun.ts.
const threeInches = drawnRun("library-3in");
const cloudburst = drawnRun("depot-block-1h");

/** A run with water over the edges of some of its bodies [m3], in order of time. */
function withSpills(run: Run, volumes: Readonly<Record<string, number>>): Run {
  const events = Object.entries(volumes).map(([body, value], i) => ({ kind: "spills", time: i, body, value }));
  return { ...run, events, spilled: events.reduce((sum, { value }) => sum + value, 0) };
}

describe("the answer of a run", () => {
  test("says how high, what the emitter did and how long it takes to empty", () => {
    expect(answerSentence(threeInches)).toBe("The pit rises to 97.37 ft at hour 12, the emitter fires for 2.5 h in all (1040 gal), and the pit is empty at hour 56, 44 h after it was last full.");
  });

  test("says what is to spare where the emitter stays shut", () => {
    // 48.115 m opens, the trench rises to 48.047 m
    expect(answerSentence(cloudburst)).toBe("The pit rises to 48.05 m at hour 1.1, the emitter stays shut with 68 mm to spare, and the pit is empty at hour 44.7, 44 h after it was last full.");
  });

  test("begins with what comes out where it should not", () => {
    const spilt = withSpills(threeInches, { settlingBox: 0.2, overflowTrench: 1 });
    expect(answerSentence(spilt)).toMatch(/^52\.8 gal comes out over the box rim and 264 gal up through the ground at the trench, the pit rises to 97\.37 ft/);
  });

  test("speaks of groundwater where the pit stands in it", () => {
    expect(answerSentence(drawnRun("low-point-3in"))).toMatch(/and the pit is back at its groundwater, 25 in over its floor, at hour 1\d\d, \d+(\.\d)? days after it was last full\.$/);
  });

  test("says so when nothing happens", () => {
    const start = threeInches.level("chamberBank", 0);
    const still: Run = {
      ...threeInches, firings: [], drainDown: { full: 43_200, half: 0, empty: 0 },
      peaks: { ...threeInches.peaks, chamberBank: { level: start, time: 0 }, overflowTrench: { level: 29.2, time: 0 } },
    };
    expect(answerSentence(still)).toMatch(/^The pit stays dry and the emitter stays shut with [\d.]+ in to spare\.$/);
  });

  test("says how much is left where the run ends before the pit is empty", () => {
    const full: Run = { ...threeInches, drainDown: { full: 43_200, half: 40000, empty: null }, until: 30 * 3600 };
    expect(answerSentence(full)).toMatch(/, and the pit is empty at hour [\d.]+, \d+ h after it was last full\.$/);
  });
});

describe("the answer of several storms", () => {
  test("is that of the one where there is one", () => {
    expect(answerOfStorms([{ name: "a", run: threeInches }])).toBe(answerSentence(threeInches));
  });

  test("counts the storms that open the emitter and names the worst", () => {
    const storms = [{ name: "small", run: { ...threeInches, firings: [] } }, { name: "large", run: threeInches }, { name: "other", run: threeInches }];
    expect(answerOfStorms(storms)).toBe(
      "The emitter fires in 2 of 3 storms, most in “large” (2.5 h, 1040 gal), nothing comes out over a rim or up through the ground, and the pit is empty 44 h after it was last full, at the latest.",
    );
  });

  test("says where water comes out and how long the pit takes, run on past the end of a run", () => {
    const storms = [{ name: "dry", run: threeInches }, { name: "wet", run: withSpills({ ...threeInches, drainDown: { full: 43_200, half: null, empty: null } }, { chamberBank: 0.5 }) }];
    expect(answerOfStorms(storms)).toBe(
      "The emitter fires in both storms, most in “dry” (2.5 h, 1040 gal), water comes out at the surface elsewhere in 1 of 2 (132 gal in “wet”, up through the ground at the pit), "
      + "and the pit is empty 44 h after it was last full, at the latest.",
    );
  });
});
