import { describe, expect, test } from "vitest";
import { answerOfStorms, answerSentence, spilledText } from "../../lib/figures/answer.ts";
import { headBudgetFigure } from "../../lib/figures/headBudgetFigure.ts";
import { soilText } from "../../lib/figures/runSubtitle.ts";
import { waterBook } from "../../lib/figures/waterBook.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { whyPitStands } from "../../lib/report/whyPitStands.ts";
import { drainHead, drainWords } from "../../lib/report/drainWords.ts";
import { hangsOnPart } from "../../lib/report/hangsOnPart.ts";
import { ownerPaper } from "../../lib/report/papers/ownerPaper.ts";
import { readerOf } from "../../lib/report/papers/reader.ts";
import { stormSection } from "../../lib/report/sitePage.ts";
import { summary } from "../../lib/report/summary.ts";
import { table } from "../../lib/report/table.ts";
import { capacitySentence, exitRows, wayOutSentences } from "../../lib/report/wayOut.ts";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { drainTime } from "../../lib/simulate/drainTime.ts";
import type { ExitKind } from "../../lib/simulate/exits.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { settledRun } from "../../lib/simulate/settledRun.ts";
import { waysOut, type WayOut } from "../../lib/simulate/waysOut.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { fillSheet } from "../../lib/dips/fillSheet.ts";
import { runWords } from "../../lib/study/runWords.ts";
import { levelText, waterText } from "../../lib/text/format.ts";
import { expectClose } from "../closeTo.ts";
import { UNUSUAL, type Unusual } from "./unusualSites.ts";

/** A page's part as lines of text: one a paragraph, a heading, an item or a row of a table. */
function linesOf(markup: string): string[] {
  return markup
    .replace(/<details>[^]*?<\/details>|<script[^]*?<\/script>|<style[^]*?<\/style>|<svg[^]*?<\/svg>/g, "")
    .replace(/<\/t[hd]>\s*<t[hd]/g, "</td> | <td")
    .replace(/\s+/g, " ")
    .replace(/<\/(p|h[1-6]|li|tr|figcaption|dt|dd|caption)>/g, "\n")
    .replace(/<[^>]*>/g, "")
    .replace(/&#(\d+);/g, (_, code: string) => String.fromCharCode(Number(code)))
    .replace(/\u00a0/g, " ")
    .split("\n").map((line) => line.trim()).filter((line) => line !== "");
}

/** A site's run and all that is said of it, made once. */
interface Said {
  readonly run: Run;
  readonly ways: readonly WayOut[];
  readonly parts: readonly string[];
}

const KNOWN = new Map<string, Said>();

function said({ name, file, load }: Unusual): Said {
  const known = KNOWN.get(name);
  if (known !== undefined) return known;
  const site = readSite(file);
  const run = settledRun(site, load);
  const storm = { name, run, ways: waysOut(run) };
  const made: Said = {
    run, ways: storm.ways,
    parts: [
      answerSentence(run), capacitySentence(site), ...site.notes,
      "--- report", ...linesOf(stormSection(storm, { index: 0, isAlone: true, isOnTop: false }).markup),
      "--- hangs on", ...linesOf(hangsOnPart([storm]).section.markup),
      "--- house", ...ownerPaper(run, name, readerOf("en-GB", site.units)).flatMap(({ body }) => linesOf(body.markup)),
    ],
  };
  KNOWN.set(name, made);
  return made;
}

const named = (name: string): Said => said(UNUSUAL.find((each) => each.name === name)!);

test("sites that differ from the usual in one thing each are forty or more", () => {
  expect(new Set(UNUSUAL.map(({ name }) => name)).size).toBeGreaterThanOrEqual(40);
});

describe("what is said of a site with", () => {
  test.each(UNUSUAL)("$name", (each) => {
    expect(said(each).parts).toMatchSnapshot();
  });
});

describe("on every unusual site", () => {
  test.each(UNUSUAL)("words have their numbers, and what came out is one sum: $name", (each) => {
    const { run, ways, parts } = said(each);
    const { units } = run.site;
    const [answer, ...lines] = parts as [string, ...string[]];
    const text = [answer, ...lines, table([{ name: each.name, run }])].join("\n");
    expect(text).not.toMatch(/NaN|undefined|\bnull\b|Infinity|\[object|-0\b/);

    // one formula for what comes to the surface: that of the run, and of its exits
    const reached = ways.find(({ when }) => when === "asRun")!.exits!;
    const out = reached.filter(({ kind, volume }) => kind !== "emitter" && volume !== null);
    expectClose(out.reduce((sum, { volume }) => sum + volume!, 0), run.spilled, { absolute: 1e-5, because: "events leave out less than a cubic centimetre" });
    const emitter = reached.find(({ kind }) => kind === "emitter");
    expectClose(emitter?.volume ?? 0, run.emitted, { absolute: 1e-9, because: "the same firings" });

    // the headline tells every place where a tenth of a litre or more comes up, and none where none does
    for (const [kinds, words] of PLACES) {
      const volume = out.filter(({ kind }) => kinds.includes(kind)).reduce((sum, exit) => sum + exit.volume!, 0);
      expect([words, words.test(answer)]).toEqual([words, volume > 1e-4]);
    }
    expect(answer.includes(" stays shut")).toBe(emitter !== undefined && run.firings.length === 0 && !answer.includes("held shut"));

    // one level for one thing
    const peak = waterText(run.peaks["chamberBank"]!.level, units);
    const rises = /pit rises to ([\d.]+ \w+)/.exec(answer)?.[1] ?? peak;
    expect([rises, parts.find((line) => line.startsWith("pit rises to | "))!.split(" | ")[1]]).toEqual([peak, peak]);
    if (run.site.emitter !== null) {
      const opens = levelText(run.site.emitter.opensAt, units);
      expect(parts.filter((line) => /emitter opens (at )?[\d.]/i.test(line)).map((line) => /emitter opens (?:at )?([\d.]+ \w+)/i.exec(line)![1])).toEqual(
        parts.filter((line) => /emitter opens (at )?[\d.]/i.test(line)).map(() => opens),
      );
    }

    // one time to drain
    const empty = parts.find((line) => line.startsWith("empty, after it was last full | "))!.split(" | ")[1]!;
    const lasting = /, ([\d.]+ \w+) after it was last full/.exec(answer)?.[1];
    if (lasting !== undefined) expect(empty.startsWith(lasting)).toBe(true);
    expect(empty.startsWith("never")).toBe(/the pit (is never|never empties)/.test(answer));
    expect(/is empty at/.test(answer) && /, to /.test(empty)).toBe(false);
  });
});

/** Where water comes to the surface, and what the headline calls it. */
const PLACES: readonly (readonly [kinds: readonly ExitKind[], words: RegExp])[] = [
  [["trenchGround"], /up through the ground at the trench/], [["pitGround"], /up through the ground at the pit/], [["grate"], /up through the grate/],
  [["boxRim"], /over the box rim|over the rims? of/], [["lowSpotLip"], /over the lip of the low spot/],
];

describe("groundwater over the sill", () => {
  const { parts } = named("groundwater over the sill");

  test("is not said to shut, to be first let out by the rain, or to leave room", () => {
    const text = parts.join("\n");
    expect(text).not.toMatch(/shuts by itself|first opens at|is room for rain|Rain of 0|faster than the soil can take it/);
    expect(parts[1]).toBe("Groundwater alone fills the works to 9.362 m, where water comes out: there is no room for rain.");
    expect(text).not.toMatch(/Not in this storm:.*the trench runs/);
  });
});

test("an emitter that lets out groundwater alone is said to let out all of it with or without the rain", () => {
  const { file } = UNUSUAL.find(({ name }) => name === "groundwater over the sill")!;
  const dry = settledRun(readSite(file), { chamberBank: hydrograph({ time: [0, 3600], flow: [0, 0] }) }, { until: "6 h" });
  expect(answerSentence(dry)).toMatch(/the emitter lets groundwater out whether it rains or not, open for .* in all \([\d.]+ L, all of it with or without the rain\)/);
});

test("a lid held shut at the start lets nothing out before it is free", () => {
  const { parts } = named("a lid frozen for the storm, free after it");
  expect(parts).toContain("The water first comes up through the ground at the trench, from hour 0.9 on, 1.82 m³ in all."
    .replace(/^/, "Where does the water come out? "));
  expect(parts.join("\n")).not.toContain("More comes than the emitter lets out");
});

test("a pit whose water table falls away is not said to be empty while it stands where it started", () => {
  const { parts } = named("a water table that falls out of the pit");
  expect(parts.join("\n")).not.toMatch(/is empty after|empty at hour/);
});

test("a pit that its water table still fills is not said to be back at it", () => {
  const { run } = named("a water table that falls from over the sill");
  const time = drainTime(run)!;
  expect(time.empty).not.toBeNull();
  // the table passes 9.36 m between hour 10 and hour 40, at hour 12.8
  expect(time.full + time.empty!).toBeGreaterThan(12.5 * 3600);
});

test("a pit that its water table leaves in the end is not said to be never empty", () => {
  const { file, load } = UNUSUAL.find(({ name }) => name === "a water table that falls from over the sill")!;
  const until = (level: string): Run => {
    const series = [{ time: "0 h", level: "9.6 m" }, { time: "10 h", level: "9.6 m" }, { time: "40 h", level }];
    return settledRun(readSite({ ...file, groundwater: { level: series } }), load);
  };
  const cellsOf = (run: Run): readonly string[] => summary([{ name: "hour", run }]).flatMap(({ rows }) => rows)
    .filter(({ label }) => label === "empty").flatMap(({ values }) => values);
  // the floor lies at 8 m
  const [leaves, stays] = [until("7 m"), until("8.2 m")];
  expect([drainTime(leaves)!.rest, drainTime(stays)!.rest]).toEqual(["groundwater", "groundwater"]);
  expect([drainHead(leaves), drainHead(stays)]).toEqual(["How the pit empties", "The pit is never empty"]);
  expect(drainWords(leaves)).toMatch(/^Groundwater stands in it then, at [\d.]+ m, \d+ mm over its floor, and falls below that floor later\. /);
  expect(drainWords(stays)).toMatch(/^Groundwater stands in it, at [\d.]+ m, \d+ mm over its floor\. /);
  expect(cellsOf(leaves)[0]).toMatch(/ h, to its groundwater$/);
  expect(cellsOf(stays)).toEqual(["never: groundwater"]);
});

test("the rain that fills the works is said to leave out what a low spot sends into them", () => {
  const fed = named("a low spot with a grate, the emitter in it");
  expect(fed.parts[1]).toMatch(/^Rain of \d+ mm, without what runs in from the low spot, fills the works to /);
  // it has neither a grate nor a body that spills into it
  const apart = named("a low spot in sealed ground under groundwater");
  expect(apart.parts[1]).toMatch(/^Rain of \d+ mm fills the works to /);
});

test("without an emitter nothing comes out elsewhere than there", () => {
  const { run, parts } = named("no trench and no emitter");
  const large = settledRun(run.site, designStorm({ pattern: "block", depth: "150 mm", duration: "1 h" }));
  expect(answerOfStorms([{ name: "hour", run }, { name: "large", run: large }])).toMatch(/^Water comes out at the surface in 1 of 2 \(/);
  expect(parts).toContain("comes out at the surface | nothing | nothing");
  expect(parts.join("\n")).not.toContain("elsewhere");
});

test("the one box of several that runs over, or stands nearest to its rim, is named", () => {
  const { file } = UNUSUAL.find(({ name }) => name === "several boxes, one in a hole too low")!;
  const run = settledRun(readSite(file), designStorm({ pattern: "block", depth: "90 mm", duration: "1 h" }));
  const over = run.events.filter(({ kind, value }) => kind === "spills" && (value ?? 0) > 1e-4).map(({ body }) => body);
  expect(over).toEqual(["west"]);
  expect(answerSentence(run)).toMatch(/ comes out over the rim of “west”/);
  expect(waterBook(run).wentTo.map(({ words }) => words)).toContain("over the rims of the boxes");
  expect(headBudgetFigure(run).answer).toMatch(/^The water in box “west” stands /);
});

test("seepage paths that come to one time to drain are told once", () => {
  const file = { ...UNUSUAL[0]!.file, soil: { layers: [{ conductivity: "30 mm/h" }], factorOfSafety: 2 }, groundwater: { level: "5.2 m", pathLength: "2 m" } };
  const { answer } = hangsOnPart([{ name: "hour", run: settledRun(readSite(file), designStorm({ pattern: "block", depth: "20 mm", duration: "1 h" })) }]);
  const times = /by the seepage path (.*)\.$/.exec(answer)![1]!.split(" or ");
  expect(new Set(times).size).toBe(times.length);
  expect(times).toHaveLength(2);
});

test("a grate that lets water up is told in the headline of several storms", () => {
  const { run } = named("a pit that comes up through its grate");
  const dry = settledRun(run.site, designStorm({ pattern: "block", depth: "1 mm", duration: "1 h" }));
  const storms = [{ name: "large", run }, { name: "small", run: dry }];
  expect(answerOfStorms(storms)).toMatch(/Water comes out at the surface in 1 of 2 \(3\.29 m³ in “large”, up through the grate\)/);
  expect(answerOfStorms([storms[1]!, { ...storms[1]!, name: "also small" }])).toContain("Nothing comes out over a rim, up the grate or up through the ground");
});

test("of several storms the deepest puddle and the one that stands longest are both told", () => {
  const { run } = named("a low spot with a grate, the emitter in it");
  const late = settledRun(run.site, designStorm({ pattern: "mass-curve", points: [["0 h", "0 mm"], ["400 h", "0 mm"], ["401 h", "20 mm"]] }));
  const said = answerOfStorms([{ name: "now", run }, { name: "late", run: late }]);
  expect(said).toMatch(/the low spot stands up to \d+ mm deep and is dry at [^(]+ \(longest in “late”, \d+ mm deep and is dry at [^)]+\)/);
  expect(answerOfStorms([{ name: "now", run }, { name: "again", run }])).not.toContain("longest");
});

test("water over the lip is not added to what came up before", () => {
  const { run } = named("a low spot with a grate, the emitter in it");
  expect(spilledText(run)).toBe("2.97 m³ up, 1.2 m³ over the lip");
  expect(runWords(run)).toMatch(/2\.97 m³ comes out over a rim, the ground or the grate, and 1\.2 m³ goes over the lip of the low spot$/);
});

const textOf = (name: string): string => named(name).parts.join("\n");

test("a puddle that stands over its water table is not said to be held by it", () => {
  // the hollow is full to its lip, 250 mm deep, the water table 100 mm over its floor, and its soil takes in nothing
  expect(textOf("a low spot in sealed ground under groundwater")).toContain("stays 250 mm deep (nothing soaks away there)");
});

test("a pit that goes up and down with the lid is not said to stay at a level", () => {
  expect(textOf("groundwater over the sill")).not.toContain("stays at");
});

test("where one column is back at its groundwater and the other empty, the headline says which", () => {
  expect(textOf("a water table that rises into the pit later")).toContain("empty after: 19 h as the file says, 69 h (back at its groundwater) once silt has sealed the floors");
});

test("a little that flows is not written as none", () => {
  expect(textOf("a weep hole alone in shut soil")).toMatch(/weep hole to soil under 0\.001 L\/s at hour/);
  expect(textOf("neither floor nor sides")).toContain("the soil has taken nothing");
});

test("where neither floors nor sides take in water nothing is said to hang on the soil", () => {
  expect(textOf("neither floor nor sides")).not.toMatch(/hangs on the|Soil as used/);
  expect(textOf("a weep hole alone in shut soil")).toContain("hangs on the 10 mm/h used");
});

test("what a run still holds at its end is not said to stay", () => {
  expect(textOf("clay under the sides' loam")).toContain("69 % goes into the soil and 31 % is still held at hour 73.");
});

test("turf that is lifted is not said to hold what lifts it", () => {
  expect(textOf("the trench under turf that slopes, the soil over it shut")).not.toContain("soil and turf are taken to hold it.");
});

test("nothing is said of chambers on a site without any, nor of grit held back without a sump", () => {
  expect(textOf("stone alone, a round box without a sump")).not.toMatch(/chambers|holds back grit/);
});

test("where the emitter's crest stands under water the head is counted from that water, and called so", () => {
  expect(textOf("an emitter under water outside")).toContain("The water in the box stands 50 mm over the water outside the emitter");
  expect(textOf("a low spot with a grate, the emitter in it")).not.toContain("the emitter's sill");
});

test("how far the lid is from opening is one number, its puddle reckoned in", () => {
  const { parts } = named("a low spot with a grate, the emitter in it");
  expect(parts.join("\n")).toContain("the emitter stays shut with 11 mm to spare, for water in the low spot presses on its lid");
  expect(parts).toContain("emitter opens 9.432 m | held back, 11 mm short | held back, 12 mm short");
});

test("water is not said to come out at a lid that is held shut", () => {
  expect(named("a lid held shut all through").parts[1]).toMatch(/fills the works to 9\.362 m, where the emitter opens if its lid is free \(/);
});

test("rain from a lawn is not said to be a roof's, and a hose is no storm", () => {
  expect(textOf("a lawn that sheds nothing")).not.toContain("roof");
  expect(textOf("a hose into the pit")).not.toMatch(/[Nn]ot in this (?:storm|rain)|heavy rain does|rain begins|No water runs through the works/);
});

test("several boxes that choke are not told as one", () => {
  expect(textOf("several boxes, one in a hole too low")).not.toContain("box outlet choked");
});

test("a dry trench has no water below its ground", () => {
  const { run } = named("a small storm that never reaches the trench");
  const levels = summary([{ name: "shower", run }]).find(({ heading }) => heading === "Highest water")!.rows;
  const trench = levels.findIndex(({ label }) => label === "trench");
  expect(levels.slice(trench, trench + 2).map(({ values }) => values)).toEqual([["dry"], ["–"]]);
});

test("groundwater at the trench alone, which the pit soaks away, is not said to fill the works or to lift the lid", () => {
  const { run, parts } = named("a trench's water table over the sill, the pit's far below");
  const dry = settledRun(run.site, { chamberBank: hydrograph({ time: [0, 3600], flow: [0, 0] }) });
  expect([run.firings.length, dry.firings.length]).toEqual([1, 0]);
  expect(parts.join("\n")).not.toMatch(/groundwater alone|rain or not/i);
});

test("a pit that spills is not said to hold all of it", () => {
  const { run, parts } = named("ground over the pit lower than the pipe into the trench");
  expect(run.spilled).toBeGreaterThan(1);
  expect(parts.join("\n")).not.toContain("holds all of it");
});

test("where water comes out below the lid, the rain that fills the works to the lid is not said to, nor is the lid to lift", () => {
  for (const name of ["ground over the pit lower than the pipe into the trench", "turf over the trench lower than its lid"]) {
    const { run, parts } = named(name);
    expect(run.firings).toHaveLength(0);
    expect(parts[1]).toMatch(/would fill the works to [\d.]+ m, where the emitter opens \(.*, but it comes out lower down before/);
    expect(parts.join("\n")).not.toMatch(/in a large one the emitter runs|it lifts a lid/);
  }
});

describe("a lid lower than the pipe into the trench", () => {
  const name = "a lid lower than the pipe into the trench";

  test("is not said to open with the rain that fills the pit to its level", () => {
    expect(named(name).parts[1]).toContain("but the pit runs over into the trench at 9.100 m only");
  });

  test("is as far from opening as the trench's water is below it", () => {
    const { run, parts } = named(name);
    // the pit stands higher than the lid, the trench lower
    expect(run.peaks["chamberBank"]!.level).toBeGreaterThan(run.site.emitter!.opensAt);
    const short = 1000 * (run.site.emitter!.opensAt - run.peaks["overflowTrench"]!.level);
    expect(parts[0]).toContain(`the emitter stays shut with ${short.toFixed(1)} mm to spare`);
    expect(parts.join("\n")).not.toContain("low spot it discharges into");
  });

  test("is as far from opening as a pit that does not run over is below that pipe", () => {
    const run = settledRun(named(name).run.site, designStorm({ pattern: "block", depth: "30 mm", duration: "1 h" }));
    const short = Math.round(1000 * (9.1 - run.peaks["chamberBank"]!.level));
    expect(run.peaks["chamberBank"]!.level).toBeGreaterThan(run.site.emitter!.opensAt);
    expect(run.notes).toContain(`The emitter stays shut: the water of the pit stops ${short} mm below the pipe into the trench.`);
    const ways = waysOut(run);
    expect(wayOutSentences(run, ways).first).toBe(`The water comes out nowhere: it stops ${short} mm below the pipe into the trench.`);
    expect(exitRows(run, ways)[0]!.cells[0]).toBe(`${short} mm short of the trench`);
  });
});

test("a pipe into the trench that passes little leaves the lid as far from opening as the trench is, not the pit", () => {
  const { overflowTrench: trench } = UNUSUAL[0]!.file as { overflowTrench: { inlet: object } };
  const narrow = { ...trench, inlet: { ...trench.inlet, diameter: "20 mm" } };
  const run = settledRun(readSite({ ...UNUSUAL[0]!.file, overflowTrench: narrow }), designStorm({ pattern: "block", depth: "45 mm", duration: "1 h" }));
  expect(run.peaks["chamberBank"]!.level).toBeGreaterThan(run.site.emitter!.opensAt);
  expect(run.firings).toHaveLength(0);
  expect(run.notes.find((note) => note.startsWith("The emitter stays shut"))).toMatch(/: the water of pit and trench stops \d+ mm below the level that lifts its lid/);
});

test("the head is told of a box that water runs through, not of one that only stands nearer to its rim", () => {
  expect(textOf("two boxes, one never fed")).toContain("The water in box “east” stands 84 mm below the emitter's sill");
});

test("a puddle that never dries because the works feed it says so", () => {
  const { run, parts } = named("groundwater over the grate, the hollow's own far below");
  expect(run.flow("lowSpotSeepage", run.until)).toBeGreaterThan(1e-7);
  expect(parts[0]).toContain("(as much runs in as soaks away)");
});

test("soil that lets through next to nothing is not soil that lets through nothing", () => {
  const text = textOf("a liner that lets through next to nothing");
  expect(text).toContain("the pit is not empty in 3650 days");
  expect(text).toContain("the soil has taken next to nothing");
  expect(text).not.toMatch(/\b0 mm\/h|nothing more soaks away|no seepage/);
  expect(soilText(named("a liner that lets through next to nothing").run.site)).toBe("soil under 0.001 mm/h, untested");
});

test("a floor at the water table lies level with it, and water that stands at a level from the start does not reach it later", () => {
  const { parts } = named("groundwater exactly at the floor, levels to watch under water");
  expect(parts).toContain("The floor of the pit lies level with the highest groundwater given; public manuals ask for about a metre (3 ft).");
  expect(parts.join("\n")).not.toContain("at hour 0.\n");
});

test("a hose that fills a small pit in seconds is not left on for a minute", () => {
  const { hoses, volume } = fillSheet(named("a pit no larger than a bucket").run.site);
  const { flow, duration } = hoses.at(-1)!;
  // the soil takes next to nothing in so short a time
  expectClose(duration!, volume / flow, { relative: 0.02, because: "what the soil takes meanwhile" });
});

test("the live page says no pit runs empty into soil that takes in nothing, and no groundwater lies 0 mm below a floor", () => {
  expect(whyPitStands(named("soil that takes in nothing").run, 0)).toBe("Neither floor nor sides of the pit take in water: nothing soaks away.");
  expect(whyPitStands(named("groundwater exactly at the floor, levels to watch under water").run, 0)).toMatch(/^The groundwater lies level with the pit's floor: /);
});

test("a lid that is held shut all through is not said to lift", () => {
  const text = textOf("a lid held shut all through");
  expect(text).toContain("a small lid in the grass should lift and let water out; on this paper it is held shut.");
  expect(text).not.toMatch(/That is meant to happen/);
});

test("groundwater that comes out below the lid fills the works to there, not to the lid", () => {
  const { file } = UNUSUAL.find(({ name }) => name === "turf over the trench lower than its lid")!;
  // the trench's ground lies at 9.3 m, the lid opens at 9.412 m
  for (const level of ["9.35 m", "9.5 m"]) {
    expect(capacitySentence(readSite({ ...file, groundwater: { level } }))).toBe("Groundwater alone fills the works to 9.300 m, where water comes out: there is no room for rain.");
  }
  expect(capacitySentence(readSite({ ...file, groundwater: { level: "9.25 m" } }))).toMatch(/^Rain of /);
});
