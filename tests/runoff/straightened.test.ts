import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { hydrograph, type Hydrograph } from "../../lib/runoff/hydrograph.ts";
import { gathered } from "../../lib/runoff/straightened.ts";

/** A hydrograph of straight lines with jumps, and what has run in by a time: exact, since a line's volume is a parabola. */
const hydrographs = fc.array(
  fc.record({ step: fc.constantFrom(0, 10, 60, 300, 3600), flow: fc.integer({ min: -20, max: 400 }) }), { minLength: 2, maxLength: 60 },
).map((points) => {
  const time: number[] = [];
  let [t, stood] = [0, 0];
  for (const { step } of points) {
    stood = step === 0 ? stood + 1 : 0;
    t += stood > 1 ? 10 : step;
    if (stood > 1) stood = 0;
    time.push(t);
  }
  return hydrograph({ time, flow: points.map(({ flow }) => flow / 1e5) });
});

/** [m3] by a time; `from` is where a jump's later flow holds */
function broughtBy({ time, flow }: Hydrograph, until: number): number {
  let volume = 0;
  for (let i = 1; i < time.length && time[i - 1]! < until; i++) {
    const step = time[i]! - time[i - 1]!;
    if (step === 0) continue;
    const part = Math.min(1, (until - time[i - 1]!) / step);
    volume += part * step * (flow[i - 1]! + (part * (flow[i]! - flow[i - 1]!)) / 2);
  }
  return volume;
}

describe("an inflow of fewer corners", () => {
  test("has brought as much at any time, but for what is allowed, and as much in all", () => {
    fc.assert(fc.property(hydrographs, fc.constantFrom(1e-6, 1e-4, 1e-2), (inflow, allowed) => {
      const fewer = gathered(inflow, allowed);
      const end = inflow.time.at(-1)!;
      expect(fewer.time[0]).toBe(inflow.time[0]);
      expect(fewer.time.at(-1)).toBe(end);
      for (let i = 0; i <= 1000; i++) {
        const time = (i / 1000) * end;
        expect(Math.abs(broughtBy(fewer, time) - broughtBy(inflow, time))).toBeLessThanOrEqual(allowed + 1e-12);
      }
      expect(Math.abs(broughtBy(fewer, end) - broughtBy(inflow, end))).toBeLessThan(1e-12);
      // nothing is taken out where nothing was
      if (inflow.flow.every((q) => q >= 0)) expect(Math.min(...fewer.flow)).toBeGreaterThanOrEqual(0);
    }));
  });

  // by hand: 1 L/s in the middle of 200 s is 0.1 m3; the even flow with the same volume, 0.5 L/s, leads or lags by 12.5 L at the quarters
  test("keeps a peak that is more than is allowed", () => {
    const peak = hydrograph({ time: [0, 100, 200], flow: [0, 0.001, 0] });
    expect(gathered(peak, 0.0124).flow).toEqual(peak.flow);
    expect([...gathered(peak, 0.0126).flow].map((q) => Number(q.toFixed(12)))).toEqual([0.0005, 0.0005]);
  });

  test("is the very same where nothing is allowed", () => {
    fc.assert(fc.property(hydrographs, (inflow) => {
      expect(gathered(inflow, 0)).toEqual(inflow);
    }));
  });

  test("takes a bell of a hundred lines for a few", () => {
    const time = Array.from({ length: 101 }, (_, i) => 60 * i);
    const bell = hydrograph({ time, flow: time.map((t) => 0.001 * Math.exp(-(((t - 3000) / 900) ** 2))) });
    const fewer = gathered(bell, 1e-3);
    expect(new Set(fewer.time).size).toBeLessThan(20);
    expect(Math.max(...fewer.flow)).toBeCloseTo(0.001, 4);
  });
});
