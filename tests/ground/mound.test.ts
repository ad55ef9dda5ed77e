import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { moundConvolution } from "../../lib/ground/mound/moundConvolution.ts";
import { moundModes, type MoundModes } from "../../lib/ground/mound/moundModes.ts";
import { moundResponse } from "../../lib/ground/mound/moundResponse.ts";
import { moundRise, moundRiseLinear, type MoundRiseOptions } from "../../lib/ground/mound/moundRise.ts";
import { expectAllClose, expectClose } from "../closeTo.ts";
import type { MoundPit } from "../../lib/ground/mound/moundPit.ts";
import { shareOf } from "../share.ts";

const FOOT = 0.3048;
const DAY = 86400;

// USGS SIR 2010-5102 (Carleton 2010), verification example p. 22-25, table 5
const USGS: MoundRiseOptions = {
  rechargeRate: (1.333 * FOOT) / DAY, halfLength: 33.63 * FOOT, halfWidth: 33.63 * FOOT, hydraulicConductivity: (4 * FOOT) / DAY,
  thickness: 10 * FOOT, specificYield: 0.085, time: 1.5 * DAY, x: 0, y: 0,
};

/** Rise of the modes under a recharge that is straight between its points, each mode integrated exactly. */
function modesRise(modes: MoundModes, point: number, time: readonly number[], rate: readonly number[], at: number): number {
  const count = modes.timeConstants.length;
  return modes.timeConstants.reduce((rise, constant, k) => {
    let state = 0;
    for (let i = 1; i < time.length && time[i - 1]! < at; i++) {
      const [from, to] = [time[i - 1]!, Math.min(time[i]!, at)];
      if (time[i] === from) continue;
      const slope = (rate[i]! - rate[i - 1]!) / (time[i]! - from);
      const antiderivative = (moment: number): number =>
        Math.exp(-(at - moment) / constant) * constant * (rate[i - 1]! + slope * (moment - from) - slope * constant);
      state += antiderivative(to) - antiderivative(from);
    }
    return rise + modes.coefficients[point * count + k]! * state;
  }, 0);
}

describe("Hantush's mound", () => {
  // rise [ft] at x [ft] in the table's first column; where the table is sound, so without the 0.01 it prints at 150 and 200 ft
  test.each([
    [0, 12.63], [0.3, 12.63], [3.3, 12.6], [6.6, 12.5], [10, 12.32], [20, 11.31], [25, 10.49], [30, 9.41], [40, 6.63], [50, 4.29],
    [75, 1.07], [100, 0.19],
  ])("at %f ft is %f ft high: USGS SIR 2010-5102", (x_ft, rise_ft) => {
    expectClose(moundRise({ ...USGS, x: x_ft * FOOT }) / FOOT, rise_ft, { absolute: 0.01, because: "the table's own reading of S*" });
  });

  test("is 3.850564 m at the centre (recomputed by adaptive quadrature, derived)", () => {
    expectClose(moundRise(USGS), 3.85056409, { absolute: 5e-9, because: "digits derived" });
  });

  test("comes to the linear law where the rise is small", () => {
    const small = { ...USGS, rechargeRate: USGS.rechargeRate / 1e4, x: 3 };
    expectClose(moundRise(small), moundRiseLinear(small), { relative: 1e-3, because: "rise over thickness" });
  });

  test("at first lifts the water under the pit by w t/Sy", () => {
    const early = { ...USGS, time: 60 };
    expectClose(moundRise(early), (USGS.rechargeRate * 60) / 0.085, { relative: 1e-12, because: "nothing has flowed off" });
    expectClose(moundRiseLinear(early), (USGS.rechargeRate * 60) / 0.085, { relative: 1e-12, because: "nothing has flowed off" });
  });

  test("has all its problems named at once", () => {
    const wrong = { ...USGS, halfWidth: 0, specificYield: 1.2, rechargeRate: -1, tme: 3 } as unknown as MoundRiseOptions;
    expect(() => moundRise(wrong)).toThrow([
      "The mound cannot be computed:",
      "moundRise.halfWidth: expected a number of 0.001 or more and of 1000000 or less, got 0",
      "moundRise.specificYield: expected a number of 0.0001 or more and of 1 or less, got 1.2",
      "moundRise.rechargeRate: expected a number of 0 or more and of 1 or less, got -1",
      'moundRise.tme: expected no such key (did you mean "time"?), got 3',
    ].join("\n  "));
  });
});

describe("the ends of what may be asked", () => {
  test("give a finite rise, 0 or more", () => {
    const size = fc.constantFrom(1e-3, 1, 1e6);
    const offset = fc.constantFrom(-1e6, 0, 1e-3, 1, 1e6);
    const ends = fc.record({
      halfLength: size, halfWidth: size, thickness: size, x: offset, y: offset,
      hydraulicConductivity: fc.constantFrom(1e-12, 1e-4, 1e3), specificYield: fc.constantFrom(1e-4, 0.2, 1),
      rechargeRate: fc.constantFrom(0, 1e-12, 1e-5, 1), time: fc.constantFrom(0, 1e-9, 1, 1e6, 1e12),
    });
    fc.assert(fc.property(ends, (asked) => {
      for (const rise of [moundRise(asked), moundRiseLinear(asked)]) {
        expect(rise).toBeGreaterThanOrEqual(0);
        expect(rise).toBeLessThan(Infinity);
      }
    }), { seed: 60, numRuns: shareOf(5000) });
  });
});

const pits: fc.Arbitrary<MoundPit> = fc.record({
  halfLength: fc.double({ min: 0.5, max: 30, noNaN: true }),
  halfWidth: fc.double({ min: 0.5, max: 30, noNaN: true }),
  hydraulicConductivity: fc.double({ min: -7, max: -3, noNaN: true }).map((power) => 10 ** power),
  thickness: fc.double({ min: 0.5, max: 30, noNaN: true }),
  specificYield: fc.double({ min: 0.02, max: 0.35, noNaN: true }),
});
const places = fc.record({ x: fc.double({ min: -60, max: 60, noNaN: true }), y: fc.double({ min: -60, max: 60, noNaN: true }) });
const times = fc.double({ min: 2, max: 7.5, noNaN: true }).map((power) => 10 ** power);
const factors = fc.double({ min: 1, max: 4, noNaN: true });
const rates = fc.double({ min: 0, max: 1e-5, noNaN: true });

describe("laws of mounds", () => {
  test("the rise falls with distance from the centre", () => {
    fc.assert(fc.property(pits, places, times, rates, factors, (pit, { x, y }, time, rechargeRate, farther) => {
      for (const rise of [moundRise, moundRiseLinear]) {
        const near = rise({ ...pit, x, y, time, rechargeRate });
        const far = rise({ ...pit, x: farther * x, y: farther * y, time, rechargeRate });
        expect(far).toBeLessThanOrEqual(near + 1e-10 * (1 + near));
      }
    }), { seed: 61 });
  });

  test("the rise is the same on all four sides, and for a pit turned by a quarter", () => {
    fc.assert(fc.property(pits, places, times, (pit, { x, y }, time) => {
      const rise = moundRise({ ...pit, x, y, time, rechargeRate: 1e-6 });
      const turned = { ...pit, halfLength: pit.halfWidth, halfWidth: pit.halfLength, x: y, y: x };
      for (const other of [{ ...pit, x: -x, y }, { ...pit, x, y: -y }, turned]) {
        expectClose(moundRise({ ...other, time, rechargeRate: 1e-6 }), rise, { relative: 1e-9, absolute: 1e-12, because: "order of the sums" });
      }
    }), { seed: 62 });
  });

  test("a longer and a stronger recharge never lower the mound", () => {
    fc.assert(fc.property(pits, places, times, rates, factors, (pit, place, time, rechargeRate, more) => {
      const rise = moundRise({ ...pit, ...place, time, rechargeRate });
      expect(moundRise({ ...pit, ...place, time: more * time, rechargeRate })).toBeGreaterThanOrEqual(rise * (1 - 1e-10) - 1e-12);
      expect(moundRise({ ...pit, ...place, time, rechargeRate: more * rechargeRate })).toBeGreaterThanOrEqual(rise * (1 - 1e-10) - 1e-12);
    }), { seed: 63 });
  });

  test("linear rises add up, over recharges and over the halves of a pit", () => {
    fc.assert(fc.property(pits, places, times, (pit, { x, y }, time) => {
      const whole = moundRiseLinear({ ...pit, x, y, time, rechargeRate: 3e-6 });
      const close = { relative: 1e-9, absolute: 1e-9, because: "order of the sums" };
      const [more, less] = [5e-6, -2e-6].map((rechargeRate) => moundRiseLinear({ ...pit, x, y, time, rechargeRate }));
      expectClose(more! + less!, whole, close);
      const half = { ...pit, halfLength: pit.halfLength / 2, y, time, rechargeRate: 3e-6 };
      const halves = [x - pit.halfLength / 2, x + pit.halfLength / 2].map((offset) => moundRiseLinear({ ...half, x: offset }));
      expectClose(halves[0]! + halves[1]!, whole, close);
    }), { seed: 64 });
  });

  test("the response is 1/Sy under the pit at first, half on its side, a quarter at its corner, and nothing outside", () => {
    const pit = { halfLength: 4, halfWidth: 2, hydraulicConductivity: 1e-5, thickness: 5, specificYield: 0.2 };
    const somePoints = [{ x: 0, y: 0 }, { x: 3, y: -1 }, { x: 4, y: 0 }, { x: -4, y: 2 }, { x: 5, y: 0 }];
    expect(somePoints.map((point) => moundResponse(pit, point, 0))).toEqual([5, 5, 2.5, 1.25, 0]);
  });
});

describe("the exact convolution", () => {
  test("under steady recharge is the linear rise", () => {
    fc.assert(fc.property(pits, places, times, (pit, place, time) => {
      const [rise] = moundConvolution({ ...pit, ...place, time: [0, 2 * time], rechargeRate: [1e-6, 1e-6], at: [time] });
      const linear = moundRiseLinear({ ...pit, ...place, time, rechargeRate: 1e-6 });
      expectClose(rise!, linear, { relative: 1e-8, absolute: 1e-11, because: "quadrature" });
    }), { seed: 65, numRuns: shareOf(200) });
  });

  test("does not depend on where its pieces are cut", () => {
    const pit = { halfLength: 4, halfWidth: 2, hydraulicConductivity: 2.5e-5, thickness: 6, specificYield: 0.14, x: 5, y: 1 };
    const at = [1800, 7200, 20000, 90000];
    const whole = moundConvolution({ ...pit, time: [0, 7200, 7200], rechargeRate: [0, 4e-5, 0], at });
    const cut = moundConvolution({ ...pit, time: [0, 1000, 1000, 7200], rechargeRate: [0, 4e-5 / 7.2, 4e-5 / 7.2, 4e-5], at });
    const pairs = Array.from(whole, (rise, i) => ({ what: `at ${at[i]} s`, value: cut[i]!, expected: rise }));
    expectAllClose(pairs, { relative: 1e-9, because: "quadrature" });
  });

  test("refuses series that do not go together", () => {
    const pit = { halfLength: 4, halfWidth: 2, hydraulicConductivity: 2.5e-5, thickness: 6, specificYield: 0.14, x: 5, y: 1 };
    expect(() => moundConvolution({ ...pit, time: [0, 9, 5], rechargeRate: [0, NaN], at: [1] })).toThrow([
      "The mound cannot be computed:",
      "moundConvolution.rechargeRate[1]: expected a number, got NaN",
      "moundConvolution.rechargeRate: expected one for each time (3), got 2",
      "moundConvolution.time[2]: expected 9 s or more, the time before, got 5",
    ].join("\n  "));
  });
});

describe("the mound's modes", () => {
  // a bank of 8 x 4 m in sand over clay, as in the reference run below
  const pit: MoundPit = { halfLength: 4, halfWidth: 2, hydraulicConductivity: 2.2 / DAY, thickness: 6, specificYield: 0.14 };
  const points = [{ x: 0, y: 0 }, { x: 6.5, y: 0 }, { x: 4.02, y: 0 }, { x: 4, y: 2 }, { x: 30, y: -12 }];

  test("are about twenty for a storm of days, with coefficients that do not cancel", () => {
    const modes = moundModes({ ...pit, points: points.slice(0, 2), until: 6 * DAY });
    expect(modes.timeConstants.length).toBeLessThanOrEqual(24);
    expect(modes.coefficients).toHaveLength(2 * modes.timeConstants.length);
    expect(Math.max(...modes.coefficients.map(Math.abs))).toBeLessThan(10);
    expect(Math.max(...modes.errors)).toBeLessThan(5e-5 * DAY);
  });

  test("start at min(a, c)^2/(40 nu) and end at 20 times the run", () => {
    const { timeConstants } = moundModes({ ...pit, points: [{ x: 0, y: 0 }], until: 6 * DAY });
    const shortest = 4 / (40 * ((2.2 / DAY) * 6 / 0.14));
    expectClose(timeConstants[0]!, shortest, { relative: 1e-12, because: "round-off" });
    expectClose(timeConstants.at(-1)!, 120 * DAY, { relative: 1e-12, because: "round-off" });
  });

  test("rise as the exact convolution does, within 0.1 mm under metres a day that come and go", () => {
    const modes = moundModes({ ...pit, points, until: 6 * DAY });
    const time = [0, 3600, 3600, 20000, 50000, 50000, 86400, 200000, 500000];
    const rate = [0, 2e-5, 0, 0, 3e-5, 1e-5, 0, -3e-6, 0];
    const at = [1800, 3600, 5000, 20000, 50000, 60000, 100000, 300000, 500000];
    expectAllClose(points.flatMap((point, p) => {
      const exact = moundConvolution({ ...pit, ...point, time, rechargeRate: rate, at });
      return at.map((moment, i) => ({ what: `x ${point.x} at ${moment} s`, value: modesRise(modes, p, time, rate, moment), expected: exact[i]! }));
    }), { absolute: 1e-4, because: "the modes' own promise" });
  });

  test("keep to 1 mm per m/day, or 1e-5 of the rise, for any pit and place and run", () => {
    const runs = fc.double({ min: 3.6, max: 7.5, noNaN: true }).map((power) => 10 ** power);
    fc.assert(fc.property(pits, fc.array(places, { minLength: 1, maxLength: 2 }), runs, (anyPit, some, until) => {
      const beside = { x: anyPit.halfLength + 0.05, y: 0 };
      const asked = [{ x: 0, y: 0 }, beside, ...some];
      const modes = moundModes({ ...anyPit, points: asked, until });
      asked.forEach((point, p) => {
        const linear = (time: number): number => moundRiseLinear({ ...anyPit, ...point, time, rechargeRate: 1 });
        // for 1 m/s of recharge: 1 mm per m/day is 86.4 m
        const allowed = { absolute: Math.max(86.4, 1e-5 * linear(until)), relative: 1e-8, because: "the modes' own promise" };
        for (const share of [0.001, 0.03, 0.2, 1]) {
          const rise = modesRise(modes, p, [0, until], [1, 1], share * until);
          expectClose(rise, linear(share * until), allowed, `rise at ${point.x}, ${point.y} at ${share} of the run`);
        }
      });
    }), { seed: 66, numRuns: shareOf(200) });
  });

  test("refuse a run without length and a pit without points", () => {
    expect(() => moundModes({ ...pit, points: [], until: 0 })).toThrow([
      "The mound's modes cannot be computed:",
      "moundModes.points: expected a list of one or more, got an empty list",
      "moundModes.until: expected a number of 1 or more and of 1000000000000 or less, got 0",
    ].join("\n  "));
  });
});
