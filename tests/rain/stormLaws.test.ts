import { describe, expect, test } from "vitest";
import { cumulativeDepth } from "../../lib/rain/cumulativeDepth.ts";
import { designStorm, type DesignStormOptions } from "../../lib/rain/storms/designStorm.ts";
import { expectClose } from "../closeTo.ts";

// Laws that hold for every option of every pattern, each option taken alone.

const TALBOT = { form: "a/(t+b)^c", intensityUnit: "mm/h", timeUnit: "min", a: 1500, b: 12, c: 0.85 } as const;
const POINTS = [["0 min", "0 mm"], ["30 min", "10 mm"], ["2 h", "40 mm"]] as const;

/** By pattern: a storm of 40 mm in 2 h, or of the place. */
const STORMS: readonly DesignStormOptions[] = [
  { pattern: "block", duration: "2 h", depth: "40 mm" },
  { pattern: "nrcs-i", duration: "2 h", depth: "40 mm" },
  { pattern: "nrcs-ia", duration: "2 h", depth: "40 mm" },
  { pattern: "nrcs-ii", duration: "2 h", depth: "40 mm" },
  { pattern: "nrcs-iii", duration: "2 h", depth: "40 mm" },
  { pattern: "huff-1", duration: "2 h", depth: "40 mm" },
  { pattern: "huff-2", duration: "2 h", depth: "40 mm" },
  { pattern: "huff-3", duration: "2 h", depth: "40 mm" },
  { pattern: "huff-4", duration: "2 h", depth: "40 mm" },
  { pattern: "triangular", duration: "2 h", depth: "40 mm" },
  { pattern: "mass-curve", duration: "2 h", depth: "40 mm", times: [0, 0.3, 1], shares: [0, 0.6, 1] },
  { pattern: "mass-curve", points: POINTS },
  { pattern: "alternating-block", duration: "2 h", interval: "10 min", rainfall: TALBOT },
  { pattern: "keifer-chu", duration: "2 h", interval: "10 min", rainfall: TALBOT },
  { pattern: "euler-2", duration: "2 h", interval: "10 min", rainfall: TALBOT },
  { pattern: "nested", duration: "2 h", interval: "10 min", rainfall: TALBOT },
  { pattern: "nested", duration: "2 h", interval: "10 min", depth: "40 mm", ratios: { "10 min": 0.3, "1 h": 0.8 } },
  { pattern: "uk-summer", duration: "2 h", depth: "40 mm" },
  { pattern: "uk-winter", duration: "2 h", depth: "40 mm" },
];

const storm = (options: object): ReturnType<typeof designStorm> => designStorm(options as DesignStormOptions);
const totalOf = (options: object): number => cumulativeDepth(storm(options)).at(-1)!;

describe.each(STORMS.map((options) => [options.pattern, options] as const))("%s", (_, options) => {
  test("a climate factor multiplies every interval and moves none", () => {
    const [plain, more] = [storm(options), storm({ ...options, climateFactor: 1.4 })];
    expect([...more.time]).toEqual([...plain.time]);
    more.depth.forEach((depth, i) => expectClose(depth, 1.4 * plain.depth[i]!, { relative: 1e-11, because: "differences of a curve" }));
    expect(totalOf({ ...options, climateFactor: 1 })).toBe(totalOf(options));
  });

  test("has the depth it is asked for, at its end and not later", () => {
    const rainfall = "rainfall" in options ? (1.5 / (120 + 12) ** 0.85) * 2 : 0.04;
    expectClose(totalOf(options), rainfall, { relative: 1e-12, because: "round-off" });
    expect([storm(options).time[0], storm(options).time.at(-1)]).toEqual([0, 7200]);
  });

  const { pattern } = options;
  test.runIf("depth" in options)("twice the depth is twice every interval, and a place's depth is as good as its figure", () => {
    const [one, two] = [storm(options), storm({ ...options, depth: "80 mm" })];
    two.depth.forEach((depth, i) => expectClose(depth, 2 * one.depth[i]!, { relative: 1e-11, because: "differences of a curve" }));
    const rainfall = { unit: "mm", returnPeriods: ["2 year"], rows: { "2 h": [40] } };
    const ofPlace = storm({ ...options, depth: undefined, rainfall, returnPeriod: "2 year", climateFactor: 1.4 });
    expectClose(cumulativeDepth(ofPlace).at(-1)!, 1.4 * 0.04, { relative: 1e-12, because: "round-off" });
  });

  test.runIf("depth" in options && !pattern.startsWith("nrcs") && pattern !== "nested")("twice the duration is the same storm at half the speed", () => {
    const [one, two] = [storm(options), storm({ ...options, duration: "4 h" })];
    expect([...two.time]).toEqual([...one.time].map((time) => 2 * time));
    two.depth.forEach((depth, i) => expectClose(depth, one.depth[i]!, { relative: 1e-11, because: "differences of a curve" }));
  });

  test.runIf(["triangular", "alternating-block", "keifer-chu"].includes(pattern))("a finer interval keeps the volume; a mirrored peak mirrors the rain", () => {
    const fine = { ...options, interval: "5 min" };
    expect(storm(fine).depth.length).toBe(24);
    expectClose(totalOf(fine), totalOf(options), { relative: 1e-12, because: "round-off" });
    const [early, late] = [storm({ ...fine, peakAt: 0.25 }), storm({ ...fine, peakAt: 0.75 })];
    const peak = early.depth.indexOf(Math.max(...early.depth));
    expect(Math.abs(peak + 0.5 - 6)).toBeLessThan(1.01);
    if (pattern !== "alternating-block") {
      early.depth.forEach((depth, i) => expectClose(late.depth[23 - i]!, depth, { relative: 1e-9, because: "differences of a curve" }));
    }
  });
});

test("an intensity over a duration is a depth, with its climate factor", () => {
  const block = { pattern: "block", duration: "30 min", intensity: "40 mm/h" };
  expect(totalOf(block)).toBeCloseTo(0.02, 15);
  expect(totalOf({ ...block, climateFactor: 1.25 })).toBeCloseTo(0.025, 15);
});
