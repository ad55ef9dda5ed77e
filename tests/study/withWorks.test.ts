import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { withPart } from "../../lib/report/withPart.ts";
import { designStorm, designStormAt } from "../../lib/rain/storms/designStorm.ts";
import { settledRun } from "../../lib/simulate/settledRun.ts";
import { changedSite } from "../../lib/site/changedSite.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { turfRun, type TurfRun } from "../../lib/study/turfRun.ts";
import { withByDuration, withWorks } from "../../lib/study/withWorks.ts";
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

  test("by duration each cell is the run of that storm alone", () => {
    const site = demo("copperbeech-lane");
    const found = withByDuration(site);
    const { returnPeriods, durations } = site.studies!.sweep as { returnPeriods: string[]; durations: string[] };
    expect(found.map(({ returnPeriod }) => returnPeriod)).toEqual(returnPeriods);
    for (const { rows } of found) expect(rows.map(({ duration }) => duration)).toEqual(durations);
    for (const { returnPeriod, rows } of found) {
      for (const { duration, found: each } of rows) {
        // options as any person would write them
        const rain = designStormAt("storm", { pattern: "block", returnPeriod, duration, rainfall: site.studies!.rainfall });
        expect(each).toEqual(withWorks(settledRun(site, rain)));
        // the roof alone: C A P, and C A i once the rain is longer than its slowest catchment
        const caught = 0.95 * site.catchments.reduce((sum, { area }) => sum + area, 0);
        expectClose(each!.without.volume, caught * rain.depth[0]!, { relative: 1e-9, because: "C A P" });
        expectClose(each!.without.peak, (caught * rain.depth[0]!) / rain.time[1]!, { relative: 1e-9, because: "C A i" });
        expectClose(each!.without.volume, each!.book.leaves + each!.book.soaked + each!.book.stored + each!.book.error, { absolute: 1e-9, because: "round-off of the ledger" });
      }
    }
    expect(withByDuration(changedSite(site, { studies: null }))).toEqual([]);
    // without a sweep every duration and return period of the table
    const whole = withByDuration(changedSite(site, { studies: { ...site.studies!, sweep: null } }));
    expect(whole.map(({ rows }) => rows.length)).toEqual([8, 8, 8]);
  });

  test("the turf takes what the emitter lets out, farther the more of it, and none of it in the low spot", () => {
    const site = demo("copperbeech-lane");
    const of = (depth: string): TurfRun | null => turfRun(settledRun(site, designStorm({ pattern: "block", depth, duration: "1 h" })));
    expect(of("0.4 in")).toBeNull();
    const [less, more] = [of("1.6 in")!, of("1.8 in")!];
    expect(less.reach).toBeLessThan(more.reach);
    // the end of the trench's line, (78, 139.64) ft, stands 5.36 ft from the edge at 145 ft
    expectClose(more.turf.toBoundary!, 5.36 * 0.3048, { relative: 1e-12, because: "by hand" });
    expect(more.overBoundary!).toBeLessThan(more.volume);
    expect(more.overBoundary!).toBeGreaterThan(0);
    expectClose(more.turf.conductivity, (0.5 * 0.0254) / 3600, { relative: 1e-12, because: "the cover's 0.5 in/h, undivided" });
    const hollow = demo("hazelbank-lower-bench");
    expect(turfRun(settledRun(hollow, designStorm({ pattern: "block", depth: "3 in", duration: "1 h" })))).toBeNull();
  });

  test("is said as it is", () => {
    const storm = (depth: string, name: string): { name: string; run: ReturnType<typeof settledRun> } => (
      { name, run: settledRun(demo("copperbeech-lane"), designStorm({ pattern: "block", depth, duration: "1 h" })) });
    expect(withPart([storm("0.4 in", "shower"), storm("3 in", "flood")]).answer).toMatch(/^In “flood” the works keep \d+ % of the water and \d+ % of the greatest flow\.$/);
    expect(withPart([storm("0.4 in", "shower")]).answer).toBe("In “shower” the works keep 100 % of the water and 100 % of the greatest flow.");
  });
});
