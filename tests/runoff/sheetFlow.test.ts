import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { hyetograph } from "../../lib/rain/hyetograph.ts";
import { greenAmptInfiltration } from "../../lib/runoff/greenAmpt.ts";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { fanHalfWidth, sheetFlow, type SheetOptions } from "../../lib/runoff/sheetFlow.ts";
import { expectClose } from "../closeTo.ts";

const SEALED = { hydraulicConductivity: 0, wettingFrontSuction: 0, moistureChange: 0 };
const steady = (flow: number, hours: number): SheetOptions["inflow"] => hydrograph({ time: [0, hours * 3600], flow: [flow, flow] });

describe("a sheet of water on a slope", () => {
  // A plane of 50 m at 0.007, n 0.06, 45 mm/h of rain: q = 0.000625 m3/s/m, 0.00979 m deep, 0.0638 m/s: a worked course problem of San
  // Diego State University, CIV E 445, spring 2005, midterm 2, problem 1 (read). The same unit flow, let in at the upper end.
  const plane = {
    inflow: steady(0.000625, 1), slope: 0.007, manningN: 0.06, halfWidth: () => 0.5, soil: SEALED, length: 50, stretches: 400,
  };

  test("stands as deep as a published example has it, and its front comes on at the example's mean speed", () => {
    const { deepest, reachedAt, reach } = sheetFlow(plane);
    expectClose(deepest[200]!, 0.00979, { relative: 2e-3, because: "digits of the example" });
    expect(reach).toBe(50);
    // a kinematic shock over dry ground goes at q/h, the mean speed behind it
    expectClose(50 / reachedAt, 0.0638, { relative: 0.02, because: "the front is two stretches thick" });
  });

  test("takes in as much as a published example of Green and Ampt has it where it stands for an hour", () => {
    // silt loam, K 0.65 cm/h, psi 16.7 cm, dtheta 0.340: 3.17 cm after an hour: Chow, Maidment & Mays, Applied Hydrology, 1988, example
    // 4.3.1, from memory
    const soil = { hydraulicConductivity: 0.0065 / 3600, wettingFrontSuction: 0.167, moistureChange: 0.34 };
    const { soaked } = sheetFlow({
      inflow: steady(0.0002, 1), slope: 0.2, manningN: 0.01, halfWidth: () => 0.5, soil, length: 1, stretches: 4,
    });
    // a sheet so thin that what is left of it after the hour is nothing
    expectClose(soaked, 0.0317, { relative: 0.005, because: "digits of the example, and a film of a third of a millimetre after the hour" });
  });

  test("that goes on for long runs as far as the soil needs to take all of it: Q/(w K)", () => {
    const K = 2e-6;
    const { reach, soaked, left, passed } = sheetFlow({
      inflow: steady(1e-4, 12), slope: 0.02, manningN: 0.24, halfWidth: () => 1, soil: { ...SEALED, hydraulicConductivity: K },
      length: 50, stretches: 200,
    });
    expectClose(reach, 1e-4 / (2 * K), { absolute: 0.5, because: "two stretches" });
    expectClose(passed[0]!, 1e-4 * 12 * 3600, { relative: 1e-9, because: "round-off" });
    expectClose(passed[0]!, soaked + left + passed[200]!, { relative: 1e-9, because: "the book closes" });
  });

  test("runs farther where rain has taken up the soil first, and as far as rain leaves room", () => {
    const soil = { hydraulicConductivity: 3e-6, wettingFrontSuction: 0.1, moistureChange: 0.2 };
    const inflow = hydrograph({ time: [3600, 10800], flow: [1e-4, 1e-4] });
    const given = { inflow, slope: 0.02, manningN: 0.24, halfWidth: () => 1, soil, length: 40 };
    const dry = sheetFlow(given).reach;
    const before = sheetFlow({ ...given, rain: hyetograph({ time: [0, 3600], depth: [0.02] }) }).reach;
    const during = sheetFlow({ ...given, rain: hyetograph({ time: [0, 10800], depth: [0.06] }) });
    expect(before).toBeGreaterThan(dry);
    expect(during.reach).toBeGreaterThan(before);
  });

  test("makes no water and loses none, whatever runs in", () => {
    const number = (min: number, max: number): fc.Arbitrary<number> => fc.double({ min, max, noNaN: true });
    const any = fc.tuple(number(0, 0.01), number(60, 7200), number(0.002, 0.2), number(0.05, 0.5), number(0, 2e-5), number(0, 0.3));
    fc.assert(fc.property(any, ([flow, long, slope, manningN, k, dtheta]) => {
      const { passed, soaked, left, deepest } = sheetFlow({
        inflow: hydrograph({ time: [100, 100 + long / 2, 100 + long], flow: [0, flow, 0] }), slope, manningN,
        halfWidth: (distance) => fanHalfWidth({ flow: Math.max(flow, 1e-6), slope, manningN, distance }),
        soil: { hydraulicConductivity: k, wettingFrontSuction: 0.1, moistureChange: dtheta }, length: 20, stretches: 40,
      });
      expectClose(passed[0]!, soaked + left + passed[40]!, { absolute: 1e-9, because: "the book closes" });
      expectClose(passed[0]!, (flow * long) / 2, { absolute: 1e-9, because: "all that runs in" });
      expect(deepest.every((each) => each >= 0)).toBe(true);
      expect(Array.from(passed).every((each, i) => i === 0 || each <= passed[i - 1]! + 1e-12)).toBe(true);
    }), { seed: 20, numRuns: 40 });
  });

  test("soaks away under rain by the law of the losses", () => {
    // a stretch that only rain reaches: what it may still take is what greenAmptInfiltration leaves of its capacity
    const soil = { hydraulicConductivity: 3e-6, wettingFrontSuction: 0.1, moistureChange: 0.2 };
    const rain = hyetograph({ time: [0, 3600], depth: [0.03] });
    const went = greenAmptInfiltration({ hyetograph: rain, ...soil })[1]!;
    const dry = hydrograph({ time: [3600, 3600 + 1800], flow: [1e-4, 1e-4] });
    const given = { inflow: dry, slope: 0.2, manningN: 0.01, halfWidth: () => 0.5, soil, length: 0.5, stretches: 1 };
    const after = sheetFlow({ ...given, rain }).soaked;
    // from F1 the ponded half hour: x - S ln(1 + x/(F1 + S)) = K t, solved here by halving
    const S = 0.02;
    let [low, high] = [0, 0.1];
    for (let i = 0; i < 60; i++) {
      const x = (low + high) / 2;
      if (x - S * Math.log(1 + x / (went + S)) < 3e-6 * 1800) low = x;
      else high = x;
    }
    expectClose(after / 0.5, low, { relative: 0.02, because: "a film of a fifth of a millimetre after the half hour" });
  });

  test("is refused where there is no slope", () => {
    expect(() => sheetFlow({ ...plane, slope: 0 })).toThrow("The sheet cannot be followed:\n  sheetFlow.slope: expected a number above 0, got 0");
  });
});

describe("the fan of a point", () => {
  test("solves its equation and carries the flow", () => {
    const [flow, slope, manningN] = [0.005, 0.02, 0.24];
    const half = (distance: number): number => fanHalfWidth({ flow, slope, manningN, distance });
    const depth = (x: number, y: number): number => (
      ((5 * slope) / 26) * x ** (-3 / 13) * ((half(x) / x ** (5 / 13)) ** 2 - (y / x ** (5 / 13)) ** 2));
    for (const [x, share] of [[3, 0], [3, 0.5], [12, 0.2], [12, 0.8]] as const) {
      const y = share * half(x);
      const d = 1e-4;
      const power = (a: number, b: number): number => depth(a, b) ** (5 / 3);
      const along = (slope * (power(x + d, y) - power(x - d, y))) / (2 * d);
      const flux = (b: number): number => power(x, b) * ((depth(x, b + d) - depth(x, b - d)) / (2 * d));
      const across = (flux(y + d) - flux(y - d)) / (2 * d);
      expectClose(along, across, { relative: 1e-4, absolute: 1e-9, because: "differences" });
    }
    const n = 4000;
    const b = half(7);
    const power = Array.from({ length: n }, (_, i) => depth(7, b * (-1 + (2 * (i + 0.5)) / n)) ** (5 / 3));
    const carried = power.reduce((sum, each) => sum + each, 0) * ((2 * b) / n);
    expectClose((Math.sqrt(slope) / manningN) * carried, flow, { relative: 1e-4, because: "midpoint rule" });
  });
});
