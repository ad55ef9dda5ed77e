import { describe, expect, test } from "vitest";
import { greatestDepth } from "../../lib/rain/storms/greatestDepth.ts";
import { hyetograph } from "../../lib/rain/hyetograph.ts";
import { rainBetween } from "../../lib/rain/rainBetween.ts";
import { separateStorms } from "../../lib/rain/separateStorms.ts";
import { splitEvery } from "../../lib/rain/splitEvery.ts";
import { stormEvents } from "../../lib/rain/stormEvents.ts";
import { continuingLoss, proportionalLoss } from "../../lib/runoff/continuingLoss.ts";
import { initialLoss } from "../../lib/runoff/initialLoss.ts";
import { timeAreaHydrograph } from "../../lib/runoff/timeArea.ts";
import { respond } from "../../lib/runoff/unitResponse.ts";

const rain = hyetograph({ time: [0, 600], depth: [0.01] });
const catchment = { area: 100, timeOfConcentration: 300 };

describe("a number out of its bounds is refused:", () => {
  test.each<[string, () => unknown, string]>([
    ["a step of nothing", () => splitEvery(rain, 0), "step: expected above 0 s, got 0"],
    ["a step backwards", () => splitEvery(rain, -60), "step: expected above 0 s, got -60"],
    ["a dry time of nothing", () => separateStorms(rain, 0), "dryTime: expected above 0 s, got 0"],
    ["a dry time that is no number", () => stormEvents(rain, NaN), "dryTime: expected above 0 s, got NaN"],
    ["a stretch of no length", () => greatestDepth(rain, 0), "duration: expected above 0 s, got 0"],
    ["a stretch that ends before it starts", () => rainBetween(rain, 60, 0), "to: expected later than 60 s, got 0"],
    ["an initial gain", () => initialLoss(-0.001), "depth: expected 0 m or more, got -0.001"],
    ["a continuing gain", () => continuingLoss(-1e-6), "rate: expected 0 m/s or more, got -0.000001"],
    ["more runoff than rain", () => proportionalLoss(1.2), "runoffCoefficient: expected 0 to 1, got 1.2"],
    ["an area below nothing", () => timeAreaHydrograph(rain, { area: -1, timeOfConcentration: -2 }),
      "The hydrograph cannot be made:\n  timeAreaHydrograph.area: expected a number of 0 or more, got -1\n" +
      "  timeAreaHydrograph.timeOfConcentration: expected a number of 0 or more, got -2"],
    ["a time-area curve that loses area", () => timeAreaHydrograph(rain, { ...catchment, curve: { time: [0, 1], area: [0, 0.9] } }),
      "timeAreaHydrograph.curve: expected times that rise and areas that do not fall, both from 0 to 1, got [0, 1] and [0, 0.9]"],
    ["a time-area curve that stands still", () => timeAreaHydrograph(rain, { ...catchment, curve: { time: [0, 0.5, 0.5, 1], area: [0, 0.2, 0.8, 1] } }),
      "timeAreaHydrograph.curve: expected times that rise"],
    ["a time-area curve of two lengths", () => timeAreaHydrograph(rain, { ...catchment, curve: { time: [0, 1], area: [0, 0.5, 1] } }),
      "timeAreaHydrograph.curve: expected as many areas as times, two or more, got 2 times and 3 areas"],
    ["a response that makes water", () => respond(rain, 1, { step: 60, rate: Float64Array.of(0, 0.02, 0) }),
      "response: expected a step above 0 s and rates from 0 to 0 whose sum times the step is 1, got 1.2"],
    ["a response that ends in the air", () => respond(rain, 1, { step: 1, rate: Float64Array.of(0, 1) }), "response: expected a step above 0 s and rates from 0 to 0"],
    ["an area that is no number", () => respond(rain, NaN, { step: 1, rate: Float64Array.of(0, 1, 0) }), "area: expected 0 m2 or more, got NaN"],
  ])("%s", (_, call, message) => {
    expect(call).toThrow(message);
  });
});
