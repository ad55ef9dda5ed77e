import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { hydrograph, type Hydrograph } from "../../lib/runoff/hydrograph.ts";
import { hydrographVolume } from "../../lib/runoff/hydrographVolume.ts";
import { straightened } from "../../lib/runoff/straightened.ts";
import { sumHydrographs } from "../../lib/runoff/sumHydrographs.ts";
import { thousandths } from "./rains.ts";

function points({ time, flow }: Hydrograph): [number, number][] {
  return [...time].map((t, i) => [t, flow[i]!]);
}

describe("a sum of hydrographs", () => {
  test("has the corners of all, and the jumps of each", () => {
    const triangle = hydrograph({ time: [0, 60, 120], flow: [0, 6, 0] });
    const block = hydrograph({ time: [30, 90], flow: [2, 2] });
    expect(points(sumHydrographs([triangle, block]))).toEqual([[0, 0], [30, 3], [30, 5], [60, 8], [90, 5], [90, 3], [120, 0]]);
  });

  test("takes times that differ by rounding for one", () => {
    const one = hydrograph({ time: [0, 0.1 + 0.2, 1], flow: [0, 1, 0] });
    const two = hydrograph({ time: [0, 0.3, 1], flow: [0, 1, 0] });
    expect(sumHydrographs([one, two]).time.length).toBe(3);
  });

  test("carries the water of all, whatever their jumps", () => {
    const flows = fc
      .array(fc.tuple(fc.integer({ min: 0, max: 50 }), thousandths(0, 5)), { minLength: 2, maxLength: 12 })
      .map((steps) => {
        let [at, alike] = [0, 0];
        const time = steps.map(([step]) => {
          alike = step === 0 ? alike + 1 : 0;
          return (at += alike > 1 ? 1 : step);
        });
        return hydrograph({ time, flow: steps.map(([, flow]) => flow) });
      });
    fc.assert(
      fc.property(fc.array(flows, { minLength: 1, maxLength: 4 }), (parts) => {
        const volume = parts.reduce((sum, part) => sum + hydrographVolume(part), 0);
        const whole = sumHydrographs(parts);
        expect(hydrographVolume(whole)).toBeCloseTo(volume, 9);
        expect(hydrographVolume(straightened(whole))).toBeCloseTo(volume, 9);
      }),
    );
  });
});

describe("a straightened hydrograph", () => {
  test("has no corner in the middle of a line, and keeps its ends and jumps", () => {
    const flow = hydrograph({ time: [0, 1, 2, 3, 3, 4, 5, 6], flow: [0, 1, 2, 3, 1, 1, 1, 0] });
    expect(points(straightened(flow))).toEqual([[0, 0], [3, 3], [3, 1], [5, 1], [6, 0]]);
  });

  test("keeps a bend that grows a little at a time", () => {
    // Each corner bends by less than the one tolerance would see at its own step, all of them together do not.
    const count = 4000;
    const time = Array.from({ length: count + 1 }, (_, i) => i);
    const bend = hydrograph({ time, flow: time.map((t) => 1 + 1e-18 * t * t) });
    const kept = straightened(bend);
    for (let i = 1; i < kept.time.length; i++) {
      const [from, to] = [kept.time[i - 1]!, kept.time[i]!];
      const middle = (kept.flow[i - 1]! + kept.flow[i]!) / 2;
      expect(Math.abs(middle - (1 + 1e-18 * ((from + to) / 2) ** 2))).toBeLessThan(3e-13);
    }
  });
});
