import { expect, test } from "vitest";
import { percolationHole } from "../../lib/ground/percolationHole.ts";
import { soilTest } from "../../lib/ground/soilTest.ts";
import { designStorm } from "../../lib/rain/designStorm.ts";
import { curveNumberRunoff } from "../../lib/runoff/curveNumber.ts";
import { detentionStorage } from "../../lib/runoff/detentionStorage.ts";
import { graphicalPeak } from "../../lib/runoff/graphicalPeak.ts";
import { pipeCapacity } from "../../lib/runoff/capFlow.ts";
import { lagTimeOfConcentration } from "../../lib/runoff/timeOfConcentration.ts";

/** What rain, ground and runoff refuse, and in what words: a call, its options with one value out of bounds or not of its kind. */
const REFUSED: readonly (readonly [(options: never) => unknown, object])[] = [
  [designStorm, { pattern: "block", duration: "0 h", depth: "1 in" }],
  [designStorm, { pattern: "block", duration: "1 h", depth: "1 in", intensity: "1 in/hr" }],
  [designStorm, { pattern: "block", duration: "1 h", intensity: "-1 mm/h" }],
  [designStorm, { pattern: "block", duration: "1 h", depth: "1 in", climateFactor: 0 }],
  [designStorm, { pattern: "block", duration: "1 h", depth: "1 in", climateFactor: 10.1 }],
  [designStorm, { pattern: "nrcs-ii", depth: "1 in", duration: "0 s" }],
  [designStorm, { pattern: "nrcs-ii", depth: "1 in", interval: "1 h" }],
  [designStorm, { pattern: "huff-1", depth: "1 in" }],
  [designStorm, { pattern: "triangular", duration: "1 h", depth: "1 in", peakAt: 1.1 }],
  [designStorm, { pattern: "triangular", duration: "1 h", depth: "1 in", interval: "0 s" }],
  [designStorm, { pattern: "alternating-block", duration: "1 h", interval: "10 min" }],
  [designStorm, { pattern: "keifer-chu", duration: "1 h", interval: "10 min", rainfall: {}, peakAt: -0.1 }],
  [designStorm, { pattern: "mass-curve", duration: "1 h", depth: "1 in", times: [0, 1], shares: [0, 0.5, 1] }],
  [designStorm, { pattern: "mass-curve", points: [["0 h", "0 in"], ["1 h", "1 in", 3]] }],
  [curveNumberRunoff, { depth: -1, curveNumber: 0, initialAbstractionRatio: 1.1 }],
  [curveNumberRunoff, { depth: 1, curveNumber: 100.1 }],
  [detentionStorage, { pattern: "nrcs-ii", peakRatio: 0.81, runoffVolume: -1 }],
  [detentionStorage, { pattern: "nrcs-ii", peakRatio: 0.09, runoffVolume: 1 }],
  [graphicalPeak, { pattern: "nrcs-ii", area: -1, runoff: 1, abstractionShare: -0.1, timeOfConcentration: 36001 }],
  [pipeCapacity, { diameter: "0 mm", slope: 11, manningN: 1.1 }],
  [lagTimeOfConcentration, { flowLength: "0 ft", curveNumber: 96, slope: 0 }],
  [percolationHole, { diameter: "0.9 mm", waterDepth: "0.99 in", minutesPerInch: 0, stonePorosity: 0 }],
  [percolationHole, { diameter: "6 in", waterDepth: "12 in", minutesPerInch: 10, sorptiveNumber_perCm: 101 }],
  [soilTest, { kind: "trialPit", length: "101 m", width: "1 m", waterDepth: "1 m", time75to25: "0 s" }],
  [soilTest, { kind: "constantHead", diameter: "6 cm", waterDepth: "15 cm", flow: "0 L/h", waterTableBelow: "10 cm" }],
  [soilTest, { kind: "borehole", diameter: "100 mm", openLength: "-1 m", fills: [] }],
];

test.each(REFUSED)("%o refuses %o", (call, options) => {
  expect(() => call(options as never)).toThrowErrorMatchingSnapshot();
});
