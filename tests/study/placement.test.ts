import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { movedWorks, placement, type Position, timeAbove } from "../../lib/study/placement.ts";
import { placementNote } from "../../lib/study/placementNote.ts";
import { freeVolumeAt } from "../../lib/study/freeVolumeAt.ts";
import { expectClose } from "../closeTo.ts";
import { changed, demo, fixture } from "../site/siteFiles.ts";

const FOOT = 0.3048;
const storm = designStorm({ pattern: "nrcs-ii", depth: "3.1 in" });
const lowPoint = readSite(demo("sedge-hollow"));

describe("works on the slope of a lot", () => {
  const { positions, note } = placement(lowPoint, storm, ["-2 ft", "0 ft", "4 ft", "-1 ft", "2 ft"]);

  test("are told from the highest place to the lowest", () => {
    expect(positions.map(({ height }) => Math.round(height / FOOT))).toEqual([4, 2, 0, -1, -2]);
  });

  test("are fuller the lower they lie, and have less room", () => {
    for (let i = 1; i < positions.length; i++) {
      expect(positions[i]!.fullShare).toBeGreaterThanOrEqual(positions[i - 1]!.fullShare);
      expect(positions[i]!.freeVolume).toBeLessThanOrEqual(positions[i - 1]!.freeVolume);
      expectClose(positions[i]!.freeVolume, freeVolumeAt(lowPoint, 41.7 * FOOT - positions[i]!.height), { absolute: 1e-9, because: "moved the other way" });
    }
    expect([positions[0]!.fullShare < 0.5, positions.at(-1)!.freeVolume]).toEqual([true, 0]);
    expectClose(positions.at(-1)!.fullShare, 1, { absolute: 1e-12, because: "round-off of the steps' lengths added up" });
  });

  test("where the water table stands over the sill have a drowned emitter", () => {
    // the sill lies at 43.4 ft, 1.7 ft over the water table
    expect(positions.map(({ drowned }) => drowned)).toEqual([null, null, null, null, "groundwater over its sill"]);
    expectClose(positions.at(-1)!.groundwaterOverFloor!, 3.5 * FOOT, { absolute: 1e-9, because: "41.7 ft less 38.2 ft" });
  });

  test("say why the low point stays full", () => {
    expect(note).toMatch(/^The low place is wet because the water table stands 3\.5 ft over the pit's floor there: 2 ft down the slope the pit is always full and starts with room for 0 gal, 4 ft up the slope it is full \d+ % of the time and starts with room for \d+ gal\. 2 ft down the slope the emitter is drowned: groundwater over its sill\.$/);
  });

  test("in deep sand do as well at the low point as anywhere, and say so", () => {
    const file = changed(changed(demo("sedge-hollow"), "groundwater.level", "20 ft"), "soil.layers", [{ texture: "sand" }]);
    const deep = placement(readSite(file), storm, ["2 ft", 0, "-2 ft"]);
    const [high, , low] = deep.positions;
    expectClose(low!.fullShare, high!.fullShare, { absolute: 1e-3, because: "a share of the run's time at the stepper's tolerance" });
    expectClose(low!.freeVolume, high!.freeVolume, { relative: 1e-9, because: "round-off" });
    expect(deep.note).toBe("The place does not matter here: even 2 ft down the slope the water table stays below the pit, which is full 1 % of the time there as at the highest place.");
  });

  test("over a water table that is near but below are slowed by it at the lower place, and say so", () => {
    const file = changed(changed(demo("copperbeech-lane"), "groundwater.level", "90.1 ft"), "groundwater.pathLength", "14 ft");
    const near = placement(readSite(file), storm, ["12 ft", "-2 ft"]);
    expect(near.note).toMatch(/^The water table stays below the pit at every place, but near enough to slow it: 2 ft down the slope the pit is full \d+ % of the time and starts with room for (\d+) gal, 12 ft up the slope it is full \d+ % of the time and starts with room for \1 gal\.$/);
  });

  test("where no groundwater is given are said to lie in none, alike at each place", () => {
    const dry = changed(changed(demo("sedge-hollow"), "groundwater", undefined), "soil.layers", [{ texture: "sand" }]);
    const { note: alike } = placement(readSite(dry), storm, ["2 ft", "-2 ft"]);
    expect(alike).toBe("The place does not matter here: no groundwater is given, and even 2 ft down the slope the pit is full 1 % of the time there as at the highest place.");
  });

  test("that differ by the water outside the emitter alone do not lay it to a water table far below", () => {
    const position = (height: number, fullShare: number): Position => ({
      ...placement(lowPoint, storm, [0]).positions[0]!, height, fullShare, groundwaterOverFloor: -20, drowned: null,
    });
    expect(placementNote([position(1, 0.1), position(0, 0.6)], "us"))
      .toMatch(/^No water table comes near the pit at any place: the water outside the emitter, which stays where it is, makes the difference\. As built the pit is full 60 %/);
  });

  test("moved by nothing are the works themselves, and the run is theirs", () => {
    const [here] = placement(lowPoint, storm, [0]).positions;
    expect(here!.run.site).toBe(lowPoint);
    expect(here!.run.ledger).toEqual(simulate(lowPoint, storm).ledger);
  });

  test("with groundwater moved along with them run as they did", () => {
    fc.assert(fc.property(fc.integer({ min: -50, max: 50 }), (feet) => {
      const moved = movedWorks(readSite(changed(demo("sedge-hollow"), "groundwater.level", `${41.7 + feet} ft`)), feet * FOOT);
      const [run, before] = [simulate(moved, storm, { until: "40 h" }), simulate(lowPoint, storm, { until: "40 h" })];
      for (const { name: body } of run.bodies) {
        expectClose(run.peaks[body]!.level - feet * FOOT, before.peaks[body]!.level, { absolute: 1e-4, because: "levels are held to 0.1 mm" }, body);
      }
    }), { seed: 84, numRuns: 10 });
  });

  test("have all their levels moved and no other", () => {
    const site = readSite(fixture("orchard-depot"));
    const moved = movedWorks(site, -1.5);
    expect(numbersOf(moved).flatMap(([path, value], i) => {
      const before = numbersOf(site)[i]!;
      expect(before[0]).toBe(path);
      return value === before[1] ? [] : [[path, Math.round((value - before[1]) * 1e9) / 1e9]];
    })).toEqual([
      "settlingBoxes.0.floor", "settlingBoxes.0.rim", "settlingBoxes.0.outlet.invert", "settlingBoxes.0.outlet.outletInvert", "settlingBoxes.0.outlet.crest",
      "chamberBank.floor", "chamberBank.ground", "chamberBank.stoneTop", "overflowTrench.floor", "overflowTrench.ground.high", "overflowTrench.ground.low",
      "overflowTrench.inlet.invert", "overflowTrench.inlet.outletInvert", "overflowTrench.inlet.crest", "overflowTrench.lowFloor",
      "overflowTrench.lowestGround", "overflowTrench.stoneTop.high", "overflowTrench.stoneTop.low", "overflowTrench.inletFloor",
      "overflowTrench.emitterFloor", "emitter.crest", "emitter.weepHole.elevation", "emitter.sill", "emitter.opensAt", "emitter.closesAt",
      "soil.layers.0.top", "soil.layers.1.top",
    ].map((path) => [path, -1.5]));
  });

  test("have an emitter that runs on without rain where a spring feeds the pit", () => {
    // over the sill at 43.4 ft in the pit alone
    const site = readSite(changed(changed(demo("sedge-hollow"), "chamberBank.groundwaterLevel", "44.5 ft"), "soil.layers", [
      { conductivity: "0.05 in/hr" }, { top: "42.2 ft", texture: "sand" },
    ]));
    const { positions: [here], note: said } = placement(site, storm, [0], { until: "4 day" });
    expect(here!.drowned).toBe("runs on without rain");
    expect(here!.run.firings.at(-1)!.end ?? Infinity).toBeGreaterThan(3 * 86400);
    expect(said).toMatch(/^As built the pit is always full and starts with room for \d+ gal\. As built the emitter runs on without rain\.$/);
  });

  test("are drowned by a ditch that stays where it is", () => {
    const site = readSite(changed(demo("sedge-hollow"), "emitter.tailwater", "43.0 ft"));
    const { positions: two } = placement(site, storm, ["0.1 ft", "-0.5 ft"]);
    expect(two.map(({ drowned }) => drowned)).toEqual([null, "water outside over its sill"]);
  });

  test("without a trench count as full at the lowest of grounds and rims", () => {
    const site = readSite(fixture("tested-soil"));
    const [here] = placement(site, storm, [0]).positions;
    expect([here!.crest, here!.drowned]).toEqual([98.2 * FOOT, null]);
    // 95 percent of 104 sq ft of 0.4 x 4 ft and 0.05 x 2.1 ft: 0.95 x 1.705 - 1.6 = 0.01975 ft of water in the cover's 0.05 (by hand)
    expectClose(here!.fullLevel, (96.1 + 0.01975 / 0.05) * FOOT, { absolute: 1e-9, because: "round-off" });
  });

  test("cannot be moved from a low spot they exchange water with, nor by what is no height", () => {
    const tied = readSite(fixture("low-spot"));
    expect(() => movedWorks(tied, 1)).toThrow(/^The works cannot be moved:\n {2}\S+: expected works that do not exchange water with the low spot, which stays where it is, got /);
    expect(movedWorks(tied, 0)).toBe(tied);
    expect(() => placement(lowPoint, storm, ["2", NaN])).toThrow(
      'The works cannot be placed:\n  heights[0]: expected a length such as "2.5 ft", "18 in" or "0.75 m", got "2", without a unit\n'
        + '  heights[1]: expected a height such as "2 ft", or a number of metres, got NaN',
    );
    expect(() => placement(lowPoint, storm, [])).toThrow("heights: expected one height or more, got an empty list");
  });
});

describe("the time a body stands above a level", () => {
  test("adds up with the time below to the whole run, and is all of it at the floor", () => {
    const run = simulate(lowPoint, { settlingBox: hydrograph({ time: [0, 3600, 3600], flow: [0.001, 0.001, 0] }) }, { until: "24 h" });
    expectClose(timeAbove(run, "chamberBank", lowPoint.chamberBank.floor), run.until, { relative: 1e-12, because: "round-off" });
    expect(timeAbove(run, "chamberBank", run.peaks.chamberBank!.level + 1e-6)).toBe(0);
    // against a level looked up every ten seconds
    const level = run.peaks.chamberBank!.level - 0.02;
    const looked = Array.from({ length: 8640 }, (_, i) => run.level("chamberBank", 10 * i + 5)).filter((each) => each >= level).length * 10;
    expectClose(timeAbove(run, "chamberBank", level), looked, { absolute: 60, because: "looks of ten seconds, and straight lines within a quarter of a step" });
  });
});

function numbersOf(value: unknown, path = ""): [string, number][] {
  if (typeof value === "number") return [[path.slice(1), value]];
  if (typeof value !== "object" || value === null) return [];
  return Object.entries(value).flatMap(([key, inner]) => (key === "notes" ? [] : numbersOf(inner, `${path}.${key}`)));
}
