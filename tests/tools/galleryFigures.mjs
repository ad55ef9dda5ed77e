// Every figure of the library from the demo sites, for the gallery and for the snapshots of their texts: a name, the call, and what makes it.
import { readFileSync } from "node:fs";

const text = (name) => readFileSync(new URL(`../../data/${name}`, import.meta.url), "utf8");

/** @param lib  of dist/index.js and dist/hydrology.js, with `stateMoments` beside it */
export async function galleryFigures(lib) {
  const site = (name) => lib.readSite(text(`${name}.json`));
  const lane = site("copperbeech-lane");
  const day = lib.designStorm({ pattern: "nrcs-ii", depth: "3.3 in" });
  const run = lib.simulate(lane, day);
  const [upper, lower, foot] = [site("hazelbank-upper-bench"), site("hazelbank-lower-bench"), site("sedge-hollow")];
  const wet = lib.designStorm({ pattern: "nrcs-ii", depth: "58 mm" });
  const named = [{ name: "upper bench", run: lib.simulate(upper, wet) }, { name: "lower bench", run: lib.simulate(lower, wet) }];
  const storm = { pattern: "nrcs-ii", depth: "3.3 in" };
  const sure = await lib.howSure(lane, { storm, conductivityWithin: 3, depthWithin: 1.25, levelsWithin: "1/4 in", runs: 200 });
  const { rainfall, sweep: swept, size: sized } = lane.studies;
  const years = await lib.often(lane, { climate: { stormsPerYear: 85, meanDepth: "0.45 in", meanDuration: "6 h" }, rainfall, years: 30 });
  const sweep = await lib.sweep(lane, { rainfall, ...swept });
  const size = await lib.size(lane, { rainfall, ...sized });
  const test = lib.soilTest({
    kind: "trialPit", length: "1.6 m", width: "0.6 m", bottomDown: "1.5 m",
    fills: [{ time: ["0 min", "20 min", "40 min", "60 min"], down: ["0.85 m", "1.03 m", "1.18 m", "1.29 m"] }],
  });
  const filled = lib.fillTest(lane, JSON.parse(text("copperbeech-fill-test.json")));
  const failed = lib.failedPit(lane, {
    storm: { pattern: "block", depth: "1.8 in", duration: "1 h" }, timesFrom: "end",
    dips: [{ time: "1 h", depth: "48 in" }, { time: "6 h", depth: "45 in" }, { time: "24 h", depth: "37 in" }],
  });
  const ahead = lib.years(lane, { storms: [{ name: "2-year day", load: day }] });
  const { about: _, ...dips } = JSON.parse(text("copperbeech-fill-test.json"));
  const life = lib.pitLife({
    ...JSON.parse(text("copperbeech-lane.json")),
    diary: [
      { date: "2026-05-20", ...dips }, { date: "2027-10-02", cleaned: "boxes" }, { date: "2028-01-14", lid: "open" },
      { date: "2031-04-30", found: { soil: 0.36, low: 0.29, high: 0.45 } }, { date: "2031-06-01", cleaned: "boxes and pit" },
      { date: "2032-04-30", found: { soil: 0.66, low: 0.52, high: 0.83 } },
    ],
  });
  const lived = lib.years(lane, { storms: [{ name: life.asDrawn.storm, load: life.asDrawn.rain }], years: 8 });
  const moved = lib.placement(foot, lib.designStorm({ pattern: "nrcs-ii", depth: "3.1 in" }), ["4 ft", "2 ft", 0, "-2 ft"]);
  return [
    ["figures.level(run)", (options) => lib.figures.level(run, options)],
    ...lib.stateMoments(run).map(({ state, time }) => [`figures.section(run, ${Math.round(time)}), ${state}`, (options) => lib.figures.section(run, time, options)]),
    ["figures.flow(run)", (options) => lib.figures.flow(run, options)],
    ["figures.ledger(run)", (options) => lib.figures.ledger(run, options)],
    ["figures.headBudget(run)", (options) => lib.figures.headBudget(run, options)],
    ["figures.storage(site)", (options) => lib.figures.storage(lane, options)],
    ["figures.sideBySide(runs)", (options) => lib.figures.sideBySide(named, options)],
    ["figures.placement(placement)", (options) => lib.figures.placement(moved, options)],
    ["figures.sitePlan(site)", (options) => lib.figures.sitePlan(lane, options)],
    ["figures.soilTest(result)", (options) => lib.figures.soilTest(test, options)],
    ["figures.sweep(sweep)", (options) => lib.figures.sweep(sweep, options)],
    ["figures.sweepCurve(sweep)", (options) => lib.figures.sweepCurve(sweep, options)],
    ["figures.size(size)", (options) => lib.figures.size(size, options)],
    ["figures.front(size)", (options) => lib.figures.front(size, options)],
    ["figures.fan(sure)", (options) => lib.figures.fan(sure, options)],
    ["figures.swing(sure)", (options) => lib.figures.swing(sure, options)],
    ["figures.exceedance(often)", (options) => lib.figures.exceedance(years, options)],
    ["figures.fillTest(result)", (options) => lib.figures.fillTest(filled, options)],
    ["figures.failedPit(diagnosis)", (options) => lib.figures.failedPit(failed, options)],
    ["figures.years(years)", (options) => lib.figures.years(ahead, options)],
    ["figures.pitLife(life, years)", (options) => lib.figures.pitLife(life, lived, options)],
  ];
}
