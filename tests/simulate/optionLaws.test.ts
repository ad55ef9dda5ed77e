import fc from "fast-check";
import { expect, test } from "vitest";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { exits, exitsReached } from "../../lib/simulate/exits.ts";
import { breakEvenRain, rainToFill } from "../../lib/simulate/rainToFill.ts";
import { readiness } from "../../lib/simulate/readiness.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Site } from "../../lib/site/site.ts";
import { shareOf } from "../share.ts";
import { extras, flows, plain, siteText } from "./randomSites.ts";

// Laws that hold for every site with any mix of options: several boxes, low spot, covers, slits, segments, lid held shut, a
// water table in time, temperature. A failure prints its seed, path and case.
const RUNS = shareOf(300);
const cases = fc.record({ plan: plain(), more: extras }).chain(({ plan, more }) => {
  const text = siteText(plan, more);
  return fc.record({ json: fc.constant(text.json), load: flows(text.bodies) });
});

test("sites with any mix of options lose no water, stay numbers, above their floors, and in order", () => {
  let spilled = 0;
  fc.assert(fc.property(cases, ({ json, load }) => {
    const site = readSite(json);
    const inflows = Object.entries(load).map(([body, points]) => [body, hydrograph(points)] as const);
    const run = simulate(site, Object.fromEntries(inflows), { until: "24 h" });
    expectClosed(run);
    expectAboveFloors(run, site);
    expectForward(run);
    expectAnswers(run);
    spilled += run.events.filter(({ kind }) => kind === "spills" || kind === "floods" || kind.startsWith("grate")).length;
  }), { seed: 20261126, numRuns: RUNS, endOnFailure: true });
  expect(spilled).toBeGreaterThan(RUNS / 2);
});

function expectClosed({ ledger, groundwaterIn }: Run): void {
  const came = ledger.inflow + ledger.storedStart + groundwaterIn.bank + groundwaterIn.trench + groundwaterIn.lowSpot;
  expect(Math.abs(ledger.error)).toBeLessThanOrEqual(1e-10 * Math.max(came, ledger.storedStart + ledger.storedEnd));
}

/** At the ends of all steps and between them; NaN is above nothing. */
function expectAboveFloors(run: Run, site: Site): void {
  const between = run.times.subarray(1).map((time, i) => (time + run.times[i]!) / 2);
  for (const { name: body } of run.bodies) {
    const floor = floorOf(body, site);
    for (const level of [...run.levels(body, run.times), ...run.levels(body, between)]) {
      if (!(level > floor - 1e-9 && level < Infinity)) throw new Error(`${body}: expected a level over its floor ${floor}, got ${level}`);
    }
  }
}

function floorOf(body: string, { settlingBoxes, chamberBank, overflowTrench: trench, lowSpot }: Site): number {
  if (body === "chamberBank") return chamberBank.floor;
  if (body === "lowSpot") return lowSpot!.floor;
  const [name, number] = body.split(" ");
  if (name !== "overflowTrench" && name !== "trenchPipe") return settlingBoxes.find((box) => box.name === body)!.floor;
  const low = trench!.floor - (trench!.fall * (number === undefined ? trench!.segments : Number(number))) / trench!.segments;
  if (name === "overflowTrench") return low;
  const { bedding, insideDiameter, outsideDiameter } = trench!.pipe!;
  return low + bedding + (outsideDiameter - insideDiameter) / 2;
}

/** The emitter is a check valve, covers and off-site edges let water out only, and firings follow one another. */
function expectForward(run: Run): void {
  const oneWay = run.passages.filter((passage) => passage === "emitter" || passage === "weep" || passage === "lowSpotOverflow");
  for (const passage of oneWay) {
    const back = run.times.filter((time) => !(run.flow(passage, time) >= 0));
    expect([passage, ...back]).toEqual([passage]);
  }
  let last = 0;
  for (const { start, end, volume } of run.firings) {
    expect(start).toBeGreaterThanOrEqual(last);
    last = end ?? run.until;
    expect(volume).toBeGreaterThanOrEqual(-1e-12);
  }
}

function expectAnswers(run: Run): void {
  const levels = exits(run.site).map(({ level }) => level);
  expect(levels).toEqual(levels.toSorted((a, b) => a - b));
  for (const { volume, time, body } of exitsReached(run)) {
    if (volume !== null && volume > 1e-4) expect(time).not.toBeNull();
    expect(time === null).toBe(body === null);
  }
  for (const { time, value } of run.events) expect(Number.isFinite(time) && Number.isFinite(value)).toBe(true);
  run.events.forEach(({ time }, i) => expect(time).toBeGreaterThanOrEqual(run.events[i - 1]?.time ?? 0));
  for (const note of run.notes) expect(note).not.toMatch(/NaN|undefined|Infinity/);
  const { freeVolume, rain } = readiness(run, [0, run.until]);
  for (const room of [...freeVolume, ...(rain ?? [])]) expect(room).toBeGreaterThanOrEqual(0);
  expect(rainToFill(run.site).rain).toBeGreaterThanOrEqual(0);
  expect(breakEvenRain(run.site) ?? 0).toBeGreaterThanOrEqual(0);
}
