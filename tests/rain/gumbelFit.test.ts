import { describe, expect, test } from "vitest";
import { gumbelFit } from "../../lib/rain/storms/gumbelFit.ts";

/** Annual maxima [mm] at Uccle (Brussels), 1938-1972: data set `uccle` of the R package evd 2.3-6.1. */
const UCCLE = {
  "1 min": [
    2.5, 1, 0.5, 0.9, 1.5, 4.4, 1, 3, 3.3, 2, 1.8, 1, 2, 4, 2, 1, 2, 1.6,
    3, 1.6, 2, 1.2, 2, 1.5, 2.9, 3.7, 2.7, 2, 2.9, 3, 2.1, 2.3, 2.2, 1.6, 2.8,
  ],
  "10 min": [
    6.5, 8.5, 5, 8.4, 13.2, 11.9, 3.8, 13, 11.1, 13, 6.5, 5.7, 13.3, 12.2, 8.4, 5, 6.9, 6.2,
    8.5, 9.8, 5.5, 9.8, 9.5, 11.5, 12.7, 9, 13, 12.2, 9.5, 11.9, 8.3, 15.3, 13.8, 7, 8.7,
  ],
  "1 h": [
    14, 12.8, 12.9, 11.9, 20.6, 29.1, 6.2, 21.1, 11.2, 18, 15.6, 8.7, 23.8, 12.2, 29, 9.9, 12.5, 9.6,
    18.8, 12, 12, 11.6, 15.3, 19.2, 42.8, 13, 15.7, 15.4, 14.3, 13.1, 14.9, 25.8, 17.1, 21.2, 16.3,
  ],
  "1 day": [
    33.8, 27.7, 60, 24, 72.3, 50.7, 18.7, 41.2, 26.6, 27.2, 23.8, 19.8, 34.3, 28.2, 51.1, 37.5, 34.3, 22.2,
    35.6, 34.2, 24.3, 20.3, 48, 32.4, 59.6, 60.4, 27, 45.8, 39.8, 21.6, 19.7, 54.4, 29.1, 41.6, 26,
  ],
} as const;

describe("a Gumbel fit", () => {
  test.each([
    // recomputed independently (method of moments) at T = 2, 5, 10, 30, 50, 100 years [mm]
    ["1 min", [1.991, 2.806, 3.345, 4.16, 4.532, 5.034]],
    ["10 min", [9.062, 11.74, 13.512, 16.191, 17.413, 19.062]],
    ["1 h", [15.342, 21.585, 25.717, 31.962, 34.813, 38.658]],
    ["1 day", [33.518, 45.826, 53.975, 66.288, 71.909, 79.491]],
  ] as const)("of the Uccle maxima of %s by moments", (duration, depths_mm) => {
    const fit = gumbelFit({ unit: "mm", maxima: UCCLE[duration] });
    [2, 5, 10, 30, 50, 100].forEach((period, i) => {
      expect(Math.abs(fit.depth(period) * 1000 - depths_mm[i]!)).toBeLessThan(0.0006);
    });
  });

  test("by L-moments finds a Gumbel distribution again from its own quantiles", () => {
    // Quantiles at plotting positions of a known distribution: u 30 mm, a 10 mm; 2000 of them leave the tails' share.
    const maxima = Array.from({ length: 2000 }, (_, i) => 30 - 10 * Math.log(-Math.log((i + 0.5) / 2000)));
    for (const method of ["moments", "l-moments"] as const) {
      const fit = gumbelFit({ unit: "mm", maxima, method });
      expect(Math.abs(fit.location / 0.03 - 1)).toBeLessThan(0.01);
      expect(Math.abs(fit.scale / 0.01 - 1)).toBeLessThan(0.01);
    }
  });

  test("by L-moments gives l2 / ln 2 for the scale: five values by hand", () => {
    // b1 = (0*1 + 1/4*2 + 2/4*3 + 3/4*4 + 1*10) / 5 = 3, mean 4, l2 = 2 (derived)
    const fit = gumbelFit({ unit: "m", maxima: [3, 10, 1, 2, 4], method: "l-moments" });
    expect(fit.scale).toBeCloseTo(2 / Math.LN2, 12);
    expect(fit.location).toBeCloseTo(4 - (0.5772156649015329 * 2) / Math.LN2, 12);
  });

  test.each(["moments", "l-moments"] as const)("by %s has a 90 percent band that holds the truth in about 90 of 100 records", (method) => {
    // 1500 records of 35 years from a seeded generator (mulberry32); sampling alone moves the share by 0.8 percent (1 sd), and
    // the band is asymptotic, so 3 percent below and above.
    const random = mulberry32(20261125);
    const truth = 30 - 10 * Math.log(-Math.log(0.9));
    let held = 0;
    for (let record = 0; record < 1500; record++) {
      const maxima = Array.from({ length: 35 }, () => Math.max(0, 30 - 10 * Math.log(-Math.log(random()))));
      const { low, high } = gumbelFit({ unit: "mm", maxima, method }).band(10);
      if (truth / 1000 >= low && truth / 1000 <= high) held++;
    }
    expect(Math.abs(held / 1500 - 0.9)).toBeLessThan(0.05);
  });

  test("has a wider band the surer it is to be, z 1.6449 for 90 percent and 1.96 for 95 (derived)", () => {
    const fit = gumbelFit({ unit: "mm", maxima: UCCLE["1 h"] });
    const reach = (confidence: number): number => fit.band(10, confidence).high - fit.depth(10);
    expect(reach(0.95) / reach(0.9)).toBeCloseTo(1.959963984540054 / 1.6448536269514722, 9);
    expect(reach(0.99) / reach(0.9)).toBeCloseTo(2.5758293035489004 / 1.6448536269514722, 9);
  });

  test("refuses what no record is", () => {
    expect(() => gumbelFit({ unit: "mm/h", maxima: [3, -1, NaN, 3] })).toThrow(
      [
        "The annual maxima cannot be fitted:",
        'gumbelFit.unit: expected a unit of depth such as "mm", got "mm/h"',
      ].join("\n  "),
    );
    expect(() => gumbelFit({ unit: "mm", maxima: [3, -1, 3] })).toThrow("gumbelFit.maxima: expected 5 years or more, got 3");
    expect(() => gumbelFit({ unit: "mm", maxima: [3, 3, 3, 3, 3] })).toThrow("gumbelFit.maxima: expected years that differ, got one value");
    expect(() => gumbelFit({ unit: "mm", maxima: UCCLE["1 h"] }).depth(1)).toThrow(RangeError);
  });
});

function mulberry32(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return (((t ^ (t >>> 14)) >>> 0) + 0.5) / 4294967296;
  };
}
