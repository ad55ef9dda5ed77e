import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { uniformDraw } from "../../lib/numerics/draw.ts";
import { hyetograph, type Hyetograph } from "../../lib/rain/hyetograph.ts";
import { networkOf } from "../../lib/simulate/assemble.ts";
import { StepFailure } from "../../lib/simulate/kernel.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { hydrograph, type Hydrograph } from "../../lib/runoff/hydrograph.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { simulateRecord, type RecordRun } from "../../lib/simulate/simulateRecord.ts";
import { StoppedRun } from "../../lib/simulate/stoppedRun.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { expectClose } from "../closeTo.ts";

const site = readSite(readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8"));

/** Seeded hourly rain, invented: spells of some hours, 1200 wet hours a year. */
function hourlyRain(days: number, meanDepth: number): Hyetograph {
  let wet = false;
  const depth = Array.from({ length: 24 * days }, (_, hour) => {
    wet = uniformDraw(3, hour, 0) < (wet ? 0.75 : 0.04);
    return wet ? -Math.log(uniformDraw(3, hour, 1)) * meanDepth : 0;
  });
  return hyetograph({ time: Array.from({ length: depth.length + 1 }, (_, hour) => 3600 * hour), depth });
}

describe("a year of hourly rain", () => {
  const rain = hourlyRain(365, 0.002);
  const record = simulateRecord(site, rain);
  const run = simulate(site, rain, { tolerance: 1e-8 });

  test("closes its ledger", () => {
    expect(Math.abs(record.ledger.error)).toBeLessThan(1e-12 * record.ledger.inflow);
  });

  test("has the peaks of a run that keeps all its levels, within 0.1 mm at each storm", () => {
    expect(record.storms.length).toBeGreaterThan(100);
    record.storms.forEach(({ start, peaks }, i) => {
      const until = record.storms[i + 1]?.start ?? record.until;
      for (const { name: body } of record.bodies) {
        const { level, time } = peaks[body]!;
        expect(time).toBeGreaterThanOrEqual(start);
        expect(time).toBeLessThanOrEqual(until);
        const sampled = Math.max(...run.times.filter((t) => t > start && t <= until).map((t) => run.level(body, t)));
        expectClose(level, Math.max(sampled, run.level(body, time)), { absolute: 1e-4, because: "what a record promises" });
      }
    });
  });

  test("has its firings and its ledger", () => {
    expect(record.firings.length).toBe(run.firings.length);
    for (const entry of ["inflow", "bankSeepage", "trenchSeepage", "emitter"] as const) {
      expectClose(record.ledger[entry], run.ledger[entry], { relative: 5e-5, because: "a record is stepped with a tolerance of 2e-5" });
    }
  });

  test("is one record however its hours are cut", () => {
    const quarters = hyetograph({
      time: Array.from({ length: 4 * rain.depth.length + 1 }, (_, i) => 900 * i),
      depth: Array.from({ length: 4 * rain.depth.length }, (_, i) => rain.depth[Math.floor(i / 4)]! / 4),
    });
    const cut = simulateRecord(site, quarters);
    expect(cut.storms.length).toBe(record.storms.length);
    expectClose(cut.ledger.bankSeepage, record.ledger.bankSeepage, { relative: 1e-6, because: "round-off of quarters moves step sizes" });
  });
});

test("a dry record leaves the works at their start", () => {
  const { storms, firings, ledger } = simulateRecord(site, hyetograph({ time: [0, 3600], depth: [0] }), { until: "1 day" });
  expect([storms, firings]).toEqual([[], []]);
  expect(ledger.storedEnd).toBe(ledger.storedStart);
});

describe("a run that cannot go on", () => {
  // the second storm brings more water than numbers can follow
  const rain = hyetograph({ time: [0, 3600, 40_000, 43_600], depth: [0.03, 0, 0.01] });
  const flow = (second: number): Hydrograph => (
    hydrograph({ time: [0, 3600, 3600, 40_000, 40_000, 43_600], flow: [1e-3, 1e-3, 0, 0, second, second] }));
  const record = (second: number): RecordRun => simulateRecord(site, rain, { until: "1 day", inflows: { settlingBox: flow(second) } });

  test("of a record is thrown with the storms so far, and says when, where the water stood and what to change", () => {
    const stopped = caught(() => record(1e100));
    expect(stopped.message).toMatch(/^the run stopped at hour 11\.1, 40000\S* s: the step size vanishes\. Levels then: settlingBox \S+ ft, .*What to change: /);
    const partial = stopped.partial as RecordRun;
    expect(partial.until).toBe(stopped.time);
    expect(partial.storms.map(({ start }) => start)).toEqual([0, 40_000]);
    expect(partial.storms[0]).toEqual(record(1e-3).storms[0]);
    expect(Math.abs(partial.ledger.error)).toBeLessThan(1e-9);
    expect(JSON.stringify(stopped)).not.toContain("storms");
  });

  test("of a storm is thrown with the run up to there", () => {
    const { partial, levels, time } = caught(() => simulate(site, flow(1e100), { until: "1 day" }));
    const run = partial as Run;
    expect([run.until, Object.keys(levels)]).toEqual([time, run.bodies.map(({ name }) => name)]);
    for (const { name } of run.bodies) expectClose(run.level(name, time), levels[name]!, { absolute: 1e-9, because: "the same volume" });
  });

  test("as the works settle has reached nothing", () => {
    const { partial, message } = new StoppedRun(new StepFailure("the step size vanishes", 60, 1e-9, [1]), { ...networkOf(site), bodies: networkOf(site).bodies.slice(0, 1) }, site, null);
    expect(partial).toBeNull();
    expect(message).toMatch(/^the run stopped as the works settled before the rain, after 60 s: the step size vanishes\. Levels then: settlingBox /);
  });
});

function caught(make: () => unknown): StoppedRun {
  try {
    make();
  } catch (error) {
    if (error instanceof StoppedRun) return error;
    throw error;
  }
  throw new Error("expected a StoppedRun, got none");
}
