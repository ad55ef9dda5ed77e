import { describe, expect, test } from "vitest";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { hydrograph, type Hydrograph } from "../../lib/runoff/hydrograph.ts";
import { exits, exitsReached, firstExit } from "../../lib/simulate/exits.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { waysOut } from "../../lib/simulate/waysOut.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { expectClose } from "../closeTo.ts";
import { demo } from "../site/siteFiles.ts";

/** No soil takes water: what runs in has to come out. */
const site = {
  name: "made up by a test",
  catchments: [{ name: "roof", area: "200 m^2", runoffCoefficient: 0.9, timeOfConcentration: "6 min" }],
  settlingBox: { length: "1 m", width: "0.5 m", floor: "9 m", rim: "12 m", outlet: { diameter: "110 mm", invert: "10.5 m" } },
  chamberBank: { floor: "10 m", length: "5 m", width: "2 m", ground: "12.2 m", stone: { depth: "1.5 m", porosity: 0.4 } },
  overflowTrench: {
    floor: "10.6 m", length: "10 m", width: "0.5 m", ground: "11.8 m", stone: { depth: "0.8 m", porosity: 0.4 },
    inlet: { diameter: "110 mm", invert: "10.9 m" },
  },
  emitter: { crest: "11 m", diameter: "100 mm", opensAtHead: "20 mm", closesAtHead: "5 mm" },
  soil: { layers: [{ conductivity: "36 mm/h" }], floor: false, sides: false },
  watchLevels: [{ name: "slab", level: "11.9 m" }, { name: "gutter", level: "15 m" }],
};
const lowSpot = {
  floor: "10.98 m", depth: "0.2 m", area: "10 m^2", lip: "11.3 m", lipLength: "1 m", conductivity: "1 mm/h",
  grate: { level: "11.4 m", perimeter: "1 m", area: "0.05 m^2" },
};
const pour = (flow: number, hours: number): Hydrograph => hydrograph({ time: [0, hours * 3600], flow: [flow, flow] });
const run = (json: object, flow = 0.002, hours = 3, blocked: string[] = []): Run =>
  simulate(readSite(json), pour(flow, hours), { until: "8 h", blocked });

describe("the exits of a site", () => {
  test("stand in order of level, levels to watch among them", () => {
    expect(exits(readSite(site)).map(({ kind, name, level }) => [kind, name, Math.round(level * 1000)])).toEqual([
      ["emitter", null, 11020], ["trenchGround", null, 11800], ["watchLevel", "slab", 11900], ["boxRim", null, 12000],
      ["pitGround", null, 12200], ["watchLevel", "gutter", 15000],
    ]);
  });

  test("count the emitter from its tailwater, or from the floor of the low spot it stands in", () => {
    const level = (more: object, emitter: object): number =>
      exits(readSite({ ...site, ...more, emitter: { ...site.emitter, ...emitter } })).find(({ kind }) => kind === "emitter")!.level;
    expect(level({}, { tailwater: "11.1 m" })).toBeCloseTo(11.12, 12);
    expect(level({ lowSpot: { ...lowSpot, floor: "11.05 m" } }, { dischargesTo: "lowSpot" })).toBeCloseTo(11.07, 12);
  });

  test("name each box, the grate over the pit, and the lip of the low spot", () => {
    const boxes = ["east", "west"].map((name) => ({ name, ...site.settlingBox }));
    const catchments = site.catchments.map((each) => ({ ...each, drainsTo: "east" }));
    const found = exits(readSite({ ...site, catchments, settlingBox: boxes, lowSpot, watchLevels: [] }));
    expect(found.map(({ kind, name, bodies }) => [kind, name, bodies])).toEqual([
      ["emitter", null, ["overflowTrench"]], ["lowSpotLip", null, ["lowSpot"]], ["grate", null, ["chamberBank"]],
      ["trenchGround", null, ["overflowTrench"]], ["boxRim", "east", ["east"]], ["boxRim", "west", ["west"]],
      ["pitGround", null, ["chamberBank"]],
    ]);
  });

  test("of a trench in segments with a slit pipe are its stone's ground and the last pipe's emitter", () => {
    const pipe = { insideDiameter: "100 mm", outsideDiameter: "110 mm", openArea: "10 cm^2/m" };
    const found = exits(readSite({ ...site, overflowTrench: { ...site.overflowTrench, segments: 2, pipe }, emitter: { ...site.emitter, crest: "11.1 m" } }));
    expect(found.slice(0, 2).map(({ bodies }) => bodies)).toEqual([["trenchPipe 2"], ["overflowTrench 1", "overflowTrench 2"]]);
  });
});

describe("a level to watch", () => {
  const watched = (level: string): (number | null)[] =>
    exitsReached(run({ ...site, watchLevels: [{ name: "slab", level }] })).filter(({ kind }) => kind === "watchLevel").map(({ time }) => time);

  test("is stood over from the start by the water of a box, and not by a dry floor", () => {
    expect(watched("10.2 m")).toEqual([0]);
    // the trench's floor lies over this one at 10.6 m, dry at first
    expect(watched("10.55 m")[0]).toBeGreaterThan(10);
  });
});

describe("where the water comes out", () => {
  test("is the emitter while its lid works, when it first opens, with all that it let out", () => {
    const done = run(site);
    const reached = exitsReached(done);
    const first = firstExit(reached)!;
    expect(first.kind).toBe("emitter");
    expectClose(first.time!, done.firings[0]!.start, { absolute: 0.1, because: "the lid opens at that level" });
    expectClose(first.volume!, done.ledger.emitter, { relative: 1e-12, because: "one sum" });
    expect(reached.filter(({ kind, time }) => kind !== "emitter" && time !== null)).toEqual([]);
  });

  test.each([
    ["held shut by its schedule", () => run({ ...site, emitter: { ...site.emitter, heldShut: [{ from: "0 h", to: "8 h" }] } })],
    ["blocked", () => run(site, 0.002, 3, ["emitter"])],
  ])("is the ground over the trench with the lid %s, and the emitter is reached all the same", (_, make) => {
    const done = make();
    const reached = exitsReached(done);
    expect(reached.filter(({ time }) => time !== null).map(({ kind, volume }) => [kind, volume! > 0])).toEqual([["emitter", false], ["trenchGround", true]]);
    const ground = reached[1]!;
    expectClose(ground.volume!, done.ledger.trenchSpill, { relative: 1e-12, because: "one sum" });
    expectClose(done.level("overflowTrench", ground.time!), 11.8, { absolute: 1e-5, because: "the time is found to a millisecond" });
    expect(firstExit(reached)).toBe(ground);
    const held = done.events.find(({ kind }) => kind === "lidHeld")!;
    expectClose(held.time, reached[0]!.time!, { absolute: 0.1, because: "the same level" });
    expectClose(held.value!, done.peaks["overflowTrench"]!.level - 11, { absolute: 1e-6, because: "the greatest head over the sill" });
  });

  test("is the box rim with its outlet choked, after the box has filled, with all the rest of the inflow", () => {
    const done = run(site, 0.002, 3, ["boxOutlet"]);
    const first = firstExit(exitsReached(done))!;
    expect([first.kind, first.body]).toEqual(["boxRim", "settlingBox"]);
    // 0.5 m2 from 10.5 m to 12 m at 2 L/s
    expectClose(first.time!, 375, { absolute: 0.05, because: "0.05 mm of level at 4 mm a second" });
    expectClose(first.volume!, done.ledger.boxSpill, { relative: 1e-12, because: "one sum" });
    expect(exitsReached(done).find(({ name }) => name === "slab")!.time).toBeLessThan(375);
  });

  test("is asked of the run and of its two failures at once", () => {
    const ways = waysOut(run(site));
    expect(ways.map(({ when, exits: reached }) => [when, firstExit(reached!)!.kind])).toEqual([
      ["asRun", "emitter"], ["lidShut", "trenchGround"], ["boxOutletBlocked", "boxRim"],
    ]);
    // a lid that never opened changes nothing when it sticks
    expect(waysOut(run(site, 1e-4, 1)).map(({ when }) => when)).toEqual(["asRun", "boxOutletBlocked"]);
  });

  test("is nowhere where the works hold all of it", () => {
    expect(firstExit(exitsReached(run(site, 1e-4, 1)))).toBeNull();
  });

  test("waits for an emitter that stands in its own puddle", () => {
    const drowned = simulate(
      readSite({ ...site, lowSpot, emitter: { ...site.emitter, dischargesTo: "lowSpot" } }),
      { lowSpot: pour(0.002, 1), settlingBox: pour(0.0009, 2) }, { until: "8 h" },
    );
    const exit = exitsReached(drowned).find(({ kind }) => kind === "emitter")!;
    // water rises over the still opening level with the lid shut: the puddle stands higher
    expect(drowned.peaks["overflowTrench"]!.level).toBeGreaterThan(11.02);
    expect(exit.time === null ? drowned.firings.length : Math.abs(exit.time - drowned.firings[0]!.start)).toBeLessThan(0.1);
    expect(drowned.events.map(({ kind }) => kind)).toContain("drowns");
  });

  test("is told with the water that its margin is measured from", () => {
    // Copperbeech Lane in a cloudburst: the pit stands over the ground of the trench, whose own water does not, a pipe's loss lower
    const lane = readSite(demo("copperbeech-lane"));
    let stayed = 0;
    for (const depth of ["0.4 in", "0.9 in", "1.2 in", "1.5 in", "1.8 in", "2.4 in"]) {
      for (const { kind, level, top, short, time, atInlet } of exitsReached(simulate(lane, designStorm({ pattern: "block", depth, duration: "1 h" })))) {
        if ((kind !== "emitter" && kind !== "trenchGround") || time !== null || atInlet) continue;
        stayed++;
        expectClose(level - top, short, { absolute: 1e-9, because: "one difference" });
      }
    }
    expect(stayed).toBeGreaterThan(3);
  });
});
