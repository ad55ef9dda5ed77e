import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { fillLevel } from "../../lib/simulate/freeVolume.ts";
import { breakEvenRain, rainToFill } from "../../lib/simulate/rainToFill.ts";
import { readiness } from "../../lib/simulate/readiness.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { expectClose } from "../closeTo.ts";

/** Plain prisms, so that every volume can be worked out on paper. */
const site = {
  name: "made up by a test",
  catchments: [
    { name: "roof", area: "200 m^2", runoffCoefficient: 0.9, timeOfConcentration: "6 min" },
    { name: "court", area: "50 m^2", runoffCoefficient: 0.6, timeOfConcentration: "6 min", drainsTo: "chamberBank" },
  ],
  settlingBox: { length: "1 m", width: "0.5 m", floor: "9 m", rim: "12 m", outlet: { diameter: "110 mm", invert: "10.5 m" } },
  chamberBank: { floor: "10 m", length: "5 m", width: "2 m", ground: "12 m", stone: { depth: "1.5 m", porosity: 0.4 } },
  overflowTrench: {
    floor: "10.6 m", length: "10 m", width: "0.5 m", ground: "11.8 m", stone: { depth: "0.8 m", porosity: 0.4 },
    inlet: { diameter: "110 mm", invert: "10.9 m" },
  },
  emitter: { crest: "11 m", diameter: "100 mm", opensAtHead: "20 mm", closesAtHead: "5 mm" },
  soil: { layers: [{ conductivity: "36 mm/h" }], factorOfSafety: 2 },
};
const round = { relative: 1e-12, because: "round-off" };

describe("the rain that fills the works", () => {
  test("is their free volume over the runoff area", () => {
    // z = 11.02: box 0.5 m2 from 10.5; pit 4 m2 from 10; trench 2 m2 of free area from 10.6
    const volume = 0.5 * 0.52 + 4 * 1.02 + 2 * 0.42;
    const { level, freeVolume, rain } = rainToFill(readSite(site));
    expectClose(level, 11.02, round);
    // the storage table's own error is 2.5e-10 m of level
    expectClose(freeVolume, volume, { relative: 1e-9, because: "decimals of levels, tabulated geometry" });
    expectClose(rain!, volume / (0.9 * 200 + 0.6 * 50), { relative: 1e-9, because: "as the volume" });
  });

  test("counts only room above the start: groundwater takes its share", () => {
    const wet = rainToFill(readSite({ ...site, groundwater: { level: "10.3 m" } }));
    expectClose(wet.freeVolume, 0.5 * 0.52 + 4 * 0.72 + 2 * 0.42, { relative: 1e-9, because: "tabulated geometry" });
  });

  test("goes to the lowest ground, grate or rim where there is no emitter", () => {
    const { emitter: _, ...open } = site;
    expectClose(fillLevel(readSite(open)), 11.8, round);
    const { overflowTrench: __, ...pit } = open;
    expectClose(fillLevel(readSite({ ...pit, settlingBox: { ...site.settlingBox, rim: "11.9 m" } })), 11.9, round);
    const hollow = { floor: "11.4 m", depth: "0.2 m", area: "20 m^2", lip: "11.7 m", lipLength: "1 m", conductivity: "10 mm/h", grate: { level: "11.6 m", perimeter: "1 m", area: "0.05 m^2" } };
    expectClose(fillLevel(readSite({ ...pit, lowSpot: hollow })), 11.6, round);
  });

  test("of a curve number is the depth whose own runoff fills it", () => {
    // CN 80: S = 2.5 in = 63.5 mm, Ia = 12.7 mm. 76.2 mm of rain gives (76.2 - 12.7)^2/(76.2 + 50.8) = 31.75 mm: TR-55's formula, by hand
    const volume = 0.5 * 0.52 + 4 * 1.02 + 2 * 0.42;
    const catchments = [{ name: "lawn", area: `${volume / 0.03175} m^2`, curveNumber: 80, timeOfConcentration: "6 min" }];
    expectClose(rainToFill(readSite({ ...site, catchments })).rain!, 0.0762, { relative: 1e-9, because: "tabulated geometry" });
  });

  test("leaves the low spot's catchments out, and is null where all drains there", () => {
    const lowSpot = { floor: "11.4 m", depth: "0.2 m", area: "20 m^2", lip: "11.7 m", lipLength: "1 m", conductivity: "10 mm/h" };
    const lawn = { name: "lawn", area: "900 m^2", runoffCoefficient: 0.3, timeOfConcentration: "20 min", drainsTo: "lowSpot" };
    const both = rainToFill(readSite({ ...site, lowSpot, catchments: [...site.catchments, lawn] }));
    expect(both.rain).toBe(rainToFill(readSite(site)).rain);
    const none = readSite({ ...site, lowSpot, catchments: [lawn] });
    expect([rainToFill(none).rain, breakEvenRain(none)]).toEqual([null, null]);
  });
});

describe("the break-even rain", () => {
  test("is what floor and sides take with water at the fill level", () => {
    // K = 18 mm/h = 5e-6 m/s, gradient 1: pit 10 + 14 x 1.02 m2, trench 5 + 21 x 0.42 m2
    const soil = 5e-6 * (10 + 14 * 1.02 + 5 + 21 * 0.42);
    expectClose(breakEvenRain(readSite(site))!, soil / 210, { relative: 1e-9, because: "decimals of levels" });
  });

  test("is null where groundwater comes in at that level", () => {
    expect(breakEvenRain(readSite({ ...site, groundwater: { level: "11.3 m" } }))).toBeNull();
    expect(breakEvenRain(readSite({ ...site, soil: { ...site.soil, floor: false, sides: false } }))).toBe(0);
  });

  test("of Green-Ampt ground is more by what its soil takes in", () => {
    const catchments = [{
      name: "lawn", area: "210 m^2", timeOfConcentration: "6 min",
      greenAmpt: { hydraulicConductivity: "3.6 mm/h", wettingFrontSuction: "110 mm", moistureChange: 0.2 },
    }];
    const soil = 5e-6 * (10 + 14 * 1.02 + 5 + 21 * 0.42);
    expectClose(breakEvenRain(readSite({ ...site, catchments }))!, soil / 210 + 1e-6, { relative: 1e-9, because: "decimals of levels" });
  });

  test("holds the works at that level: with a little more the emitter opens, with a little less it does not", () => {
    const flow = breakEvenRain(readSite(site))! * 210;
    const fires = (share: number): boolean =>
      simulate(readSite(site), hydrograph({ time: [0, 60 * 86400], flow: [share * flow, share * flow] }), { until: "60 day" }).firings.length > 0;
    expect([fires(1.02), fires(0.98)]).toEqual([true, false]);
  });
});

describe("readiness for the next storm", () => {
  test("begins with the rain to fill, is never less than nothing nor more than it was, and rises as the works empty", () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 30 }), (litres) => {
      const run = simulate(readSite(site), hydrograph({ time: [0, 3600], flow: [litres / 1e4, litres / 1e4] }), { until: "30 h" });
      const { time, freeVolume, rain } = readiness(run);
      expect(time.length).toBe(97);
      expectClose(rain![0]!, rainToFill(run.site).rain!, { relative: 1e-9, because: "the start" });
      expect(Math.min(...freeVolume)).toBeGreaterThanOrEqual(0);
      expect(Math.max(...freeVolume)).toBeLessThanOrEqual(freeVolume[0]! * (1 + 1e-9));
      const dry = freeVolume.subarray(Math.ceil(96 * (1 / 30)) + 8);
      dry.forEach((volume, i) => expect(volume).toBeGreaterThanOrEqual((dry[i - 1] ?? 0) - 1e-6));
    }), { numRuns: 10, seed: 6 });
  });

  test("takes the times it is asked for, within the run", () => {
    const run = simulate(readSite(site), {}, { until: 3600 });
    expect(Array.from(readiness(run, [0, 1800]).time)).toEqual([0, 1800]);
    expect(() => readiness(run, [3601])).toThrow("time: expected 0 to 3600 s, got 3601");
  });
});
