import { expect, test } from "vitest";
import { moundRise } from "../../lib/ground/mound/moundRise.ts";
import { percolationHole } from "../../lib/ground/test/percolationHole.ts";
import { soilTest } from "../../lib/ground/test/soilTest.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { hyetograph } from "../../lib/rain/hyetograph.ts";
import { snowmelt } from "../../lib/rain/snowmelt.ts";
import { stochasticRain } from "../../lib/rain/storms/stochasticRain.ts";
import { compositeCurveNumber, curveNumberRunoff } from "../../lib/runoff/curveNumber.ts";
import { detentionStorage } from "../../lib/runoff/detentionStorage.ts";
import { graphicalPeak } from "../../lib/runoff/graphicalPeak.ts";
import { pipeCapacity } from "../../lib/runoff/capFlow.ts";
import { greenAmptInfiltration } from "../../lib/runoff/greenAmpt.ts";
import { modifiedRational, triangleStorage } from "../../lib/runoff/modifiedRational.ts";
import { reservoirCascade } from "../../lib/runoff/reservoirCascade.ts";
import { roofPlanArea } from "../../lib/runoff/roofPlanArea.ts";
import { lagTimeOfConcentration, timeOfConcentration } from "../../lib/runoff/timeOfConcentration.ts";
import { unitHydrograph } from "../../lib/runoff/unitHydrograph.ts";
import { settlingVelocity } from "../../lib/works/settlingVelocity.ts";

const day = hyetograph({ time: [0, 86_400], depth: [0.01] });
const block = { pattern: "block", duration: "1 h" };

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
  [stochasticRain, { stormsPerYear: 0, meanDepth: "0 mm", meanDuration: "59 s", years: 0, seed: -1, record: -1 }],
  [stochasticRain, { stormsPerYear: 2001, meanDepth: "1.1 m", meanDuration: "31 day", years: 1001, seed: 4294967296, record: 1e7 }],
  [snowmelt, { precipitation: day, temperature: { time: [0, 86400], mean: [3] }, meltRate: "-1 mm/day", snowAtStart: "-1 mm" }],
  [compositeCurveNumber, { pervious: 0, sealedShare: -0.1, unconnectedShare: 1.1 }],
  [compositeCurveNumber, { pervious: 99, sealedShare: 0.31, unconnectedShare: 0.5 }],
  [timeOfConcentration, [
    { kind: "sheet", slope: 0, length: "301 ft", twoYearRain: "0 in", manningN: 1.1 },
    { kind: "shallow", slope: 11, length: "0 m", surface: "paved" },
    { kind: "channel", slope: 0.01, length: "0 m", area: "0 m^2", wettedPerimeter: "0 m", manningN: 0 },
    { kind: "pipe", slope: 0.01, length: "0 m", diameter: "0 mm", manningN: 1.1 },
  ]],
  [roofPlanArea, [{ length: "0 m", width: "0 m" }, { length: "4 m", width: "3 m", notchLength: "4 m", notchWidth: "0 m" }]],
  [reservoirCascade, { count: 0, storageConstant: 0, step: 0 }],
  [reservoirCascade, { count: 101, storageConstant: 1 }],
  [
    (asked: never) => modifiedRational(asked, (duration) => duration),
    { area: 0, runoffCoefficient: 1.1, timeOfConcentration: 0, allowedFlow: -1 },
  ],
  [triangleStorage, { inflow: -1, outflow: -1, timeOfConcentration: 0 }],
  [greenAmptInfiltration, { hyetograph: day, hydraulicConductivity: -1, wettingFrontSuction: -1, moistureChange: 1.1, recoveryTime: 0 }],
  [unitHydrograph, { timeOfConcentration: 0, peakRateFactor: 49 }],
  [unitHydrograph, { timeOfConcentration: 1, peakRateFactor: 1001 }],
  [settlingVelocity, { diameter: 0, density: 998, temperature: -1 }],
  [settlingVelocity, { diameter: 1.1, density: 25_001, temperature: 41 }],
  [moundRise, {
    rechargeRate: -1, time: -1, halfLength: 0, halfWidth: 0, hydraulicConductivity: 0, thickness: 0, specificYield: 0, x: -2e6, y: 2e6,
  }],
  [moundRise, {
    rechargeRate: 2, time: 1e13, halfLength: 2e6, halfWidth: 2e6, hydraulicConductivity: 1e4, thickness: 2e6, specificYield: 1.1,
    x: 0, y: 0,
  }],
  [designStorm, { ...block, rainfall: { form: "c/(t^e+f)", intensityUnit: "in/hr", timeUnit: "min", c: 0, e: 1.1, f: -1 } }],
  [designStorm, { ...block, rainfall: { form: "a/(t+b)^c", intensityUnit: "in/hr", timeUnit: "min", a: 0, b: -1, c: 1.1 } }],
  [designStorm, { ...block, rainfall: { m5_60: "0 mm", r: 0.11 }, returnPeriod: "0 yr" }],
  [designStorm, { ...block, rainfall: { m5_60: "20 mm", r: 0.46 }, returnPeriod: "10 yr" }],
];

test.each(REFUSED)("%o refuses %o", (call, options) => {
  expect(() => call(options as never)).toThrowErrorMatchingSnapshot();
});
