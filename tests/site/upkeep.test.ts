import { describe, expect, test } from "vitest";
import { readSite } from "../../lib/site/readSite.ts";
import type { Site } from "../../lib/site/site.ts";
import { upkeepFigures } from "../../lib/site/upkeepFigures.ts";
import { expectClose } from "../closeTo.ts";
import { fixture } from "../site/siteFiles.ts";

function siteWith(upkeep: object): Site {
  return readSite({ ...fixture("orchard-depot"), upkeep });
}

describe("upkeep in a site file", () => {
  test("is read in the trade's units, and held in SI", () => {
    const { upkeep } = siteWith({
      fines: "20 mg/L", gritPerYear: "10 lb/1000 sq ft", leavesPerYear: "200 g/m^2", freezingIndex: "900 degF day", cleanEvery: "26 week",
      frozenConductivity: "1 BTU/h/ft/degF", gritGrains: [{ diameter: "0.2 mm", share: 0.25 }, { diameter: "1 mm", share: 0.75 }],
    });
    expectClose(upkeep!.fines!, 0.02, { relative: 1e-12, because: "round-off" });
    // 4.5359237 kg on 92.90304 m2
    expectClose(upkeep!.gritPerYear!, 0.048824, { absolute: 1e-6, because: "five digits" });
    expectClose(upkeep!.leavesPerYear!, 0.2, { relative: 1e-12, because: "round-off" });
    expect(upkeep!.freezingIndex).toBe(500 * 86_400);
    expect(upkeep!.cleanEvery).toBe(26 * 7 * 86_400);
    // 1.730735 W/m/K in the tables, from memory
    expectClose(upkeep!.frozenConductivity!, 1.730735, { absolute: 1e-6, because: "seven digits" });
    expect(upkeep!.gritGrains).toEqual([{ diameter: 0.0002, share: 0.25 }, { diameter: 0.001, share: 0.75 }]);
    expect(upkeep!.basins).toBeNull();
  });

  test("that is missing is taken by figures that each say where they come from", () => {
    const { figures, assumed } = upkeepFigures(readSite(fixture("orchard-depot")));
    expect(assumed.map(({ key }) => key).sort()).toEqual(Object.keys(figures).sort());
    expect(assumed.every(({ source, written }) => source.length > 0 && written.length > 0)).toBe(true);
    expect(assumed.find(({ key }) => key === "fines")).toEqual({
      key: "fines", about: "fine solids in the runoff, mean of all events", written: "10 mg/L",
      source: "Minnesota Stormwater Manual: conventional roof below 10 mg/L, read; its upper end",
    });
    expect([figures.rainPerYear, figures.fines, figures.gutterGuard, figures.fillingLimit]).toEqual([0.9, 0.01, 0, 0.5]);
    expectClose(figures.cakeConductivity, 1e-8, { relative: 1e-12, because: "0.036 mm/h is 1e-8 m/s" });
    for (const grains of [figures.fineGrains, figures.gritGrains]) {
      expectClose(grains.reduce((sum, { share }) => sum + share, 0), 1, { absolute: 1e-12, because: "round-off" });
    }
    expect(upkeepFigures(siteWith({ basins: 3 })).assumed.map(({ key }) => key)).not.toContain("basins");
    expect(upkeepFigures(siteWith({ basins: 3 })).figures.basins).toBe(3);
  });

  test("says what is wrong with it, all at once", () => {
    expect(() => siteWith({
      fines: "10", gritPerYear: "5 kg", freezingIndex: "900 degF", cleanEvery: "1 day", gutterGuard: 90, gritGrains: [{ diameter: "1 mm", share: 0.5 }], leafs: 1,
    })).toThrow([
      'upkeep.leafs: expected one of the keys',
    ].join("\n"));
    const message = (upkeep: object): string => {
      try {
        siteWith(upkeep);
      } catch (error) {
        return (error as Error).message.split("\n").slice(1).map((line) => line.trim()).join("\n");
      }
      return "";
    };
    expect(message({ fines: "10", freezingIndex: "900 degF", cleanEvery: "1 day", gutterGuard: 90, gritGrains: [{ diameter: "1 mm", share: 0.5 }] })).toBe([
      'upkeep.fines: expected a concentration such as "10 mg/L", from 0 to 10000 mg/L, got "10"',
      "upkeep.gritGrains: expected shares that add up to 1, got 0.5",
      "upkeep.gutterGuard: expected a number from 0 to 1, got 90; write 0.9",
      'upkeep.cleanEvery: expected a time from 1 week to 50 years, got "1 day"',
      'upkeep.freezingIndex: expected degree days such as "400 degC day" or "720 degF day", from 0 to 11000 degC day, got "900 degF"',
    ].join("\n"));
  });
});
