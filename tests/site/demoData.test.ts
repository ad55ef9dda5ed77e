import { existsSync, readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { changedSite } from "../../lib/site/changedSite.ts";
import { fillTest, type FillTestOptions } from "../../lib/dips/fillTest.ts";
import { quantity } from "../../lib/text/quantity.ts";
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

test("the fill test of Copperbeech Lane is what its file says: a run in soil that takes 0.4 times as much, dips off by up to 0.3 in", () => {
  const file = JSON.parse(readFileSync(new URL("copperbeech-fill-test.json", data), "utf8")) as FillTestOptions & {
    readonly about: string; readonly dips: readonly { readonly time: string; readonly depth: string }[];
  };
  expect(file.about).toMatch(/^An invented test, made slow on purpose: .* takes in 0\.4 times what the design counts on, .* by up to 0\.3 in\.$/);
  const lane = readSite(demo("copperbeech-lane"));
  const layers = lane.soil.layers.map((layer) => ({ ...layer, conductivity: 0.4 * layer.conductivity }));
  const slow = changedSite(lane, { soil: { ...lane.soil, layers } });
  const [flow, duration] = [quantity("12 gal/min", "flow", "flow"), quantity("75 min", "time", "duration")];
  const run = simulate(slow, { chamberBank: hydrograph({ time: [0, duration], flow: [flow, flow] }) }, { until: "48 h" });
  for (const { time, depth } of file.dips) {
    const off = run.level("chamberBank", quantity(time, "time", "time")) - lane.chamberBank.floor - quantity(depth, "length", "depth");
    expect([time, Math.abs(off) < 0.3 * 0.0254]).toEqual([time, true]);
  }
  const soil = fillTest(lane, file).numbers.find(({ name }) => name === "soil")!;
  expect([soil.band.low! < 0.4, soil.band.high! > 0.4]).toEqual([true, true]);
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
