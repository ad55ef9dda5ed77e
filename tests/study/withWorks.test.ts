import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { withPart } from "../../lib/report/withPart.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { settledRun } from "../../lib/simulate/settledRun.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { withWorks } from "../../lib/study/withWorks.ts";
import { expectClose } from "../closeTo.ts";

const demo = (name: string): ReturnType<typeof readSite> => readSite(readFileSync(new URL(`../../data/${name}.json`, import.meta.url), "utf8"));
const NAMES = ["copperbeech-lane", "linden-row", "sedge-hollow", "hazelbank-lower-bench", "juniper-yard"];

describe("with and without works", () => {
  test.each(NAMES)("the book closes on %s: all that leaves the roof leaves the lot, soaks away or stands in the works", (name) => {
    const run = settledRun(demo(name), designStorm({ pattern: "block", depth: "2.4 in", duration: "1 h" }));
    const { without, with: kept, book } = withWorks(run);
    expectClose(without.volume, book.leaves + book.soaked + book.stored + book.error, { absolute: 1e-9, because: "round-off of the ledger" });
    expect(Math.abs(book.error)).toBeLessThan(1e-6);
    expect(kept.volume).toBe(book.leaves);
  });

  test("without works a block storm leaves at C A i at most, for as long as it is longer than the roof's time (rational formula)", () => {
    const site = demo("copperbeech-lane");
    const run = settledRun(site, designStorm({ pattern: "block", depth: "2.4 in", duration: "1 h" }));
    const { without } = withWorks(run);
    const caught = site.catchments.reduce((sum, { area }) => sum + 0.95 * area, 0);
    expectClose(without.peak, (caught * 2.4 * 0.0254) / 3600, { relative: 1e-9, because: "C A i" });
    expectClose(without.volume, caught * 2.4 * 0.0254, { relative: 1e-9, because: "C A P" });
  });

  test("a storm that stays in the works leaves nothing, one that does not leaves less than the roof sheds, never more at once than the lid passes", () => {
    const site = demo("copperbeech-lane");
    const of = (depth: string): ReturnType<typeof withWorks> => withWorks(settledRun(site, designStorm({ pattern: "block", depth, duration: "1 h" })));
    expect(of("0.4 in").with).toEqual({ volume: 0, peak: 0 });
    expect(of("0.4 in").kept).toEqual({ water: 1, peak: 1 });
    const much = of("3 in");
    expect(much.kept.water > 0 && much.kept.water < 1).toBe(true);
    expect(much.with.peak).toBeGreaterThanOrEqual(Math.max(...settledRun(site, designStorm({ pattern: "block", depth: "3 in", duration: "1 h" })).firings.map(({ peakFlow }) => peakFlow)));
  });

  test("is said as it is", () => {
    const storm = (depth: string, name: string): { name: string; run: ReturnType<typeof settledRun> } => (
      { name, run: settledRun(demo("copperbeech-lane"), designStorm({ pattern: "block", depth, duration: "1 h" })) });
    expect(withPart([storm("0.4 in", "shower"), storm("3 in", "flood")]).answer).toMatch(/^In “flood” the works keep \d+ % of the water and \d+ % of the greatest flow\.$/);
    expect(withPart([storm("0.4 in", "shower")]).answer).toBe("In “shower” the works keep 100 % of the water and 100 % of the greatest flow.");
  });
});
