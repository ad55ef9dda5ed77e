import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { overflowCrest } from "../../lib/site/overflowCrest.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { cloggedHoles, type Fault, faultLoad, FAULTS, faultSize, faultySite, hasSeverity, noSuchFault } from "../../lib/dips/faults.ts";
import { sidesOnly } from "../../lib/study/sidesOnly.ts";
import { expectClose } from "../closeTo.ts";
import { changed, demo, demoNames } from "../site/siteFiles.ts";
import { shareOf } from "../share.ts";

const site = readSite(demo("copperbeech-lane"));
const storm = designStorm({ pattern: "nrcs-ii", depth: "3.3 in" });
const options = { until: "72 h" };
const pit = (fault: Fault, severity: number, hour: number): number =>
  simulate(faultySite(site, fault, severity), storm, options).level("chamberBank", hour * 3600);

describe("a faulty site", () => {
  test("runs with every fault it can have, at any severity, and loses no water", () => {
    const severities = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(fc.property(fc.constantFrom(...demoNames), fc.constantFrom(...FAULTS), severities, (name, fault, severity) => {
      const each = readSite(demo(name));
      fc.pre(noSuchFault(each, fault) === null);
      const { ledger, until, level } = simulate(faultySite(each, fault, severity), storm, options);
      expectClose(ledger.error, 0, { absolute: 1e-9 * ledger.inflow, because: "the ledger closes to round-off" });
      expect(Number.isFinite(level("chamberBank", until))).toBe(true);
    }), { numRuns: shareOf(100), seed: 8 });
  });

  test("with a soil, a floor or a water table at fault drains more slowly the worse it is", () => {
    for (const fault of ["soilSlower", "floorSealed", "waterTable"] as const) {
      const levels = [0, 0.5, 1].map((severity) => pit(fault, severity, 36));
      expect(levels[1]).toBeGreaterThan(levels[0]! - 1e-4);
      expect(levels[2]).toBeGreaterThan(levels[1]! + 0.01);
    }
  });

  test("with a sealed floor all but comes to the sides alone", () => {
    const { sealed } = sidesOnly(site, storm, options);
    // a hundredth of the floor is left open
    expectClose(pit("floorSealed", 1, 36), sealed.level("chamberBank", 36 * 3600), { absolute: 0.02, because: "the hundredth that is open" });
  });

  test("with a leak drains faster the wider it is, and not below the level of the leak because of it", () => {
    const peak = (severity: number): number => simulate(faultySite(site, "leakAtPipe", severity), storm, options).peaks["chamberBank"]!.level;
    expect(peak(1)).toBeLessThan(peak(0));
    expect(pit("leakAtFloor", 1, 16)).toBeLessThan(pit("leakAtFloor", 0, 16) - 0.3);
    // 0.1 m under the inlet of the trench at 95.7 ft
    expect(pit("leakAtPipe", 1, 13)).toBeGreaterThan(site.chamberBank.floor + 0.5);
  });

  test("with its lid shut never fires, with its outlet blocked fills the box and not the pit", () => {
    expect(simulate(site, storm, options).firings.length).toBeGreaterThan(0);
    expect(simulate(faultySite(site, "lidShut", 0), storm, options).firings).toEqual([]);
    const blocked = simulate(faultySite(site, "outletBlocked", 1), storm, options);
    expect(blocked.peaks["settlingBox"]!.level).toBeGreaterThan(site.settlingBoxes[0]!.rim);
    expect(blocked.peaks["chamberBank"]!.level).toBeLessThan(site.chamberBank.floor + 0.1);
  });

  test("with clogged holes fills its chambers before the stone, and stands in them when the stone is empty", () => {
    const run = simulate(faultySite(site, "holesClogged", 1), storm, options);
    const [chambers, stone] = ["chamberBank", "pitStone"].map((body) => run.level(body, 24 * 3600));
    expect(chambers).toBeGreaterThan(stone! + 0.5);
    const hose = hydrograph({ time: [0, 3600], flow: [3e-4, 3e-4] });
    expect(simulate(faultySite(site, "holesClogged", 0.9), hose, options).peaks["chamberBank"]!.level)
      .toBeGreaterThan(simulate(site, hose, options).peaks["chamberBank"]!.level);
  });

  test("with its holes left open is the pit as designed, in two bodies of the same storage", () => {
    const [open, whole] = [simulate(cloggedHoles(site, 0.3), storm, options), simulate(site, storm, options)];
    for (const hour of [11, 12, 13, 18, 24, 36]) {
      const [chambers, designed] = [open, whole].map((run) => run.level("chamberBank", hour * 3600));
      expectClose(chambers!, designed!, { absolute: 0.01, because: "the head that the holes take, and a shaft of 1 % of the plan over the chambers" });
    }
  });

  test("with nothing wrong is soil from 0.7 to three times the design's", () => {
    for (const [severity, factor] of [[0, 0.7], [1, 3]] as const) {
      faultySite(site, "asDesigned", severity).soil.layers.forEach(({ conductivity }, i) =>
        expectClose(conductivity, factor * site.soil.layers[i]!.conductivity, { relative: 1e-12, because: "round-off" }));
    }
  });

  test("with a choked pipe, levels too high or more roof stands higher; with dirty stone fills sooner; with a leaking trench keeps less in it", () => {
    const peak = (fault: Fault, severity: number): number =>
      simulate(faultySite(site, fault, severity), storm, options).peaks["chamberBank"]!.level;
    const sound = simulate(site, storm, options).peaks["chamberBank"]!.level;
    expect(peak("inletBlocked", 1)).toBeGreaterThan(sound + 0.02);
    const roomy = readSite(changed(demo("linden-row"), "overflowTrench.ground", "63.3 m"));
    const [high, drawn] = [faultySite(roomy, "levelsHigh", 1), roomy].map((each) => simulate(each, storm, options).peaks["chamberBank"]!.level);
    expect(high).toBeGreaterThan(drawn! + 0.01);
    // the ground over the trench's low end leaves the emitter no room
    expect(noSuchFault(site, "levelsHigh")).toBe("there is no room to lay the pipes higher");
    expect(faultLoad("roofMore", 1)).toBe(3);
    const at = (fault: Fault, body: string, hour: number): number =>
      simulate(faultySite(site, fault, 1), storm, options).level(body, hour * 3600);
    expect(at("stoneDirty", "chamberBank", 11.5)).toBeGreaterThan(simulate(site, storm, options).level("chamberBank", 11.5 * 3600));
    expect(at("leakAtTrench", "overflowTrench", 14)).toBeLessThan(simulate(site, storm, options).level("overflowTrench", 14 * 3600) - 0.02);
  });

  test("takes the soil beside a fault", () => {
    faultySite(site, "lidShut", 0, 2).soil.layers.forEach(({ conductivity }, i) =>
      expectClose(conductivity, 2 * site.soil.layers[i]!.conductivity, { relative: 1e-12, because: "round-off" }));
  });

  test("has sizes from one end of a fault to the other", () => {
    expectClose(faultSize(site, "soilSlower", 0), 0.7, { relative: 1e-12, because: "round-off" });
    expectClose(faultSize(site, "soilSlower", 1), 0.01, { relative: 1e-12, because: "round-off" });
    expectClose(faultSize(site, "waterTable", 1), overflowCrest(site), { absolute: 1e-12, because: "round-off" });
    expect(FAULTS.filter((fault) => !hasSeverity(fault))).toEqual(["lidShut"]);
  });

  test("says which faults it cannot have, and refuses them", () => {
    expect(noSuchFault(Object.freeze({ ...readSite(demo("copperbeech-lane")), emitter: null }), "lidShut")).toBe("there is no emitter");
    expect(noSuchFault(readSite(demo("juniper-yard")), "lidShut")).toBe("the site file holds the lid shut already");
    const noFloor = readSite(changed(demo("copperbeech-lane"), "chamberBank.openFloorShare", 0));
    expect(() => faultySite(noFloor, "floorSealed", 0.5))
      .toThrow('fault: expected one that the site can have, got "floorSealed": the design counts on no floor');
    expect(() => faultySite(site, "soilSlower", 1.5)).toThrow("severity: expected a number from 0 to 1, got 1.5");
    expect(() => faultySite(site, "soilSlower", NaN)).toThrow("severity: expected a number from 0 to 1, got NaN");
  });
});
