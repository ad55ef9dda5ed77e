import { describe, expect, test } from "vitest";
import { cumulativeDepth } from "../../lib/rain/cumulativeDepth.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { greatestDepth } from "../../lib/rain/storms/greatestDepth.ts";
import type { Hyetograph } from "../../lib/rain/hyetograph.ts";

const INCH = 0.0254;

function total(rain: Hyetograph): number {
  return cumulativeDepth(rain)[rain.depth.length]!;
}

/** i = 96.6 / (t^0.97 + 13.90) in/h, t in min: Denver, ten years, as in Chow, Maidment & Mays Example 14.4.1. */
const DENVER = { form: "c/(t^e+f)", intensityUnit: "in/hr", timeUnit: "min", c: 96.6, e: 0.97, f: 13.9 } as const;

describe("the alternating-block storm", () => {
  const rows = (intensities: readonly number[]): Record<string, number[]> =>
    Object.fromEntries(intensities.map((i, k) => [`${k + 1} h`, [i]]));

  test.each([
    // HDS-2 (FHWA-NHI-02-001, 2nd ed. 2002) Example 6.6(SI) p. 6-36, read: Baltimore, mm/h for 1 to 6 h
    ["50 years", [76.2, 44.5, 33, 26.7, 22.6, 19.6], [6.2, 10, 76.2, 12.8, 7.8, 4.6]],
    ["2 years", [34.3, 20.8, 15.5, 12.7, 10.7, 9.1], [2.7, 4.9, 34.3, 7.3, 4.3, 1.1]],
  ])("of Baltimore for %s is that of HDS-2 Example 6.6", (_, intensities, printed_mm) => {
    const rainfall = { unit: "mm/h", returnPeriods: ["50 year"], rows: rows(intensities) };
    const storm = designStorm({ pattern: "alternating-block", duration: "6 h", interval: "1 h", rainfall });
    printed_mm.forEach((mm, i) => expect(Math.abs(storm.depth[i]! * 1000 - mm)).toBeLessThan(0.051));
  });

  test("cumulates as HDS-2 Example 6.6 prints it", () => {
    const rainfall = { unit: "mm/h", returnPeriods: ["50 year"], rows: rows([76.2, 44.5, 33, 26.7, 22.6, 19.6]) };
    const storm = designStorm({ pattern: "alternating-block", duration: "6 h", interval: "1 h", rainfall });
    const share = [...cumulativeDepth(storm)].map((depth) => depth / total(storm));
    [0, 0.053, 0.138, 0.786, 0.895, 0.961, 1].forEach((printed, i) => expect(Math.abs(share[i]! - printed)).toBeLessThan(0.0006));
  });

  test("of Denver over 2 h in 10-min blocks is that of Chow, Maidment & Mays Example 14.4.1 (from memory)", () => {
    const storm = designStorm({ pattern: "alternating-block", duration: "2 h", interval: "10 min", rainfall: DENVER });
    const remembered = [0.024, 0.033, 0.05, 0.084, 0.178, 0.693, 0.308, 0.117, 0.063, 0.04, 0.028, 0.021];
    remembered.forEach((inches, i) => expect(Math.abs(storm.depth[i]! / INCH - inches)).toBeLessThan(0.00055));
    expect(total(storm) / INCH).toBeCloseTo(1.639, 3);
  });

  test("nests: the richest run of k blocks has the place's depth for k intervals", () => {
    const storm = designStorm({ pattern: "alternating-block", duration: "2 h", interval: "10 min", rainfall: DENVER });
    const fallen = cumulativeDepth(storm);
    for (let k = 1; k <= 12; k++) {
      const richest = Math.max(...Array.from({ length: 13 - k }, (_, i) => fallen[i + k]! - fallen[i]!));
      const minutes = 10 * k;
      expect(richest / INCH).toBeCloseTo((96.6 / (minutes ** 0.97 + 13.9)) * (minutes / 60), 9);
    }
  });

  test.each([[0, 0], [0.25, 2], [0.75, 8], [1, 11]])("has its peak at %s of the duration in block %s", (peakAt, block) => {
    const storm = designStorm({ pattern: "alternating-block", duration: "2 h", interval: "10 min", rainfall: DENVER, peakAt });
    expect(storm.depth.indexOf(Math.max(...storm.depth))).toBe(block);
    expect(total(storm) / INCH).toBeCloseTo(1.639, 3);
  });

  test("asks for whole intervals", () => {
    const rainfall = DENVER;
    expect(() => designStorm({ pattern: "alternating-block", duration: "1 h", interval: "7 min", rainfall })).toThrow(
      'designStorm.interval: expected a whole part of the duration, 1 to 10000 of them, got "7 min"',
    );
  });
});

describe("the Keifer-Chu storm", () => {
  test("has the place's depth for its whole duration: 1.4425484444 in for an hour in Denver (derived)", () => {
    const storm = designStorm({ pattern: "keifer-chu", duration: "1 h", interval: "5 min", rainfall: DENVER, peakAt: 0.5 });
    expect(Math.abs(total(storm) / INCH - 1.4425484444)).toBeLessThan(1e-10);
    expect(Math.max(...storm.depth.map((d, i) => (i === 5 || i === 6 ? 0 : d)))).toBeLessThan(storm.depth[5]!);
  });

  test("follows c[(1 - e) t^e + f] / (t^e + f)^2 on both sides of its peak of c/f (derived)", () => {
    // Intensities [in/h] at 0, 5, ... 30 min before the peak, r = 0.5: 1-s intervals are an instant to 0.1 percent but at the
    // peak, where t^0.97 is steep.
    const storm = designStorm({ pattern: "keifer-chu", duration: "2 h", interval: "1 s", rainfall: DENVER, peakAt: 0.5 });
    const instant = [2.5378, 1.3477, 0.8459, 0.5854, 0.432, 0.3337];
    instant.forEach((intensity, i) => {
      const k = 3600 - 300 * (i + 1);
      const around = ((storm.depth[k - 1]! + storm.depth[k]!) / 2 / INCH) * 3600;
      const after = ((storm.depth[7199 - k]! + storm.depth[7200 - k]!) / 2 / INCH) * 3600;
      expect(Math.abs(around / intensity - 1)).toBeLessThan(0.001);
      expect(Math.abs(after / intensity - 1)).toBeLessThan(0.001);
    });
    expect(Math.abs((storm.depth[3600]! / INCH) * 3600 / 6.94964 - 1)).toBeLessThan(0.01);
  });

  test("takes a table as it takes an equation, down to the table's shortest duration", () => {
    const rainfall = { unit: "mm", returnPeriods: ["10 year"], rows: { "5 min": [8], "10 min": [12], "1 h": [25] } };
    const storm = designStorm({ pattern: "keifer-chu", duration: "1 h", interval: "5 min", rainfall });
    expect(total(storm)).toBeCloseTo(0.025, 14);
    expect(() => designStorm({ pattern: "keifer-chu", duration: "1 h", interval: "1 min", rainfall })).toThrow("does not cover the storm");
  });
});

describe("the nested day", () => {
  const rows = { "5 min": [11.3], "10 min": [17.1], "15 min": [21.1], "30 min": [29.1], "60 min": [38.7], "6 h": [60], "24 h": [80] };
  const rainfall = { unit: "mm", returnPeriods: ["10 year"], rows };
  const day = designStorm({ pattern: "nested", rainfall });

  test("has fallen 0.5 -+ r(d)/2 at 12 h -+ d/2", () => {
    const fallen = cumulativeDepth(day);
    for (const [name, [mm]] of Object.entries(rows)) {
      const seconds = Number.parseFloat(name) * (name.endsWith("h") ? 3600 : 60);
      [-1, 1].forEach((side) => {
        const at = day.time.findIndex((time) => Math.abs(time - (43200 + (side * seconds) / 2)) < 1e-6);
        expect(fallen[at]! * 1000).toBeCloseTo(80 * (0.5 + (side * (mm! / 80)) / 2), 10);
      });
    }
  });

  test("holds the table: the richest stretch of each of its durations has its depth", () => {
    expect(greatestDepth(day, 300).depth * 1000).toBeCloseTo(11.3, 10);
    expect(greatestDepth(day, 900).depth * 1000).toBeCloseTo(21.1, 10);
    expect(greatestDepth(day, 21600).depth * 1000).toBeCloseTo(60, 10);
    expect(greatestDepth(day, 86400).depth * 1000).toBeCloseTo(80, 10);
  });

  test("is the same by the table's ratios to its day", () => {
    const ratios = Object.fromEntries(Object.entries(rows).map(([name, [mm]]) => [name, mm! / 80]));
    const byRatio = designStorm({ pattern: "nested", depth: "80 mm", ratios });
    byRatio.depth.forEach((depth, i) => expect(Math.abs(depth - day.depth[i]!)).toBeLessThan(1e-15));
  });

  test("takes a region's published ratios by name, for a day", () => {
    const storm = designStorm({ pattern: "nested", depth: "100 mm", ratios: "nrcs-c" });
    // NRCS, NEH 630 chapter 4, figure 4-72, region C, as a stored program text has it
    for (const [minutes, share] of [[5, 0.105], [30, 0.308], [60, 0.409], [360, 0.672], [1440, 1]] as const) {
      expect(greatestDepth(storm, 60 * minutes).depth).toBeCloseTo(0.1 * share, 12);
    }
    expect(() => designStorm({ pattern: "nested", depth: "100 mm", ratios: "nrcs-c", duration: "12 h" })).toThrow(
      'designStorm.duration: expected 24 h, which the region’s ratios are of, got "12 h"');
    expect(() => designStorm({ pattern: "nested", depth: "100 mm", ratios: "nrcs-x" as never })).toThrow(
      `designStorm.ratios: expected ratios by duration, { "5 min": 0.1, "1 h": 0.42, ... }, or a region's: nrcs-a, nrcs-b, nrcs-c, nrcs-d, got "nrcs-x"`);
  });

  test("asks for ratios that rise and reach down to its interval", () => {
    const ratios = { "15 min": 0.3, "60 min": 0.2, "2 h": 1.2 };
    expect(() => designStorm({ pattern: "nested", depth: "80 mm", ratios })).toThrow([
      "The design storm cannot be made:",
      '  designStorm.ratios["2 h"]: expected a ratio above 0 and of 1 or less, got 1.2',
      '  designStorm.ratios["60 min"]: expected no less than at the duration before (0.3), got 0.2',
      "  designStorm.ratios: expected one for the interval, or for a shorter duration, got an object",
    ].join("\n"));
  });
});

describe("the second type of Euler", () => {
  // a published set of a town in Germany's manner: depths in mm; the 11.3 is to be the fourth of twelve blocks
  const rows = { "5 min": [11.3], "10 min": [17.1], "15 min": [21.1], "20 min": [24.3], "30 min": [29.1], "45 min": [34.4], "60 min": [38.7] };
  const storm = designStorm({ pattern: "euler-2", duration: "60 min", rainfall: { unit: "mm", returnPeriods: ["5 year"], rows } });
  const depths_mm = [...storm.depth].map((depth) => depth * 1000);

  test("puts the largest of twelve blocks fourth, the next three before it and all others after it, falling", () => {
    expect(depths_mm).toHaveLength(12);
    [3.2, 4, 5.8, 11.3].forEach((mm, i) => { expect(depths_mm[i]!).toBeCloseTo(mm, 10); });
    for (let i = 4; i < 12; i++) expect(depths_mm[i]!).toBeLessThanOrEqual(i === 4 ? 3.2 : depths_mm[i - 1]!);
    expect(total(storm) * 1000).toBeCloseTo(38.7, 10);
  });
});

describe("the profiles of the United Kingdom", () => {
  // y = (1 - a^(x^b))/(1 - a) worked by hand for the middle half and the middle tenth, a and b from memory
  test.each([
    ["uk-winter", [0.5, (1 - 0.06 ** (0.5 ** 1.026)) / 0.94], [0.1, (1 - 0.06 ** (0.1 ** 1.026)) / 0.94]],
    ["uk-summer", [0.5, (1 - 0.1 ** (0.5 ** 0.815)) / 0.9], [0.1, (1 - 0.1 ** (0.1 ** 0.815)) / 0.9]],
  ] as const)("%s has the shares of its formula in its middle", (pattern, half, tenth) => {
    const rain = designStorm({ pattern, depth: "100 mm", duration: "100 min", interval: "5 min" });
    for (const [x, y] of [half, tenth]) expect(greatestDepth(rain, 6000 * x).depth).toBeCloseTo(0.1 * y, 12);
  });

  test("the summer's is the more peaked one: half its rain in a fifth of its time", () => {
    const [summer, winter] = (["uk-summer", "uk-winter"] as const).map((pattern) => designStorm({ pattern, depth: "1 m", duration: "100 min", interval: "10 min" }));
    expect(greatestDepth(summer!, 1200).depth).toBeGreaterThan(0.5);
    expect(greatestDepth(winter!, 1200).depth).toBeLessThan(0.5);
  });
});
