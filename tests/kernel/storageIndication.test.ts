import { describe, expect, test } from "vitest";
import { newKernel } from "../../lib/simulate/kernel.ts";
import { LAW } from "../../lib/simulate/network.ts";
import { expectAllClose } from "../closeTo.ts";
import { ratingRow, segmentsOf, worksOf } from "./vessels.ts";

// FHWA-NHI-02-001, Example 7.2 (SI), Tables 7.2-7.5, p. 7-19 to 7-22: a pond with an outlet pipe of 600 or 900 mm, routed by
// storage indication in steps of 1800 s. Outflows and storages are the published ones, rounded there to 0.01 m3/s and 1 m3.
const STEP = 1800;
const STORAGE = [0, 200, 500, 900, 1400, 2100, 3400, 4000, 4700, 5400];
const INFLOW = [0, 0.3, 0.6, 0.85, 1.1, 1.4, 1.7, 1.4, 1.1, 0.85, 0.6, 0.3, 0];
const PONDS = [
  {
    pipe: "600 mm",
    discharge: [0, 0.12, 0.36, 0.57, 0.74, 0.88, 0.99, 1.46, 2.33, 3.45],
    outflow: [0, 0.11, 0.38, 0.59, 0.76, 0.89, 0.99, 1.44, 1.28, 1.03, 0.95, 0.88, 0.62],
    stored: [0, 175, 545, 970, 1506, 2266, 3363, 3969, 3769, 3446, 2969, 2127, 1045],
  },
  {
    pipe: "900 mm",
    discharge: [0, 0.17, 0.51, 0.99, 1.42, 1.73, 1.98, 2.45, 3.32, 4.44],
    outflow: [0, 0.13, 0.45, 0.73, 0.98, 1.22, 1.48, 1.52, 1.34, 1.02, 0.72, 0.44, 0.15],
    stored: [0, 153, 444, 687, 895, 1164, 1529, 1623, 1303, 936, 675, 440, 177],
  },
] as const;

describe.each(PONDS)("the pond with a pipe of $pipe", ({ discharge, outflow, stored }) => {
  test("is published as storage indication in steps of 1800 s gives it", () => {
    const own = storageIndication(discharge, 1);
    expectAllClose(own.map((S, i) => ({ what: `storage ${i}`, value: S, expected: stored[i]! })), { absolute: 5, because: "outflows carried on rounded to 0.01 m3/s" });
    expectAllClose(own.map((S, i) => ({ what: `outflow ${i}`, value: between(STORAGE, discharge, S), expected: outflow[i]! })), { absolute: 0.0051, because: "rounded to 0.01 m3/s" });
  });

  test("run by the stepper is what the scheme tends to with ever shorter steps", () => {
    const limit = storageIndication(discharge, 512);
    const run = stepped(discharge);
    expectAllClose(run.map((S, i) => ({ what: `storage ${i}`, value: S, expected: limit[i]! })), { absolute: 0.01, because: "the scheme's own error at 3.5 s is 2e-4 m3, the stepper's 1e-7 of 5400 m3 a step" });
  });

  test("differs from the published routing by that one's long step only", () => {
    const [coarse, run] = [storageIndication(discharge, 1), stepped(discharge)];
    // of second order: from steps of 900 s on the difference is about a quarter of that of 1800 s
    const worst = (scheme: number[]): number => Math.max(...scheme.map((S, i) => Math.abs(S - run[i]!)));
    expect(worst(storageIndication(discharge, 2))).toBeLessThan(0.6 * worst(coarse));
    expectAllClose(run.map((S, i) => ({ what: `storage ${i}`, value: S, expected: stored[i]! })), { absolute: 5 + worst(coarse), because: "rounding, and steps of 1800 s in a pond that turns over in 1000 s" });
    expect(worst(coarse)).toBeLessThan(75);
  });
});

/** (S/dt + O/2) at the end = (S/dt - O/2) at the start + mean inflow, `parts` steps in each of the source's. */
function storageIndication(discharge: readonly number[], parts: number): number[] {
  const dt = STEP / parts;
  const indication = STORAGE.map((S, i) => S / dt + discharge[i]! / 2);
  const out = [0];
  let S = 0;
  for (let i = 1; i < INFLOW.length * parts - parts + 1; i++) {
    const mean = (inflowAt((i - 1) * dt) + inflowAt(i * dt)) / 2;
    const next = S / dt - between(STORAGE, discharge, S) / 2 + mean;
    S = between(indication, STORAGE, next);
    if (i % parts === 0) out.push(S);
  }
  return out;
}

/** S' = I(t) - O(S): a vessel of one square metre, so that its level is its storage. */
function stepped(discharge: readonly number[]): number[] {
  const rating = STORAGE.map((S, i) => [S, discharge[i]!] as const);
  const [[last, most], [before, less]] = [rating.at(-1)!, rating.at(-2)!];
  const beyond = [2 * last - before, 2 * most - less] as const;
  const works = worksOf({
    bodies: [{ area: 1, top: 1e5, corners: STORAGE.slice(1) }],
    passages: [{ law: LAW.seepage, from: 0, row: ratingRow([...rating, beyond]) }],
  });
  const kernel = newKernel();
  kernel.load(works);
  kernel.start({ time: 0, states: [0], tolerance: 1e-7 });
  return INFLOW.map((flow, i) => {
    if (i > 0) {
      const from = INFLOW[i - 1]!;
      kernel.march(segmentsOf([[(i - 1) * STEP, i * STEP, [from, (flow - from) / STEP]]]));
    }
    return kernel.states()[0]!;
  });
}

function inflowAt(t: number): number {
  return between(INFLOW.map((_, i) => i * STEP), INFLOW, t);
}

function piece(x: readonly number[], at: number): number {
  let i = 1;
  while (i < x.length - 1 && x[i]! <= at) i++;
  return i;
}

function slopeOf(x: readonly number[], y: readonly number[], at: number): number {
  const i = piece(x, at);
  return (y[i]! - y[i - 1]!) / (x[i]! - x[i - 1]!);
}

function between(x: readonly number[], y: readonly number[], at: number): number {
  const i = piece(x, at);
  return y[i - 1]! + slopeOf(x, y, at) * (at - x[i - 1]!);
}
