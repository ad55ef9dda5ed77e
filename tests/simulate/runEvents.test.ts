import { describe, expect, test } from "vitest";
import { hydrograph, type Hydrograph } from "../../lib/runoff/hydrograph.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { expectClose } from "../closeTo.ts";

const base = {
  name: "made up by a test",
  catchments: [{ name: "roof", area: "200 m^2", runoffCoefficient: 0.9, timeOfConcentration: "6 min" }],
  settlingBox: { length: "1 m", width: "0.5 m", floor: "9 m", rim: "12 m", outlet: { diameter: "110 mm", invert: "10.5 m" } },
  chamberBank: { floor: "10 m", length: "5 m", width: "2 m", ground: "11.8 m", stone: { depth: "1.5 m", porosity: 0.4 } },
  soil: { layers: [{ conductivity: "36 mm/h" }] },
};
const lowSpot = {
  floor: "11.3 m", depth: "0.2 m", area: "20 m^2", lip: "11.7 m", lipLength: "1 m", conductivity: "1 mm/h",
  grate: { level: "11.4 m", perimeter: "1 m", area: "0.05 m^2" },
};
const pour = (flow: number, hours: number): Hydrograph => hydrograph({ time: [0, hours * 3600], flow: [flow, flow] });
const run = (more: object, load: Record<string, Hydrograph>, until = "24 h"): Run => simulate(readSite({ ...base, ...more }), load, { until });
const found = (done: Run, kind: string): { time: number; body: string; value: number }[] =>
  done.events.flatMap((event) => (event.kind === kind ? [{ time: event.time, body: event.body, value: event.value! }] : []));

describe("the events of a run", () => {
  test("come in order of time, and each has a note in words", () => {
    const done = run({ lowSpot, chamberBank: { ...base.chamberBank, spillsTo: "lowSpot" } }, { settlingBox: pour(0.003, 4), lowSpot: pour(0.001, 1) });
    expect(done.events.map(({ time }) => time)).toEqual(done.events.map(({ time }) => time).sort((a, b) => a - b));
    expect([...new Set(done.events.map(({ kind }) => kind))].sort()).toEqual(["backsUp", "grateGives", "grateTakes", "ponds", "spills", "stoneFull"]);
    for (const words of ["comes up through the grate", "runs down the grate", "stands in the low spot", "over the lip of the low spot", "stands back", "full to its top"]) {
      expect(done.notes.some((note) => note.includes(words)), words).toBe(true);
    }
  });

  test("tell what went through a grate each way, and the difference is the net", () => {
    const later = hydrograph({ time: [5 * 3600, 8 * 3600], flow: [0.003, 0.003] });
    const done = run({ lowSpot }, { lowSpot: pour(0.004, 1), chamberBank: later });
    const [takes] = found(done, "grateTakes");
    const [gives] = found(done, "grateGives");
    // all that left the low spot but through its own soil, its lip, or what it still holds, went down the grate
    const net = 0.004 * 3600 - done.ledger.lowSpotSeepage! - done.ledger.lowSpotOverflow! - storedIn(done);
    expectClose(takes!.value - gives!.value, net, { absolute: 1e-6, because: "sums of the same steps" });
    expectClose(takes!.time, 3600 * reachedAt(done, 11.4), { absolute: 2, because: "the flow's first trickle after the level" });
  });

  test("tell of pressure that lifts the turf: head over the ground more than its cover weighs", () => {
    const cover = { conductivity: "1 mm/h", submergedDensity: "900 kg/m^3" };
    const settlingBox = { ...base.settlingBox, rim: "14 m" };
    const done = run({ settlingBox, chamberBank: { ...base.chamberBank, cover } }, { chamberBank: pour(0.002, 3) });
    const [uplift] = found(done, "uplift");
    expectClose(uplift!.value, 0.3 * 0.9, { absolute: 1e-9, because: "0.3 m of cover" });
    expectClose(done.level("chamberBank", uplift!.time), 11.8 + 0.27, { absolute: 1e-6, because: "where it happens" });
    expect(done.notes.find((note) => note.startsWith("Pressure lifts the turf over the pit"))).toMatch(/more than 270 mm over the ground/);
    expect(found(run({ chamberBank: { ...base.chamberBank, cover } }, { chamberBank: pour(0.0002, 3) }), "uplift")).toEqual([]);
  });

  test("tell when water stands at a level to watch, and in which body first", () => {
    const done = run({ watchLevels: [{ name: "cellar sill", level: "11 m" }] }, { chamberBank: pour(0.002, 1) });
    const [reaches] = found(done, "reaches");
    expect(reaches!.body).toBe("chamberBank");
    expectClose(done.level("chamberBank", reaches!.time), 11, { absolute: 1e-5, because: "to a millisecond" });
    expect(done.notes.find((note) => note.includes("cellar sill"))).toMatch(/^Water in the pit reaches the level of "cellar sill" \(11\.000 m\) at hour 0\.\d\.$/);
  });

  test("tell when groundwater comes in, and how much", () => {
    const groundwater = { level: [{ time: "0 h", level: "9 m" }, { time: "12 h", level: "10.6 m" }] };
    const done = run({ groundwater }, {});
    const [came] = found(done, "groundwaterIn");
    expect(came!.body).toBe("chamberBank");
    expectClose(came!.value, done.groundwaterIn.bank, { relative: 1e-12, because: "one sum" });
    // it passes the pit's floor, 10 m, at 7.5 h
    expectClose(came!.time, 7.5 * 3600, { absolute: 30, because: "0.1 mm over the water, at 37 micrometres a second" });
  });

  test("tell when the mound is no longer a number", () => {
    const groundwater = { level: "9.7 m", mounding: { conductivity: "0.2 m/day", thickness: "2 m", specificYield: 0.1, at: { x: "6 m", y: "0 m" } } };
    const done = run({ groundwater }, { chamberBank: pour(0.0004, 24 * 5) }, "120 h");
    const [limit] = found(done, "moundLimit");
    // to the pit's floor: 0.3 m, before half of the thickness, 1 m
    expectClose(done.rise(limit!.time)!.centre, 0.3, { absolute: 1e-5, because: "the time is found to a millisecond" });
    expect(done.notes.some((note) => note.includes("its rise is no longer a number"))).toBe(true);
  });

  test("say nothing of an emitter's volume, which every table shows", () => {
    const trench = {
      floor: "10.6 m", length: "10 m", width: "0.5 m", ground: "11.8 m", stone: { depth: "0.8 m", porosity: 0.4 },
      inlet: { diameter: "110 mm", invert: "10.9 m" },
    };
    const done = run({ overflowTrench: trench, emitter: { crest: "11 m", diameter: "100 mm" } }, { settlingBox: pour(0.002, 4) });
    const notes = done.notes.filter((note) => note.includes("emitter"));
    expect(notes).toEqual([expect.stringMatching(/^The emitter opens first at hour \d+(\.\d)? and closes for good at hour \d+(\.\d)?\.$/)]);
  });
});

/** What the low spot holds at the end of a run [m3]: A1 h1/2 (h/h1)^2 for a paraboloid. */
function storedIn(done: Run): number {
  return ((20 * 0.2) / 2) * ((done.level("lowSpot", done.until) - 11.3) / 0.2) ** 2;
}

/** Hours after which the low spot stands at a level. */
function reachedAt(done: Run, level: number): number {
  let [low, high] = [0, 3600];
  while (high - low > 0.01) {
    const middle = (low + high) / 2;
    if (done.level("lowSpot", middle) < level) low = middle;
    else high = middle;
  }
  return high / 3600;
}
