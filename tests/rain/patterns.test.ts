import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { cumulativeDepth } from "../../lib/rain/cumulativeDepth.ts";
import { designStorm, type DesignStormOptions } from "../../lib/rain/storms/designStorm.ts";

describe("the Huff storms", () => {
  test.each([
    // Huff 1990, ISWS Circular 173, Table 3, medians of point rainfall, from memory: percent fallen by 25, 50, 75 of 100
    ["huff-1", [60, 82, 92]],
    ["huff-2", [22, 70, 91]],
    ["huff-3", [15, 38, 85]],
    ["huff-4", [13, 28, 51]],
  ] as const)("%s falls as remembered", (pattern, percents) => {
    const rain = designStorm({ pattern, depth: "100 mm", duration: "10 h" });
    const fallen = cumulativeDepth(rain);
    expect(rain.depth.length).toBe(20);
    percents.forEach((percent, i) => expect(fallen[5 * (i + 1)]! * 1000).toBeCloseTo(percent, 10));
  });

  test("are heaviest in the quarter they are called after", () => {
    (["huff-1", "huff-2", "huff-3", "huff-4"] as const).forEach((pattern, quartile) => {
      const rain = designStorm({ pattern, depth: "1 m", duration: "20 h" });
      const quarters = [0, 1, 2, 3].map((q) => rain.depth.slice(5 * q, 5 * q + 5).reduce((a, b) => a + b));
      expect(quarters.indexOf(Math.max(...quarters))).toBe(quartile);
    });
  });
});

describe("the triangular storm", () => {
  test("rises to twice the mean at its peak and has the exact depth of each interval (derived)", () => {
    // 2 h, peak at 0.25: up to 30 min the depth is total * t^2 / (T * T/4)
    const rain = designStorm({ pattern: "triangular", depth: "40 mm", duration: "2 h", peakAt: 0.25, interval: "15 min" });
    expect([...rain.time]).toEqual([0, 900, 1800, 2700, 3600, 4500, 5400, 6300, 7200]);
    expect(rain.depth[0]).toBeCloseTo(0.04 * (900 ** 2 / (7200 * 1800)), 15);
    expect(rain.depth[0]! + rain.depth[1]!).toBeCloseTo(0.01, 15);
    expect(rain.depth[7]).toBeCloseTo(0.04 * (900 ** 2 / (7200 * 5400)), 15);
  });

  test.each([0, 0.3, 1])("keeps its depth with the peak at %s", (peakAt) => {
    const rain = designStorm({ pattern: "triangular", depth: "40 mm", duration: "100 min", peakAt });
    expect(cumulativeDepth(rain)[rain.depth.length]).toBeCloseTo(0.04, 15);
  });
});

describe("a mass curve of one's own", () => {
  test("falls by its shares", () => {
    const rain = designStorm({ pattern: "mass-curve", depth: "2 in", duration: "4 h", times: [0, 0.25, 1], shares: [0, 0.6, 1] });
    expect([...rain.time]).toEqual([0, 3600, 14400]);
    expect(rain.depth[0]).toBeCloseTo(0.6 * 0.0508, 15);
  });

  test("may be a list of times and depths fallen, and then needs nothing else", () => {
    const points = [["0 min", "0 in"], ["15 min", "0.03 in"], ["45 min", "0.5 in"]] as const;
    const rain = designStorm({ pattern: "mass-curve", points, climateFactor: 2 });
    expect([...rain.time]).toEqual([0, 900, 2700]);
    expect(cumulativeDepth(rain)[2]).toBeCloseTo(0.0254, 15);
  });

  test("that falls back or stands still in time is refused with all its slips", () => {
    const options = { pattern: "mass-curve", depth: "1 in", duration: "1 h", times: [0, 0.5, 0.5, 1], shares: [0.1, 0.6, 0.4, 1] } as const;
    expect(() => designStorm(options)).toThrow(
      [
        "The design storm cannot be made:",
        "designStorm.shares: expected shares from 0 to 1, got from 0.1 to 1",
        "designStorm.times[2]: expected later than the one before, got 0.5 after 0.5",
        "designStorm.shares[2]: expected no less than the one before, got 0.4 after 0.6",
      ].join("\n  "),
    );
    const hours = { pattern: "mass-curve", depth: "1 in", duration: "3 h", times: ["0 h", "3 h"], shares: [0, 1] } as unknown as typeof options;
    expect(() => designStorm(hours)).toThrow(
      [
        "The design storm cannot be made:",
        "designStorm.times[0]: expected a share from 0 to 1, got 0 h",
        "designStorm.times[1]: expected a share from 0 to 1, got 3 h",
      ].join("\n  "),
    );
    expect(() => designStorm(hours)).not.toThrow("NaN");
    expect(() => designStorm({ pattern: "mass-curve", points: [["0 min", "1 in"]] })).toThrow("designStorm.points: expected two or more");
  });
});

describe("the depth of a storm", () => {
  const rainfall = { unit: "mm", returnPeriods: ["10 year"], rows: { "1 h": [30], "6 h": [54], "24 h": [96] } };

  test("may be the place's own for the storm's duration", () => {
    const block = designStorm({ pattern: "block", duration: "6 h", rainfall, returnPeriod: "10 year", climateFactor: 1.5 });
    expect(block.depth[0]).toBeCloseTo(0.081, 14);
    const day = designStorm({ pattern: "nrcs-iii", rainfall });
    expect(cumulativeDepth(day)[240]).toBeCloseTo(0.096, 14);
  });

  test("is either given or the place's, not both", () => {
    const both = { pattern: "huff-2", duration: "6 h", depth: "1 in", rainfall } as const;
    expect(() => designStorm(both)).toThrow("designStorm.depth: expected either depth or rainfall, got both");
  });
});

describe("all patterns", () => {
  const rainfall = { form: "a/(t+b)^c", intensityUnit: "mm/h", timeUnit: "min", a: 1500, b: 12, c: 0.85 } as const;
  const depthOf = (minutes: number): number => (1.5 / (minutes + 12) ** 0.85) * (minutes / 60);
  const durations = fc.integer({ min: 2, max: 144 }).map((n) => 10 * n);
  const storms: fc.Arbitrary<{ options: DesignStormOptions; minutes: number }> = fc
    .record({
      minutes: durations,
      pattern: fc.constantFrom(
        "block", "nrcs-i", "nrcs-ia", "nrcs-ii", "nrcs-iii", "huff-1", "huff-2", "huff-3", "huff-4", "triangular", "alternating-block",
        "keifer-chu",
      ),
      peakAt: fc.integer({ min: 0, max: 20 }).map((n) => n / 20),
    })
    .map(({ minutes, pattern, peakAt }) => {
      const shared = { duration: `${minutes} min`, rainfall };
      const nested = pattern === "alternating-block" || pattern === "keifer-chu";
      if (nested) return { minutes, options: { pattern, ...shared, interval: "10 min", peakAt } };
      return { minutes, options: pattern === "triangular" ? { pattern, ...shared, peakAt } : { pattern, ...shared } };
    });

  test("bring the place's depth for their duration, to round-off", () => {
    fc.assert(
      fc.property(storms, ({ options, minutes }) => {
        const rain = designStorm(options);
        expect(Math.abs(cumulativeDepth(rain)[rain.depth.length]! / depthOf(minutes) - 1)).toBeLessThan(1e-12);
        expect(rain.time[0]).toBe(0);
        expect(rain.time[rain.depth.length]).toBe(minutes * 60);
      }),
    );
  });

  test("bring no stretch more rain than the place has for that long, where they are nested", () => {
    fc.assert(
      fc.property(storms, fc.integer({ min: 1, max: 20 }), ({ options }, k) => {
        fc.pre(options.pattern === "alternating-block");
        const fallen = cumulativeDepth(designStorm(options));
        for (let i = 0; i + k < fallen.length; i++) {
          expect(fallen[i + k]! - fallen[i]!).toBeLessThanOrEqual(depthOf(10 * k) * (1 + 1e-9));
        }
      }),
    );
  });
});
