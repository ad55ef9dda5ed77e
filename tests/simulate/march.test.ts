import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { designStorm } from "../../lib/rain/designStorm.ts";
import { march, setOut } from "../../lib/simulate/march.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";

const [first, second] = ["copperbeech-lane", "linden-row"].map((name) => readSite(readFileSync(`data/${name}.json`, "utf8")));
const storm = designStorm({ pattern: "block", depth: "2 in", duration: "1 h" });
const options = { until: "6 h" };

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
    const alone = [first, second].map((site) => asked(site)());
    const [one, other] = [asked(first), asked(second)];
    expect([one(), other(), one()]).toEqual([alone[0], alone[1], alone[0]]);
  });

  test("which has room for so much, and say so where works are larger", () => {
    const { settlingBox: box, catchments, ...site } = JSON.parse(readFileSync("data/linden-row.json", "utf8")) as Record<string, object>;
    const settlingBox = Array.from({ length: 600 }, (_, i) => ({ name: `box ${i}`, ...box }));
    const roofs = (catchments as object[]).map((each) => ({ ...each, drainsTo: "box 0" }));
    const large = readSite({ ...site, settlingBox, catchments: roofs });
    expect(() => simulate(large, storm)).toThrow(/at most 512 bodies and 4096 passages, got 602 and/);
  });
});
