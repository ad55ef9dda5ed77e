import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { hyetograph } from "../../lib/rain/hyetograph.ts";
import { tableValue } from "../../lib/rain/storms/stormCurve.ts";
import { hydrographVolume } from "../../lib/runoff/hydrographVolume.ts";
import { reservoirCascade } from "../../lib/runoff/reservoirCascade.ts";
import { gammaExponent, NRCS_UNIT_HYDROGRAPH, unitHydrograph } from "../../lib/runoff/unitHydrograph.ts";
import { respond } from "../../lib/runoff/unitResponse.ts";
import { rains, splitRains, thousandths, totalDepth } from "./rains.ts";

describe("the NRCS unit hydrograph", () => {
  test("passes its water as NEH 630 Table 16-1's mass column, within 0.002", () => {
    // Qa/Q, read. HDS-2 Table 6.10 misprints the values at 0.3 and 1.5; these are NEH 630's. The table's own trapezoids
    // differ from its printed mass by up to 0.002.
    const mass = [
      0, 0.001, 0.006, 0.017, 0.035, 0.065, 0.107, 0.163, 0.228, 0.3, 0.375, 0.45, 0.522, 0.589, 0.65, 0.705, 0.751, 0.79, 0.822,
      0.849, 0.871, 0.908, 0.934, 0.953, 0.967, 0.977, 0.984, 0.989, 0.993, 0.995, 0.997, 0.999, 1,
    ];
    const { time, flow } = NRCS_UNIT_HYDROGRAPH;
    const passed = [0];
    for (let i = 1; i < time.length; i++) {
      passed.push(passed[i - 1]! + ((time[i]! - time[i - 1]!) * (flow[i]! + flow[i - 1]!)) / 2);
    }
    const all = passed[passed.length - 1]!;
    mass.forEach((printed, i) => expect(Math.abs(passed[i]! / all - printed)).toBeLessThan(0.0021));
    expect(645.3333 / all).toBeCloseTo(483.05, 1);
  });

  test("of HDS-2 Example 6.10 p. 6-62 (1.2 km2, tc 1.34 h) peaks at 0.28 m3/s per mm 0.893 h after the start", () => {
    const tc = 1.34 * 3600;
    const { step, rate } = unitHydrograph({ timeOfConcentration: tc });
    expect(step / 3600).toBeCloseTo(0.18, 2);
    const flow = (hours: number): number => 1.2e6 * 0.001 * tableValue(rate.map((_, k) => k * step), rate, hours * 3600);
    expect(Math.abs(flow(0.893) - 0.28)).toBeLessThan(0.005);
    // Ordinates of Table 6.11 at t/tp 0.4, 0.7, 1, 1.5, 2, 3, 4; straight lines between steps of tp / 5 cut 3 % off a bend.
    const printed = [[0.4, 0.087], [0.7, 0.23], [1, 0.28], [1.5, 0.19], [2, 0.078], [3, 0.015], [4, 0.003]] as const;
    for (const [share, q] of printed) expect(Math.abs(flow(share * 0.893) - q)).toBeLessThan(0.0085);
  });

  test.each([
    // NEH 630 ch. 16 Table 16-5, read; the printed factors at m 1 and 3 are off by one (237.4 and 433.7)
    [0.26, 101], [1, 237.4], [2, 349], [3, 433.7], [3.7, 484], [4, 504], [5, 566],
  ])("takes m %s for peak rate factor %s", (m, factor) => {
    expect(Math.abs(gammaExponent(factor) - m)).toBeLessThan(0.005);
  });

  test("in its gamma form peaks by the factor asked for", () => {
    for (const peakRateFactor of [200, 300, 600]) {
      const { step, rate } = unitHydrograph({ timeOfConcentration: 3600, peakRateFactor });
      const timeToPeak = step / 2 + 0.6 * 3600;
      // qp Tp / volume in the factor's own units; sampled every Tp / 5, the top may be missed by 2 percent
      expect(Math.max(...rate) * timeToPeak * 645.3333).toBeGreaterThan(0.98 * peakRateFactor);
      expect(Math.max(...rate) * timeToPeak * 645.3333).toBeLessThan(1.01 * peakRateFactor);
    }
  });

  test("refuses factors and times outside its bounds", () => {
    expect(() => unitHydrograph({ timeOfConcentration: 0, peakRateFactor: 10 })).toThrow(
      [
        "The unit hydrograph cannot be made:",
        "unitHydrograph.timeOfConcentration: expected a number above 0, got 0",
        "unitHydrograph.peakRateFactor: expected a number of 50 or more and of 1000 or less, got 10",
      ].join("\n  "),
    );
  });
});

describe("a cascade of linear reservoirs", () => {
  test("of one answers a step of 0.01 m3/s with 0.01 (1 - e^(-t/K)) and then recedes (derived)", () => {
    // K 1800 s: O(1800) = 0.0063212056; an hour later e^-2 = 0.1353352832 of it is left.
    const rain = hyetograph({ time: [0, 1800], depth: [0.01 * 1800] });
    const q = respond(rain, 1, reservoirCascade({ count: 1, storageConstant: 1800, step: 60 }));
    const at = (time: number): number => tableValue(q.time, q.flow, time);
    // the response ends where a millionth is left and is scaled by that
    expect(Math.abs(at(1800) / 0.0063212056 - 1)).toBeLessThan(2e-6);
    expect(Math.abs(at(5400) / at(1800) / 0.1353352832 - 1)).toBeLessThan(1e-9);
  });

  test("of one follows a triangle of inflow (derived: peak 0.0033640687 m3/s at 1497.234 s)", () => {
    // 0.01 m3/s up in 900 s and down in 900 s, as steps of 10 s at their means: a second-order replacement
    const edges = Array.from({ length: 181 }, (_, i) => i * 10);
    const inflow = (t: number): number => 0.01 * (1 - Math.abs(t - 900) / 900);
    const rain = hyetograph({ time: edges, depth: edges.slice(1).map((t) => 10 * inflow(t - 5)) });
    const q = respond(rain, 1, reservoirCascade({ count: 1, storageConstant: 1800, step: 10 }));
    const peak = Math.max(...q.flow);
    expect(Math.abs(peak / 0.0033640687 - 1)).toBeLessThan(1e-4);
    expect(Math.abs(q.time[q.flow.indexOf(peak)]! - 1497.234)).toBeLessThanOrEqual(10);
    expect(Math.abs(tableValue(q.time, q.flow, 900) / 0.0021306132 - 1)).toBeLessThan(1e-4);
    expect(Math.abs(tableValue(q.time, q.flow, 1800) / 0.0030963624 - 1)).toBeLessThan(1e-4);
  });

  test("delays the water by n K in the mean", () => {
    const { step, rate } = reservoirCascade({ count: 3, storageConstant: 600, step: 20 });
    const mean = rate.reduce((sum, q, k) => sum + q * step * k * step, 0);
    // half a step of the rain it answers comes on top; the cut tail takes a little off
    expect(Math.abs(mean - (3 * 600 + step / 2))).toBeLessThan(0.1);
  });

  test("refuses half a reservoir", () => {
    expect(() => reservoirCascade({ count: 1.5, storageConstant: 600 })).toThrow(
      "reservoirCascade.count: expected a whole number, got 1.5",
    );
  });
});

describe("laws of unit responses", () => {
  const responses = fc.oneof(
    fc
      .record({ timeOfConcentration: thousandths(60, 7200), peakRateFactor: fc.constantFrom(484, 150, 300, 600) })
      .map(unitHydrograph),
    fc.record({ count: fc.integer({ min: 1, max: 5 }), storageConstant: thousandths(60, 3600) }).map(reservoirCascade),
  );

  test("the water is kept to round-off and no flow is below 0", () => {
    fc.assert(
      fc.property(rains, responses, thousandths(1, 1000), (rain, response, area) => {
        const q = respond(rain, area, response);
        const expected = area * totalDepth(rain);
        expect(Math.abs(hydrographVolume(q) - expected)).toBeLessThanOrEqual(1e-12 * expected);
        expect(Math.min(...q.flow)).toBeGreaterThanOrEqual(0);
      }),
    );
  });

  test("splitting an interval changes nothing", () => {
    fc.assert(
      fc.property(splitRains, responses, ({ whole, split }, response) => {
        const [one, two] = [respond(whole, 1, response), respond(split, 1, response)];
        expect(two.time).toEqual(one.time);
        const peak = Math.max(...one.flow);
        two.flow.forEach((q, i) => expect(Math.abs(q - one.flow[i]!)).toBeLessThanOrEqual(1e-11 * peak));
      }),
    );
  });

  test("rain that falls later runs off later and otherwise alike", () => {
    fc.assert(
      fc.property(rains, responses, fc.integer({ min: 1, max: 100000 }), (rain, response, shift) => {
        const now = respond(rain, 1, response);
        const later = respond(hyetograph({ time: rain.time.map((t) => t + shift), depth: rain.depth }), 1, response);
        expect(later.flow.length).toBe(now.flow.length);
        const peak = Math.max(...now.flow);
        later.flow.forEach((q, i) => expect(Math.abs(q - now.flow[i]!)).toBeLessThanOrEqual(1e-9 * peak));
        later.time.forEach((t, i) => expect(Math.abs(t - now.time[i]! - shift)).toBeLessThanOrEqual(1e-9 * t));
      }),
    );
  });
});
