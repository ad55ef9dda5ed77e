import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  areaText, depthText, displayUnits, durationText, flowText, intensityText, lengthText, levelText, threeFigures, volumeText,
} from "../../lib/text/format.ts";
import { readQuantity } from "../../lib/text/quantity.ts";

const inch = 0.0254;
const foot = 0.3048;

describe("numbers for people", () => {
  test.each([
    [levelText(97.374 * foot, "us"), "97.37 ft"],
    [levelText(47.6, "si"), "47.600 m"],
    [levelText(-1.5, "si"), "-1.500 m"],
    [levelText(-0.0001, "si"), "0.000 m"],
    [depthText(1.5 * inch, "us"), "1.50 in"],
    [depthText(0.012, "si"), "12 mm"],
    [depthText(0.0034, "si"), "3.4 mm"],
    [lengthText(16.4 * foot, "us"), "16.4 ft"],
    [lengthText(5, "si"), "5 m"],
    [areaText(1450 * foot ** 2, "us"), "1450 sq ft"],
    [areaText(210, "si"), "210 m²"],
    [volumeText(264.172 * 231 * inch ** 3, "us"), "264 gal"],
    [volumeText(17.4857, "si"), "17.5 m³"],
    [volumeText(0.25, "si"), "250 L"],
    [volumeText(0, "si"), "0 m³"],
    [volumeText(-0.0123, "si"), "-12.3 L"],
    [flowText(39.6 * 231 * inch ** 3 / 60, "us"), "39.6 gal/min"],
    [flowText(0.0025, "si"), "2.5 L/s"],
    [intensityText(0.5 * inch / 3600, "us"), "0.5 in/h"],
    [intensityText(0.0127 / 3600, "si"), "12.7 mm/h"],
  ])("read %s", (text, expected) => {
    expect(text).toBe(expected);
  });

  test.each([
    [0, "0 s"], [45, "45 s"], [89, "89 s"], [90, "1.5 min"], [120, "2 min"], [510, "8.5 min"], [599, "10 min"], [3570, "1 h"],
    [3600, "1 h"], [9060, "2 h 31 min"], [2 * 86400 - 31, "47 h 59 min"], [2 * 86400, "2 days"], [3.4 * 86400, "3.4 days"], [-9060, "-2 h 31 min"],
  ])("read %d s as %s", (seconds, expected) => {
    expect(durationText(seconds)).toBe(expected);
  });

  test.each([
    [0, "0"], [12345, "12300"], [1999.6, "2000"], [999.6, "1000"], [99.96, "100"], [9.996, "10"], [0.12345, "0.123"], [0.0012, "0.001"],
    [0.0001, "0"], [-0.0001, "0"], [-12.34, "-12.3"], [1450, "1450"], [100, "100"],
  ])("have three figures and no more than three decimals, %d is %s", (number, expected) => {
    expect(threeFigures(number)).toBe(expected);
  });

  test("can be typed back in, and mean the same to the figures shown", () => {
    fc.assert(fc.property(fc.double({ min: 0.1, max: 5000, noNaN: true }), fc.constantFrom("us", "si"), (si, system) => {
      const texts = [
        ["length", lengthText(si, system)], ["area", areaText(si, system)], ["volume", volumeText(si, system)],
        ["flow", flowText(si, system)], ["speed", intensityText(si, system)], ["length", levelText(si + 1, system), si + 1],
        ["length", depthText(si, system)],
      ] as const;
      for (const [dimension, text, meant = si] of texts) {
        const back = readQuantity(text, dimension);
        // Half a unit of the third figure is at most 1 part in 200; below 0.1 three decimals are fewer than three figures.
        expect("value" in back && Math.abs(back.value / meant - 1), text).toBeLessThanOrEqual(0.005 + 1e-9);
      }
    }));
  });

  test("of time can be typed back in", () => {
    fc.assert(fc.property(fc.integer({ min: 0, max: 100 * 86400 }), (seconds) => {
      const back = readQuantity(durationText(seconds), "time");
      expect("value" in back && Math.abs(back.value - seconds)).toBeLessThanOrEqual(Math.max(30, 0.005 * seconds));
    }));
  });

  test("have the units of the site's own system", () => {
    const labels = (system: "us" | "si"): string[] => Object.values(displayUnits(system)).map(({ label }) => label);
    expect(labels("us")).toEqual(["ft", "in", "sq ft", "gal", "gal/min", "in/h", "h"]);
    expect(labels("si")).toEqual(["m", "mm", "m²", "m³", "L/s", "mm/h", "h"]);
    expect(displayUnits("us").level.size).toBe(0.3048);
    expect(displayUnits("si").flow.size).toBe(0.001);
  });
});
