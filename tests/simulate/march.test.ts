import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { designStorm } from "../../lib/rain/designStorm.ts";
import { networkOf } from "../../lib/simulate/assemble.ts";
import { march, setOut } from "../../lib/simulate/march.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { loadedSystem } from "../../lib/simulate/waterSystem.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Site } from "../../lib/site/site.ts";

const [first, second, wet] = ["copperbeech-lane", "linden-row", "sedge-hollow"].map((name) => readSite(readFileSync(`data/${name}.json`, "utf8")));
const storm = designStorm({ pattern: "block", depth: "2 in", duration: "1 h" });
const options = { until: "6 h" };

function marched(site: Site): Float64Array {
  const run = setOut(site, storm, options);
  march(run, () => {});
  return run.totals;
}

describe("runs share one memory", () => {
  test("and one whose place another has taken is not marched", () => {
    const run = setOut(first!, storm, options);
    setOut(second!, storm, options);
    expect(() => { march(run, () => {}); }).toThrow(/another has taken/);
  });

  test("but answers stay what they were, whatever was run since", () => {
    const times = [600, 3000, 4000, 20_000];
    const asked = (site: typeof first): (() => unknown) => {
      const run = simulate(site!, storm, options);
      return () => [run.peaks, run.ledger, run.passages.map((passage) => times.map((time) => run.flow(passage, time)))];
    };
    const sites = [first, second, wet];
    const alone = sites.map((site) => asked(site)());
    const together = sites.map(asked);
    expect([...together, ...together].map((ask) => ask())).toEqual([...alone, ...alone]);
  });

  test("which has room for so much, and say so where works are larger", () => {
    const { settlingBox: box, catchments, ...site } = JSON.parse(readFileSync("data/linden-row.json", "utf8")) as Record<string, object>;
    const settlingBox = Array.from({ length: 600 }, (_, i) => ({ name: `box ${i}`, ...box }));
    const roofs = (catchments as object[]).map((each) => ({ ...each, drainsTo: "box 0" }));
    const large = readSite({ ...site, settlingBox, catchments: roofs });
    expect(() => simulate(large, storm)).toThrow(/at most 512 bodies and 4096 passages, got 602 and/);
    const network = networkOf(first!);
    const layered = { ...network, bodies: [...network.bodies], table: new Float64Array(300_000) };
    const run = setOut(second!, storm, options);
    expect(() => loadedSystem(layered, new Set(), null)).toThrow(/at most 262144 numbers of laws .* got 300000 and/);
    // what was set up before has lost nothing
    march(run, () => {});
    expect(run.totals).toEqual(marched(second!));
  });
});
