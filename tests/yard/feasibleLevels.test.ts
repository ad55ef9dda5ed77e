import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { feasibleLevels, type GroundTold } from "../../lib/yard/feasibleLevels.ts";
import { LID_OPENS, partSize, standardParts } from "../../lib/yard/standardParts.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { shareOf } from "../share.ts";

const parts = standardParts("si");
const slope: GroundTold = {
  box: 50,
  pit: 49.8,
  trench: 49.7,
  lid: 49.2,
  house: null,
  groundwater: null,
  boxToPit: 5,
  trenchLength: 12,
  slopeAtLid: 0.03,
};

describe("levels of the works as linear inequalities", () => {
  test("a slope solved by hand: every level as high as its rules leave it", () => {
    const found = feasibleLevels(slope, parts, "si");
    expect(found).toMatchObject({ kind: "levels", missed: [] });
    if (found.kind !== "levels") return;
    // by hand, from the top down (m):
    const byHand = {
      boxOutlet: 49.74, // 50 - 0.11 pipe - 0.15 cover
      stoneTop: 49.5, // 49.8 - 0.30 cover
      pitInlet: 49.33, // 49.5 - 0.05 over the chambers - 0.01 for rounding - its own 0.11, lower than the fall of 0.05 from 49.74 asks
      pitFloor: 48.3, // 1.20 of stone, the most
      trenchInlet: 49.33, // not above the pipe from the box, and under the chambers' tops like it
      trenchInletEnd: 49.32, // 1 in 100 over 1 m
      trenchHigh: 49.25, // 49.7 - 0.30 stone - 0.15 cover, lower than 49.32 - 0.0565 under the inlet
      trenchLow: 48.75, // 49.2 - 0.30 - 0.15, lower than the fall of 0.06 from 49.25 asks
      crest: 49.175, // an inch, 25 mm, under the turf at the lid
    };
    for (const [name, level] of Object.entries(byHand))
      expect([name, found.levels[name as keyof typeof byHand]!.toFixed(6)]).toEqual([name, level.toFixed(6)]);
    // the ends of what is possible: the box's outlet down to where the lid opens, or no water would be kept out of it
    expect(found.ranges["boxOutlet"]!.high).toBeCloseTo(49.74, 9);
    expect(found.ranges["boxOutlet"]!.low).toBeCloseTo(49.175 + LID_OPENS, 9);
  });

  test("a lid uphill is proved impossible, with the reason and the way out", () => {
    const found = feasibleLevels({ ...slope, lid: 50.2, trench: 50.1, slopeAtLid: 0.05 }, parts, "si");
    expect(found.kind).toBe("impossible");
    if (found.kind !== "impossible") return;
    expect(found.missed.rules).toEqual(["the lid below the box", "the lid below the pit", "the lid below the trench"]);
    // opens at 50.2 - 0.025 + 0.012 = 50.187; over the pit by 0.387 m, which 0.05 of slope gives in 7.74 m: the next half metre is 8
    expect(found.missed.remedies).toEqual([
      { what: "lid", by: expect.closeTo(7.74, 6) as number, words: "move the lid 8 m down the slope" },
    ]);
    expect(found.missed.words).toContain("What would: move the lid 8 m down the slope.");
  });

  test("a low box: raise it, or move the lid, as said on a lawn", () => {
    const found = feasibleLevels({ ...slope, box: 49.3 }, parts, "si");
    expect(found.kind).toBe("levels");
    if (found.kind !== "levels") return;
    // the outlet lies at 49.3 - 0.26 = 49.04 at most, the lid opens at 49.187: 0.147 m, or 4.9 m of a slope of 0.03
    expect(found.missed.map(({ rules, by }) => [rules, by.toFixed(6)])).toEqual([
      [["cover at the box", "no water back into the box"], "0.147000"],
    ]);
    expect([found.missed[0]!.lacks, found.missed[0]!.cure]).toEqual([
      "water will stand back in the box", "raise the box 15 cm or move the lid 5 m down the slope",
    ]);
    expect(found.missed[0]!.remedies.map(({ what, by, words }) => [what, by.toFixed(4), words])).toEqual([
      ["box", "0.1470", "raise the box 15 cm"],
      ["lid", "4.9000", "move the lid 5 m down the slope"],
    ]);
    expect(found.missed[0]!.words).toBe(
      "The ground does not have room for 150 mm of soil over the pipe where it leaves the box and a lid that opens below the outlet of the box: 15 cm is lacking. " +
        "What would: raise the box 15 cm or move the lid 5 m down the slope.",
    );
  });

  test("over near groundwater the pit is as shallow as it can be, and what stands in water is said", () => {
    // the stone's top at 49.8 - 0.30 = 49.5, 0.50 of stone at least: a floor at 49.0, under water at 49.2, over water at 48.6
    const of = (groundwater: number): readonly [floor: number, lacks: string | undefined] => {
      const found = feasibleLevels({ ...slope, groundwater }, parts, "si");
      if (found.kind !== "levels") throw new Error(found.missed.words);
      return [Number(found.levels.pitFloor.toFixed(6)), found.missed[0]?.lacks];
    };
    expect(of(49.2)).toEqual([49, "the pit would stand 20 cm deep in groundwater"]);
    expect(of(48.6)).toEqual([49, "only 40 cm of soil is left between the pit and the groundwater"]);
    // a metre under the least stone is wished: here it can be had, with less than the most stone
    expect(of(47.9)).toEqual([48.9, undefined]);
  });

  test("whatever the ground, the levels keep every rule, and each remedy alone mends what it is said to mend", () => {
    const ground = fc.record({
      box: fc.double({ min: 49, max: 51, noNaN: true }),
      pit: fc.double({ min: 49, max: 51, noNaN: true }),
      lid: fc.double({ min: 47.5, max: 51, noNaN: true }),
      boxToPit: fc.double({ min: 1, max: 20, noNaN: true }),
      trenchLength: fc.double({ min: 2, max: 30, noNaN: true }),
      house: fc.option(fc.double({ min: 49, max: 51, noNaN: true })),
      groundwater: fc.option(fc.double({ min: 44, max: 49, noNaN: true })),
    });
    const seen = { levels: 0, impossible: 0, remedies: 0 };
    fc.assert(
      fc.property(ground, (drawn) => {
        const told: GroundTold = {
          ...drawn,
          trench: drawn.pit + (drawn.lid - drawn.pit) * 0.1,
          slopeAtLid: drawn.pit - drawn.lid > 0.02 ? (drawn.pit - drawn.lid) / (drawn.trenchLength + 1) : null,
        };
        const found = feasibleLevels(told, parts, "si");
        seen[found.kind]++;
        if (found.kind === "levels") {
          const l = found.levels;
          const near = 1e-7;
          expect(told.box - l.boxOutlet).toBeGreaterThanOrEqual(0.26 - near);
          expect(l.boxOutlet - l.pitInlet).toBeGreaterThanOrEqual(0.01 * told.boxToPit - near);
          expect(told.pit - l.stoneTop).toBeGreaterThanOrEqual(0.3 - near);
          expect(l.stoneTop - l.pitFloor).toBeGreaterThanOrEqual(0.5 - near);
          expect(l.stoneTop - l.pitFloor).toBeLessThanOrEqual(1.2 + near);
          expect(l.pitInlet - l.trenchInlet!).toBeGreaterThanOrEqual(-near);
          expect(l.trenchHigh! - l.trenchLow!).toBeGreaterThanOrEqual(0.005 * told.trenchLength - near);
          expect(told.lid! - l.trenchLow!).toBeGreaterThanOrEqual(0.45 - near);
          expect(l.crest! + LID_OPENS).toBeLessThanOrEqual(Math.min(told.box - 0.05, told.pit, told.trench!) + near);
        }
        const isImpossible = found.kind === "impossible";
        for (const { what, by } of (isImpossible ? [found.missed] : found.missed).flatMap(({ remedies }) => remedies)) {
          if (what !== "box" && what !== "lid" && what !== "ground") continue;
          seen.remedies++;
          const moved =
            what === "box"
              ? { ...told, box: told.box + by + 1e-6 }
              : what === "ground"
                ? { ...told, pit: told.pit + by + 1e-6 }
                : { ...told, lid: told.lid! - told.slopeAtLid! * (by + 1e-4), trenchLength: told.trenchLength + by + 1e-4 };
          const again = feasibleLevels(moved, parts, "si");
          if (isImpossible) expect(again.kind).toBe("levels");
        }
      }),
      { numRuns: shareOf(600), seed: 5 },
    );
    expect(Math.min(seen.levels, seen.impossible, seen.remedies)).toBeGreaterThan(5);
  });

  test("the head at which a lid opens is the site reader's", () => {
    const site = readSite({
      name: "x",
      catchments: [{ name: "roof", area: "100 m^2", runoffCoefficient: 0.9, timeOfConcentration: "5 min" }],
      settlingBox: { diameter: "0.6 m", floor: "8.6 m", rim: "10 m", outlet: { diameter: "110 mm", invert: "9.2 m" } },
      chamberBank: { floor: "7.5 m", length: "3 m", width: "2 m", ground: "10 m", stone: { depth: "1.5 m" } },
      overflowTrench: {
        floor: "8.6 m",
        length: "9 m",
        width: "0.5 m",
        ground: "9.5 m",
        stone: { depth: "0.4 m" },
        inlet: { diameter: "110 mm", invert: "8.9 m" },
      },
      emitter: { crest: "9 m", diameter: "100 mm" },
      soil: { layers: [{ conductivity: "30 mm/h" }] },
    });
    expect(site.emitter!.opensAtHead).toBe(LID_OPENS);
    expect(partSize(standardParts("us"), "lidBelowTurf")).toBeCloseTo(0.0254, 12);
  });
});
