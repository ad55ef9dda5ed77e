import { existsSync, readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { readSite } from "../../lib/site/readSite.ts";
import { demo, demoNames } from "./siteFiles.ts";

const data = new URL("../../data/", import.meta.url);

interface RecordedRain {
  readonly name: string;
  readonly source: string;
  readonly unit: string;
  readonly hours: readonly number[];
  readonly cumulative_in: readonly number[];
}

describe("the demo sites", () => {
  test.each(demoNames)("%s says that it is invented, names its storms and has all files that they name", (name) => {
    const { about, storms } = readSite(demo(name));
    expect(about).toMatch(/^An invented site /);
    expect(storms.length).toBeGreaterThanOrEqual(2);
    for (const { options } of storms) {
      if (typeof options.file === "string") expect(existsSync(new URL(options.file, data)), options.file).toBe(true);
    }
  });

  test("are one in feet, one in metres and one whose pit stands in groundwater", () => {
    const [feet, metres, low] = demoNames.map((name) => readSite(demo(name)));
    expect([feet!.units, metres!.units]).toEqual(["us", "si"]);
    expect(low!.groundwater.level!.level[0]).toBeGreaterThan(low!.chamberBank.floor);
    expect(feet!.groundwater.level!.level[0]).toBeLessThan(feet!.chamberBank.floor);
  });
});

describe("the recorded storm of Ash Creek", () => {
  // USGS, station 08057320, storm of 3 June 1973: 5.92 in in 36 h at 68 breakpoints (public domain; read).
  const storm = JSON.parse(readFileSync(new URL("ash-creek-1973.json", data), "utf8")) as RecordedRain;

  test("names its source and unit", () => {
    expect(storm.source).toContain("U.S. Geological Survey");
    expect(storm.source).toContain("08057320");
    expect(storm.unit).toBe("in");
  });

  test("has 68 rising hours from 0 to 36, and rain that never falls back and comes to 5.92 in", () => {
    expect([storm.hours.length, storm.cumulative_in.length]).toEqual([68, 68]);
    expect([storm.hours[0], storm.hours.at(-1)]).toEqual([0, 36]);
    expect([storm.cumulative_in[0], storm.cumulative_in.at(-1)]).toEqual([0, 5.92]);
    expect(storm.hours.every((hour, i) => i === 0 || hour > storm.hours[i - 1]!)).toBe(true);
    expect(storm.cumulative_in.every((depth, i) => i === 0 || depth >= storm.cumulative_in[i - 1]!)).toBe(true);
  });

  test("has its heaviest quarter hours at 21.5 to 22 h, 0.77 in in the heaviest", () => {
    const at = storm.hours.indexOf(21.75);
    expect(storm.hours[at + 1]).toBe(22);
    expect(storm.cumulative_in[at + 1]! - storm.cumulative_in[at]!).toBeCloseTo(0.77, 12);
  });
});
