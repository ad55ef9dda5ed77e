import { describe, expect, test } from "vitest";
import { failedPit, type FailedPit } from "../../lib/dips/failedPit.ts";
import { failedPitAnswer } from "../../lib/dips/failedPitWords.ts";
import { faultCase } from "../../lib/dips/faultCase.ts";
import { faultySite } from "../../lib/dips/faults.ts";
import { causeOf } from "../../lib/dips/pitCauses.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { expectClose } from "../closeTo.ts";
import { demo } from "../site/siteFiles.ts";

const sites = ["copperbeech-lane", "linden-row", "sedge-hollow", "hazelbank-upper-bench"].map((name) => readSite(demo(name)));
const site = sites[0]!;

/** Tied: two causes at most, their ratio under 2; something else ties with nothing. */
function verdict({ causes: [first, second] }: FailedPit, truth: ReturnType<typeof causeOf>): "first" | "tie" | "wrong" {
  if (first!.cause === truth) return "first";
  return first!.cause !== "somethingElse" && second!.cause === truth && first!.share < 2 * second!.share ? "tie" : "wrong";
}

describe("the diagnosis of a failed pit, at length", () => {
  test("ranks the true cause of blind cases first, or ties it, whatever the soil, and is never sure of a wrong one", () => {
    for (const i of [3, 7, 9]) {
      const { site: each, options, fault } = faultCase(sites, 1, i);
      const found = failedPit(each, options);
      const told = verdict(found, causeOf(fault));
      expect([i, told === "wrong" && found.causes[0]!.share > 0.9]).toEqual([i, false]);
    }
  });

  test("finds a fault in soil twice as fast as the design's, for the soil is free under every cause", () => {
    const works = faultySite(site, "lidShut", 0, 2);
    const run = simulate(works, designStorm({ pattern: "nrcs-ii", depth: "3.3 in" }), { until: "60 h" });
    const dips = [13, 15, 20, 30, 48].map((hour) => ({ time: `${hour} h`, level: `${run.level("chamberBank", hour * 3600).toFixed(3)} m` }));
    const { causes } = failedPit(site, { storm: { pattern: "nrcs-ii", depth: "3.3 in" }, dips, seen: ["emitter did not fire"] });
    expect(causes[0]!.cause).toBe("lidShut");
    expectClose(causes[0]!.soil, 2, { relative: 0.15, because: "dips to 15 mm, water known to a tenth" });
  });

  test("owns up where no cause explains the dips, and is no surer than they are", () => {
    // the water rises by itself from 6 h to 24 h
    const odd = failedPit(site, {
      storm: { pattern: "nrcs-ii", depth: "3.3 in" }, timesFrom: "end",
      dips: [{ time: "1 h", depth: "50 in" }, { time: "6 h", depth: "20 in" }, { time: "24 h", depth: "40 in" }],
    });
    expect(odd.explained).toBe(false);
    expect(odd.errorsTaken.dip).toBeGreaterThan(2 * odd.log.dipError);
    expect(odd.causes[0]!.cause).toBe("somethingElse");
    expect(failedPitAnswer(odd)).toMatch(/^None of the causes asked here explains these dips/);
  });
});
