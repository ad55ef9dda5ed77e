import { describe, expect, test } from "vitest";
import { lagTimeOfConcentration, timeOfConcentration, type FlowReach } from "../../lib/runoff/timeOfConcentration.ts";

const HOUR = 3600;

// TR-55 (2nd ed. 1986) Example 3-1, read.
const SHEET: FlowReach = { kind: "sheet", length: "100 ft", slope: 0.01, twoYearRain: "3.6 in", surface: "dense grass" };
const SHALLOW: FlowReach = { kind: "shallow", length: "1400 ft", slope: 0.01, surface: "unpaved" };
const CHANNEL: FlowReach = {
  kind: "channel", length: "7300 ft", slope: 0.005, manningN: 0.05, area: "27 sq ft", wettedPerimeter: "28.2 ft",
};

describe("the time of concentration", () => {
  test.each([
    ["sheet flow", SHEET, 0.3],
    ["shallow concentrated flow", SHALLOW, 0.24],
    ["the channel", CHANNEL, 0.99],
  ])("of %s in TR-55 Example 3-1", (_, reach, hours) => {
    expect(Math.abs(timeOfConcentration([reach]) / HOUR - hours)).toBeLessThan(0.005);
  });

  test("of the whole way in TR-55 Example 3-1 is 1.53 h", () => {
    // 1.49 of the book for Manning's constant in feet where this has 1.486: 0.3 percent of the channel's 0.99 h
    expect(Math.abs(timeOfConcentration([SHEET, SHALLOW, CHANNEL]) / HOUR - 1.53)).toBeLessThan(0.006);
  });

  test("of sheet flow over n 0.15 in NEH 630 ch. 15 (May 2010) 630.1504(b) is 0.09 h", () => {
    const time = timeOfConcentration([{ kind: "sheet", length: "100 ft", slope: 0.08, twoYearRain: "3.6 in", manningN: 0.15 }]);
    expect(Math.abs(time / HOUR - 0.09)).toBeLessThan(0.005);
  });

  test("by the lag equation in NEH 630 ch. 15 630.1504(a) is 1.14 h", () => {
    const time = lagTimeOfConcentration({ flowLength: "3865 ft", curveNumber: 63, slope: 0.0479 });
    expect(Math.abs(time / HOUR - 1.14)).toBeLessThan(0.005);
  });

  test("of a pipe running full is that of a channel of its section", () => {
    const pipe: FlowReach = { kind: "pipe", length: "30 m", slope: 0.01, manningN: 0.011, diameter: "150 mm" };
    // Manning, derived: v = (0.15 / 4)^(2/3) sqrt(0.01) / 0.011
    expect(timeOfConcentration([pipe])).toBeCloseTo(30 / (((0.15 / 4) ** (2 / 3) * 0.1) / 0.011), 9);
  });

  test("adds up, a roof being 5 minutes", () => {
    expect(timeOfConcentration([{ kind: "roof" }, { kind: "roof" }])).toBe(600);
  });

  test("names all that is wrong in every reach", () => {
    const reaches = [
      { kind: "sheet", length: "400 ft", slope: 0, twoYearRain: "3 in", surface: "dense gras" },
      { kind: "chanel", length: "3 m" },
      { kind: "roof", length: "3 m" },
    ] as unknown as FlowReach[];
    expect(() => timeOfConcentration(reaches)).toThrow(
      [
        "The time of concentration cannot be computed:",
        "timeOfConcentration.reaches[0].slope: expected a number above 0 and of 10 or less, got 0",
        'timeOfConcentration.reaches[0].length: expected a length above 0 m and of 91.44 m or less, got "400 ft"',
        'timeOfConcentration.reaches[0].surface: expected one of "smooth", "fallow", "short grass", "dense grass", "bermudagrass", "light woods", "dense woods", got "dense gras" (did you mean "dense grass"?)',
        'timeOfConcentration.reaches[1].kind: expected one of "sheet", "shallow", "channel", "pipe", "roof", got "chanel" (did you mean "channel"?)',
        'timeOfConcentration.reaches[2].length: expected no such key (known here: kind), got "3 m"',
      ].join("\n  "),
    );
  });
});
