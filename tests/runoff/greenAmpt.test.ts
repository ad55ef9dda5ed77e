import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { hyetograph, type Hyetograph } from "../../lib/rain/hyetograph.ts";
import { greenAmptInfiltration, greenAmptLoss } from "../../lib/runoff/greenAmpt.ts";
import { fallenBy, rains, splitRains, thousandths, totalDepth } from "./rains.ts";

const CM_PER_H = 0.01 / 3600;

// Silt loam of Chow, Maidment & Mays (1988) Examples 4.3.1 to 4.4.2, from memory: theta_e 0.486, 30 percent full.
const siltLoam = { hydraulicConductivity: 0.65 * CM_PER_H, wettingFrontSuction: 0.167, moistureChange: 0.486 * 0.7 };

function after(rain: Hyetograph, ground: typeof siltLoam): number {
  return greenAmptInfiltration({ hyetograph: rain, ...ground })[rain.depth.length]!;
}

describe("Green-Ampt infiltration", () => {
  test("under water from the start is 3.17 cm after 1 h (Chow, Maidment & Mays Example 4.3.1, from memory)", () => {
    // Flooded by rain far beyond any capacity.
    const flood = hyetograph({ time: [0, 3600], depth: [1e6] });
    expect(Math.abs(after(flood, siltLoam) * 100 - 3.17)).toBeLessThan(0.005);
  });

  test("at 5 cm/h ponds after 0.17 h with 0.85 cm in (Example 4.4.1, from memory)", () => {
    const effective = greenAmptLoss(siltLoam)(hyetograph({ time: [0, 3600], depth: [0.05] }));
    expect(effective.time.length).toBe(3);
    expect(Math.abs(effective.time[1]! / 3600 - 0.17)).toBeLessThan(0.005);
    expect(Math.abs((effective.time[1]! / 3600) * 5 - 0.85)).toBeLessThan(0.005);
  });

  test("at 1 cm/h ponds after 10.5 h (Example 4.4.1, from memory; 10.551 derived)", () => {
    const effective = greenAmptLoss(siltLoam)(hyetograph({ time: [0, 72000], depth: [0.2] }));
    expect(Math.abs(effective.time[1]! / 3600 - 10.551)).toBeLessThan(0.0005);
  });

  test("at 5 cm/h is 3.02 cm after 1 h (Example 4.4.2, from memory)", () => {
    expect(Math.abs(after(hyetograph({ time: [0, 3600], depth: [0.05] }), siltLoam) * 100 - 3.02)).toBeLessThan(0.005);
  });

  test("follows the storm of Chow, Maidment & Mays Example 5.4.1 p. 143-145", () => {
    // Rain and soil read in course notes; the infiltration derived: integrated exactly inside each 10-min block.
    const rain_cm = [
      0, 0.18, 0.39, 0.65, 0.97, 1.34, 1.77, 2.41, 3.55, 6.73, 8.38, 9.19, 9.71, 10.13, 10.49, 10.77, 11.01, 11.2, 11.37,
    ];
    const in_cm = [
      0, 0.18, 0.39, 0.65, 0.97, 1.34, 1.77, 2.2011, 2.5894, 2.9497, 3.29, 3.6149, 3.9277, 4.2306, 4.5253, 4.8053, 5.0453, 5.2353,
      5.4053,
    ];
    const time = rain_cm.map((_, i) => i * 600);
    const depth = rain_cm.slice(1).map((cm, i) => (cm - rain_cm[i]!) / 100);
    const rain = hyetograph({ time, depth });
    const soil = { hydraulicConductivity: 1.09 * CM_PER_H, wettingFrontSuction: 0.1101, moistureChange: 0.2472 };
    const infiltrated = greenAmptInfiltration({ hyetograph: rain, ...soil });
    in_cm.forEach((cm, i) => expect(Math.abs(infiltrated[i]! * 100 - cm)).toBeLessThan(0.00006));
    // The book's table of cumulative excess, from memory.
    const excess = greenAmptLoss(soil)(rain);
    const book = [[70, 0.21], [80, 0.96], [90, 3.78], [100, 5.09], [110, 5.58], [120, 5.78], [130, 5.9], [140, 5.96]] as const;
    for (const [minute, cm] of book) expect(Math.abs(fallenBy(excess, minute * 60) * 100 - cm)).toBeLessThan(0.0055);
  });

  test("without suction is the conductivity alone", () => {
    const flood = hyetograph({ time: [0, 3600], depth: [1] });
    expect(after(flood, { ...siltLoam, wettingFrontSuction: 0 })).toBeCloseTo(0.0065, 15);
  });

  test("into rock is nothing", () => {
    expect(after(hyetograph({ time: [0, 3600], depth: [1] }), { ...siltLoam, hydraulicConductivity: 0 })).toBe(0);
  });

  test("recovers in dry spells where asked to, and not otherwise", () => {
    const two = hyetograph({ time: [0, 3600, 2 * 86400, 2 * 86400 + 3600], depth: [0.05, 0, 0.05] });
    const once = after(hyetograph({ time: [0, 3600], depth: [0.05] }), siltLoam);
    expect(after(two, siltLoam)).toBeLessThan(1.9 * once);
    const recovered = greenAmptInfiltration({ hyetograph: two, ...siltLoam, recoveryTime: 3600 })[3]!;
    expect(recovered).toBeCloseTo(2 * once, 10);
  });

  test("refuses impossible soil in one error", () => {
    const rain = hyetograph({ time: [0, 1], depth: [0] });
    const hard = { hydraulicConductivity: -1, wettingFrontSuction: NaN, moistureChange: 1.5 };
    expect(() => greenAmptInfiltration({ hyetograph: rain, ...hard })).toThrow(
      [
        "The infiltration cannot be computed:",
        "greenAmptInfiltration.hydraulicConductivity: expected a number of 0 or more, got -1",
        "greenAmptInfiltration.wettingFrontSuction: expected a number without a unit of 0 or more, got NaN",
        "greenAmptInfiltration.moistureChange: expected a number of 0 or more and of 1 or less, got 1.5",
      ].join("\n  "),
    );
  });
});

describe("laws of Green-Ampt infiltration", () => {
  const grounds = fc.record({
    hydraulicConductivity: thousandths(0, 50).map((mm_h) => mm_h / 3.6e6),
    wettingFrontSuction: thousandths(0, 0.4),
    moistureChange: thousandths(0, 0.5),
    recoveryTime: fc.constantFrom(Infinity, 3600, 86400),
  });

  test("nothing more goes in than falls, and the loss model leaves the rest", () => {
    fc.assert(
      fc.property(rains, grounds, (rain, ground) => {
        const infiltrated = greenAmptInfiltration({ hyetograph: rain, ...ground });
        infiltrated.slice(1).forEach((depth, i) => {
          expect(depth - infiltrated[i]!).toBeGreaterThanOrEqual(0);
          expect(depth - infiltrated[i]!).toBeLessThanOrEqual(rain.depth[i]! + 1e-15);
        });
        const total = totalDepth(rain);
        const excess = totalDepth(greenAmptLoss(ground)(rain));
        expect(Math.abs(excess + infiltrated[rain.depth.length]! - total)).toBeLessThanOrEqual(1e-13 * total);
      }),
    );
  });

  test("splitting an interval changes nothing at the edges", () => {
    fc.assert(
      fc.property(splitRains, grounds, ({ whole, split, at }, ground) => {
        const one = greenAmptInfiltration({ hyetograph: whole, ...ground });
        const two = greenAmptInfiltration({ hyetograph: split, ...ground });
        one.forEach((depth, i) => {
          expect(Math.abs(depth - two[i < at ? i : i + 1]!)).toBeLessThanOrEqual(1e-12 * totalDepth(whole));
        });
      }),
    );
  });

  test("more rain never gives less runoff", () => {
    fc.assert(
      fc.property(rains, grounds, thousandths(1, 3), (rain, ground, factor) => {
        const more = hyetograph({ time: rain.time, depth: rain.depth.map((depth) => factor * depth) });
        const loss = greenAmptLoss(ground);
        expect(totalDepth(loss(more))).toBeGreaterThanOrEqual(totalDepth(loss(rain)) - 1e-12 * totalDepth(more));
      }),
    );
  });

  test("under ponding the depth infiltrated solves Green and Ampt's own equation", () => {
    const [suctions, changes, durations] = [thousandths(0.01, 0.4), thousandths(0.01, 0.5), fc.integer({ min: 60, max: 864000 })];
    fc.assert(
      fc.property(thousandths(1, 50), suctions, changes, durations, (mm_h, psi, dtheta, duration) => {
        const K = mm_h / 3.6e6;
        const S = psi * dtheta;
        const soil = { hydraulicConductivity: K, wettingFrontSuction: psi, moistureChange: dtheta };
        // Under such a flood water ponds at once but for rounding.
        const F = after(hyetograph({ time: [0, duration], depth: [1e9] }), soil);
        expect(Math.abs(F - S * Math.log1p(F / S) - K * duration)).toBeLessThanOrEqual(1e-9 * F);
      }),
    );
  });
});
