import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Site } from "../../lib/site/site.ts";
import { drainTime } from "../../lib/simulate/drainTime.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { pathBand } from "../../lib/study/pathBand.ts";
import { expectClose } from "../closeTo.ts";

// Copperbeech Lane, a demo site; its groundwater here is invented.
const file = JSON.parse(readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8")) as Readonly<Record<string, unknown>>;
const storm = designStorm({ pattern: "block", depth: "2 in", duration: "1 h" });

function lane(groundwater: unknown, others: Readonly<Record<string, unknown>> = {}): Site {
  return readSite({ ...file, groundwater, ...others });
}

const dry = lane({ level: "-100 m" });
const { floor, width, length } = dry.chamberBank;
const trenchLow = dry.overflowTrench!.floor - dry.overflowTrench!.fall;

describe("the seepage path", () => {
  test("hardly matters where groundwater stays twice the width below every floor, and is then not asked", () => {
    expect(pathBand(dry, storm).map(({ path }) => path)).toEqual([1]);
    const level = Math.min(floor - 2 * width, trenchLow - 2 * dry.overflowTrench!.width);
    expect(pathBand(lane({ level: `${level - 1e-6} m` }), storm)).toHaveLength(1);
    expect(pathBand(lane({ level: `${level + 1e-6} m` }), storm).map(({ path }) => path)).toEqual([1, 2]);
  });

  test("is asked for wherever groundwater comes near in the course of the run, to the pit or to the trench alone", () => {
    const level = [{ time: "0 h", level: `${floor - 2 * width - 1} m` }, { time: "3 h", level: `${floor - width} m` }, { time: "6 h", level: `${floor - 2 * width - 1} m` }];
    expect(pathBand(lane({ level }), storm)).toHaveLength(2);
    const later = level.map((each) => ({ ...each, time: each.time.replace(" h", "00 h") }));
    expect(pathBand(lane({ level: later }), storm, { until: "60 h" })).toHaveLength(1);
    const trench = { ...file["overflowTrench"] as object, groundwaterLevel: `${trenchLow - 0.5} m` };
    expect(pathBand(lane({ level: "-100 m" }, { overflowTrench: trench }), storm)).toHaveLength(2);
  });

  test("begins with the file's own, and the others are the runs of files that give them", () => {
    const level = `${floor + 0.2} m`;
    // only the pit has a path here, so that a file can say the same
    const alone = { overflowTrench: undefined, emitter: undefined, surroundings: undefined, studies: undefined };
    const band = pathBand(lane({ level, pathLength: "1 m" }, alone), storm);
    expect(band.map(({ path }) => path)).toEqual(["file", 1, 2]);
    const lengths = [1, width, 2 * width];
    band.forEach(({ run }, i) => {
      const same = simulate(lane({ level, pathLength: `${lengths[i]} m` }, alone), storm);
      expectClose(run.level("chamberBank", 30 * 3600), same.level("chamberBank", 30 * 3600), { absolute: 1e-9, because: "the same law" });
    });
    expect(length).toBeGreaterThan(width);
  });

  test("drains a pit the slower the longer it is", () => {
    const times = pathBand(lane({ level: `${floor - 0.3} m` }), storm).map(({ run }) => drainTime(run)!.empty!);
    expect(times[1]).toBeGreaterThan(1.2 * times[0]!);
  });
});
