import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Site } from "../../lib/site/site.ts";
import { drainTime, puddle } from "../../lib/simulate/drainTime.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { expectClose } from "../closeTo.ts";

// Copperbeech Lane, a demo site; what is changed of it is invented.
const file = JSON.parse(readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8")) as Readonly<Record<string, unknown>>;

function lane(changes: Readonly<Record<string, unknown>>): Site {
  return readSite({ ...file, ...changes });
}

const storm = designStorm({ pattern: "block", depth: "1.5 in", duration: "1 h" });

describe("water in the low spot", () => {
  const hollow = {
    floor: "97.5 ft", depth: "0.3 m", area: "60 m^2", lip: "99.5 ft", lipLength: "1 m", conductivity: "0.2 mm/h",
  };

  test("is followed until it is dry, long after the run", () => {
    const catchments = [...file["catchments"] as object[], { name: "lawn", area: "60 m^2", runoffCoefficient: 0.9, timeOfConcentration: "10 min", drainsTo: "lowSpot" }];
    const site = lane({ lowSpot: hollow, catchments });
    const dry = puddle(simulate(site, storm, { until: "12 h" }))!;
    const known = simulate(site, storm, { until: `${2 * 365 * 24} h` });
    expect(dry.never).toBeNull();
    expect(dry.until).toBeGreaterThan(11 * 86_400);
    expectClose(known.level("lowSpot", dry.until!) - site.lowSpot!.floor, 1e-3, { absolute: 1e-5, because: "dry is a millimetre, to a second" });
  });
});

describe("the time to drain", () => {
  test("is the run's own where the run is long enough", () => {
    const run = simulate(lane({}), storm);
    const time = drainTime(run)!;
    expect([time.full, time.half, time.empty, time.rest, time.never]).toEqual([run.drainDown.full, run.drainDown.half, run.drainDown.empty, "floor", null]);
    expectClose(run.level("chamberBank", time.full + time.empty!) - run.site.chamberBank.floor, 0.01, { absolute: 1e-6, because: "empty is a centimetre" });
  });

  test("is that of a run long enough, wherever the run itself ends", () => {
    const slow = lane({ soil: { layers: [{ conductivity: "0.06 in/hr" }], factorOfSafety: 2 } });
    const long = simulate(slow, storm, { until: "1200 h" }).drainDown;
    expect(long.empty).toBeGreaterThan(300 * 3600);
    for (const until of ["2 h", "24 h", "74 h", "300 h"]) {
      const time = drainTime(simulate(slow, storm, { until }))!;
      expectClose(time.empty!, long.empty!, { relative: 1e-6, because: "the same water" });
      expectClose(time.half!, long.half!, { relative: 1e-6, because: "the same water" });
    }
  });

  test("is not followed for years where groundwater opens the lid to the end", () => {
    const lifted = readSite(JSON.parse(readFileSync(new URL("fixtures/kept/groundwater-lifts-the-lid.json", import.meta.url), "utf8")));
    const run = simulate(lifted, { settlingBox: hydrograph({ time: [240, 2100], flow: [2e-3, 3e-3] }) }, { until: "24 h" });
    expect(run.firings.length).toBeGreaterThan(20);
    const time = drainTime(run)!;
    expect([time.empty, time.never]).toEqual([null, "slow"]);
    expect(time.looked).toBe(11 * 86_400);
  });

  test("is the same at the end of a long record as after a storm alone, the lid open in it or not", () => {
    const slow = lane({ soil: { layers: [{ conductivity: "0.06 in/hr" }], factorOfSafety: 2 } });
    const pour = (at: number) => {
      const settlingBox = hydrograph({ time: [at, at, at + 3600, at + 3600], flow: [0, 3e-3, 3e-3, 0] });
      return simulate(slow, { settlingBox }, { until: at + 86_400 });
    };
    const [alone, late] = [pour(0), pour(200 * 86_400)];
    expect(late.firings.length).toBeGreaterThan(0);
    expectClose(drainTime(late)!.empty!, drainTime(alone)!.empty!, { relative: 1e-6, because: "the same water" });
  });

  test("counts from groundwater that stands in the pit, and says so", () => {
    const { floor } = lane({}).chamberBank;
    const time = drainTime(simulate(lane({ groundwater: { level: `${floor + 0.3} m` } }), storm))!;
    expect([time.rest, time.never]).toEqual(["groundwater", null]);
    expectClose(time.restLevel, floor + 0.3, { absolute: 1e-9, because: "the groundwater given" });
    expectClose(time.level, time.restLevel + 0.01, { absolute: 1e-4, because: "back is within a centimetre" });
  });

  test("is never where nothing seeps, and says why", () => {
    const time = drainTime(simulate(lane({ soil: { layers: [{ conductivity: "0.3 in/hr" }], floor: false, sides: false } }), storm))!;
    expect([time.empty, time.never]).toEqual([null, "noSeepage"]);
  });

  test("is never where the trench's own water table feeds the pit", () => {
    const { chamberBank: { floor }, overflowTrench } = lane({});
    const trench = { ...file["overflowTrench"] as object, groundwaterLevel: `${overflowTrench!.floor + 0.3} m` };
    const time = drainTime(simulate(lane({ overflowTrench: trench, groundwater: { level: `${floor - 5} m` }, soil: { layers: [{ conductivity: "0.4 in/hr" }], floor: false } }), storm));
    expect(time!.never).toBe("feeding");
  });

  test("is null where the pit does not rise", () => {
    expect(drainTime(simulate(lane({}), designStorm({ pattern: "block", depth: "0 in", duration: "1 h" })))).toBeNull();
  });

  test("counts from the level it started from where that is higher than the water table it leaves", () => {
    const { floor } = lane({}).chamberBank;
    const level = [{ time: "0 h", level: `${floor + 0.3} m` }, { time: "10 h", level: `${floor - 3} m` }];
    expect(drainTime(simulate(lane({ groundwater: { level } }), storm))!.rest).toBe("start");
  });
});
