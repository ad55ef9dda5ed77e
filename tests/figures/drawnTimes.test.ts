import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { drawnTimes } from "../../lib/figures/drawnTimes.ts";

/** The line through the drawn points, at a time between them. */
function line(times: readonly number[], value: (time: number) => number, at: number): number {
  const next = Math.max(1, times.findIndex((time) => time >= at));
  const [from, to] = [times[next - 1]!, times[next]!];
  return value(from) + ((at - from) / (to - from)) * (value(to) - value(from));
}

describe("the times a curve is drawn at", () => {
  test("keep a line within its tolerance of smooth curves", () => {
    const upTo = (max: number): fc.Arbitrary<number> => fc.double({ min: 0, max, noNaN: true });
    const wave = fc.record({ rate: upTo(12), phase: upTo(6) });
    fc.assert(fc.property(fc.array(wave, { minLength: 1, maxLength: 3 }), (waves) => {
      const curves = waves.map(({ rate, phase }) => (time: number): number => Math.sin(rate * time + phase));
      // Knots as a solver would leave them: closer where the curve turns faster.
      const knots = Array.from({ length: 41 }, (_, i) => i / 40);
      const times = drawnTimes(curves, knots, { tolerance: 0.01 });
      expect(times.length).toBeLessThanOrEqual(600);
      for (const curve of curves) {
        for (let i = 0; i <= 500; i++) expect(Math.abs(line(times, curve, i / 500) - curve(i / 500))).toBeLessThan(0.01);
      }
    }));
  });

  test("rise, begin and end with the knots, and are never more than asked for", () => {
    const jagged = (time: number): number => (Math.floor(time) % 2 === 0 ? time % 1 : 1 - (time % 1));
    const knots = Array.from({ length: 2001 }, (_, i) => i);
    const times = drawnTimes([jagged, (time) => Math.sin(time * 2.1)], knots, { tolerance: 1e-6, points: 200 });
    expect(times.length).toBeLessThanOrEqual(200);
    expect([times[0], times.at(-1)]).toEqual([0, 2000]);
    times.slice(1).forEach((time, i) => expect(time).toBeGreaterThan(times[i]!));
  });

  test("keep both sides of a jump", () => {
    const step = (time: number): number => (time < 3600 ? 0 : 1);
    const times = drawnTimes([step], [0, 3599.999, 3600, 7200], { tolerance: 0.01 });
    const after = times.findIndex((time) => time >= 3600);
    expect(times[after]! - times[after - 1]!).toBeLessThan(0.0011);
  });

  test("are evenly spaced where nothing happens, so that a pointer finds one", () => {
    const times = drawnTimes([() => 1], [0, 1000], { tolerance: 0.01, points: 40 });
    expect(times.length).toBe(11);
    times.slice(1).forEach((time, i) => expect(time - times[i]!).toBeCloseTo(100, 9));
  });
});
