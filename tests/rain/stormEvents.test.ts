import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { cumulativeDepth } from "../../lib/rain/cumulativeDepth.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { hyetograph } from "../../lib/rain/hyetograph.ts";
import { greatestDepth } from "../../lib/rain/storms/greatestDepth.ts";
import { rainBetween } from "../../lib/rain/rainBetween.ts";
import { stormEvents } from "../../lib/rain/stormEvents.ts";
import { rains, thousandths, totalDepth } from "../runoff/rains.ts";

describe("storm events", () => {
  test("are told in figures", () => {
    const record = hyetograph({ time: [0, 100, 200, 300, 1300, 1400], depth: [0, 0.001, 0.003, 0, 0.002] });
    expect(stormEvents(record, 1000)).toEqual([
      { start: 100, end: 300, depth: 0.004, meanIntensity: 0.004 / 200, peakIntensity: 3e-5, dryBefore: 100 },
      { start: 1300, end: 1400, depth: 0.002, meanIntensity: 2e-5, peakIntensity: 2e-5, dryBefore: 1000 },
    ]);
  });

  test("have all the record's rain between them", () => {
    fc.assert(
      fc.property(rains, thousandths(60, 20000), (rain, dryTime) => {
        const sum = stormEvents(rain, dryTime).reduce((depth, event) => depth + event.depth, 0);
        expect(sum).toBeCloseTo(totalDepth(rain), 12);
      }),
    );
  });
});

describe("rain between two moments", () => {
  test("starts at 0 and covers them, beyond the record too", () => {
    const record = hyetograph({ time: [100, 200, 300], depth: [0.001, 0.004] });
    expect(rainBetween(record, 150, 250)).toEqual(hyetograph({ time: [0, 50, 100], depth: [0.0005, 0.002] }));
    expect(rainBetween(record, 0, 400)).toEqual(hyetograph({ time: [0, 100, 200, 300, 400], depth: [0, 0.001, 0.004, 0] }));
    expect(rainBetween(record, 500, 600)).toEqual(hyetograph({ time: [0, 100], depth: [0] }));
  });
});

describe("the greatest depth in a duration", () => {
  test.each([
    // largest half hour, hour and six hours of NRCS type II in the tenth-hour set, recomputed in Python
    [0.5, 0.38, 11.5],
    [1, 0.45368, 11.4],
    [6, 0.70662, 8.9],
  ])("over %s h of type II is %s of the day", (hours, share, start) => {
    const found = greatestDepth(designStorm({ pattern: "nrcs-ii", depth: "1 m" }), hours * 3600);
    expect(found.depth).toBeCloseTo(share, 9);
    expect(found.start / 3600).toBeCloseTo(start, 9);
  });

  test("is no less than any window's, and one window's own", () => {
    fc.assert(
      fc.property(rains, thousandths(60, 40000), thousandths(0, 1), (rain, duration, place) => {
        const end = rain.time[rain.depth.length]!;
        const { depth, start } = greatestDepth(rain, duration);
        const within = (from: number): number => totalDepth(rainBetween(rain, from, from + duration));
        expect(within(start)).toBeCloseTo(depth, 12);
        expect(within(place * end)).toBeLessThanOrEqual(depth + 1e-12);
        expect(depth).toBeLessThanOrEqual(cumulativeDepth(rain)[rain.depth.length]! + 1e-12);
      }),
    );
  });
});
