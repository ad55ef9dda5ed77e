import { expect, test } from "vitest";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { sitePage } from "../../lib/report/sitePage.ts";
import { crewPaper } from "../../lib/report/papers/crewPaper.ts";
import { inspectPaper } from "../../lib/report/papers/inspectPaper.ts";
import { ownerPaper } from "../../lib/report/papers/ownerPaper.ts";
import { readerOf } from "../../lib/report/papers/reader.ts";
import { table } from "../../lib/report/table.ts";
import { settledRun } from "../../lib/simulate/settledRun.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { fixture } from "../site/siteFiles.ts";

// A name means nothing: pages of a site whose boxes, catchments, watch levels and storms bear a name that is a word of the program or of
// the language are those of a site with another name of the same letters, with the name put in.

const WORDS = ["constructor", "toString", "trenchPipe west", "boxOutlet east", "trenchPipe 1 to 2", "Spill tank", "emitter", "null"];

/** The same letters, word by word from behind: as long and as wide. */
function turned(name: string): string {
  return name.split(" ").map((word) => Array.from(word).reverse().join("")).join(" ");
}

/** Two boxes, everything that has a name bearing this one. */
function pagesWith(name: string): string {
  const boxes = JSON.parse(JSON.stringify(fixture("two-boxes")).replaceAll('"north"', JSON.stringify(name)).replaceAll('"court"', JSON.stringify(name))) as object;
  const site = readSite({
    ...boxes, watchLevels: [{ name, level: "25.6 m" }], surroundings: { features: [{ kind: "tree", name, distance: "4 m" }] },
    storms: [{ name, pattern: "block", depth: "60 mm", duration: "1 h" }],
  });
  const rain = designStorm({ pattern: "block", depth: "60 mm", duration: "1 h" });
  const run = settledRun(site, rain);
  const reader = readerOf("en-GB", "si");
  return [
    table([{ name, run }]), 
    ...[...crewPaper(site, reader), ...ownerPaper(run, name, reader), ...inspectPaper(site, reader)].map(({ body }) => body.markup),
    sitePage([{ name, run }], { live: { file: {}, rains: [{ name, rain, isRecorded: false }], program: { packed: "", notices: "", isWasm: true } } }),
  ].join("\n");
}

test.each(WORDS)("%s", (word) => {
  let expected = pagesWith(turned(word));
  // whole, and cut short
  for (let length = word.length; length >= 4; length--) {
    const end = length < word.length ? "…" : "";
    expected = expected.replaceAll(turned(word).slice(0, length) + end, word.slice(0, length) + end);
  }
  // labels in pictures break a name of two words by its width, and "tsew" is not as wide as its parts
  const lines = (pages: string): string[] => pages.split("\n").filter((line) => !word.includes(" ") || !line.includes("<svg"));
  const own = lines(pagesWith(word));
  expect(own).toEqual(lines(expected));
  expect(own.filter((line) => line.includes(word)).length).toBeGreaterThan(20);
});

test("a box whose name begins as another's does is not blocked with it", () => {
  const boxes = fixture("two-boxes");
  const site = readSite(JSON.parse(JSON.stringify(boxes).replaceAll('"north"', '"west"').replaceAll('"south"', '"west 2"')));
  const flow = hydrograph({ time: [0, 3600], flow: [1e-3, 1e-3] });
  const run = simulate(site, { "west": flow, "west 2": flow }, { until: "2 h", blocked: ["boxOutlet west"] });
  expect([run.flow("boxOutlet west", 3000), run.flow("boxOutlet west 2", 3000) > 5e-4]).toEqual([0, true]);
});
