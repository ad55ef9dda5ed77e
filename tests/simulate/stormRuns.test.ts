import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { inflowHydrographs } from "../../lib/simulate/inflowHydrographs.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { DEFAULT_TOLERANCE } from "../../lib/simulate/runOptions.ts";
import { settledRun } from "../../lib/simulate/settledRun.ts";
import { stormRuns } from "../../lib/simulate/stormRuns.ts";
import { variedSite } from "../../lib/simulate/variedSite.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { expectClose } from "../closeTo.ts";

// Runs of one storm through works that vary are those of `settledRun`: to the last bit where the rain is as given, or has to be run off
// anew, and else apart from the rounding of inflows that are a factor of the storm's own.

const storm = designStorm({ pattern: "nrcs-ii", depth: "3 in" });
const options = { until: "48 h", tolerance: 2e-5 };
const times = (factor: number) => ({ time: storm.time, depth: storm.depth.map((depth) => depth * factor) });

function answers({ peaks, ledger, firings, drainDown, times: ends }: Run) {
  return { peaks, ledger, firings, drainDown, ends };
}

describe.each([
  ["copperbeech-lane", "runs off by coefficients alone"], ["linden-row", "has initial losses"],
  ["hazelbank-lower-bench", "has groundwater above an opening"], ["juniper-yard", "has a lid that is held shut"],
])("%s, which %s", (name) => {
  const site = readSite(readFileSync(`data/${name}.json`, "utf8"));
  const run = stormRuns(site, storm, options);
  const soils = [1, 0.4, 2.5].map((conductivityFactor) => variedSite(site, { conductivityFactor }));

  test("with the rain as given, in other soils: to the last bit, in whatever order", () => {
    const alone = soils.map((soil) => answers(settledRun(soil, storm, options)));
    expect(soils.map((soil) => answers(run(soil, 1)))).toEqual(alone);
    run(soils[0]!, 1.7);
    expect(soils.toReversed().map((soil) => answers(run(soil, 1)))).toEqual(alone.toReversed());
  });

  test("with more or less rain: its inflow apart from rounding, and so its answers", () => {
    // at a coarse tolerance more rain lets more of its corners be passed over, so this is asked at the default one
    const fine = { ...options, tolerance: DEFAULT_TOLERANCE };
    const fineRun = stormRuns(site, storm, fine);
    for (const factor of [0.3, 0.77, 1.9]) {
      const [ours, exact] = [fineRun(soils[1]!, factor), settledRun(soils[1]!, times(factor), fine)];
      for (const [body, { time, flow }] of Object.entries(inflowHydrographs(site, times(factor)))) {
        const own = ours.inflows[body]!;
        expect(own.time).toEqual(time);
        const peak = Math.max(...flow);
        own.flow.forEach((value, i) => expectClose(value, flow[i]!, { absolute: 1e-14 * peak, because: "some roundings" }));
      }
      const rounding = { relative: 1e-6, absolute: 1e-9, because: "a rounding now and then refuses another step" };
      expectClose(ours.peaks["chamberBank"]!.level, exact.peaks["chamberBank"]!.level, rounding);
      for (const entry of ["inflow", "storedEnd", "bankSeepage", "trenchSeepage", "emitter"] as const) {
        expectClose(ours.ledger[entry], exact.ledger[entry], rounding, entry);
      }
      expect(ours.firings.length).toBe(exact.firings.length);
    }
  });
});
