import { readdirSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { setOut } from "../../lib/plan/setOut.ts";
import { clashes } from "../../lib/plan/clashes.ts";
import { digLevels } from "../../lib/plan/digLevels.ts";
import { pipeRuns } from "../../lib/plan/pipeRuns.ts";
import { takeOff } from "../../lib/plan/takeOff.ts";
import { fillSheet } from "../../lib/dips/fillSheet.ts";
import { blockStormTable } from "../../lib/plan/publishedChecks.ts";
import { hyetograph } from "../../lib/rain/hyetograph.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { crewPaper } from "../../lib/report/papers/crewPaper.ts";
import { inspectPaper } from "../../lib/report/papers/inspectPaper.ts";
import { orderCsv } from "../../lib/report/papers/buying.ts";
import { ownerPaper } from "../../lib/report/papers/ownerPaper.ts";
import { trusted } from "../../lib/report/markup.ts";
import { keptUnits, paperFrame } from "../../lib/report/papers/paperFrame.ts";
import { languages, PHRASES, type Language } from "../../lib/report/papers/phrases.ts";
import { readerOf } from "../../lib/report/papers/reader.ts";
import { balanceRows, tableTimes } from "../../lib/report/papers/reviewTables.ts";
import { stageTables } from "../../lib/simulate/stageTable.ts";
import { settledRun } from "../../lib/simulate/settledRun.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { shownIn } from "../../lib/site/shownIn.ts";
import { expectClose } from "../closeTo.ts";
import { changed, demo } from "../site/siteFiles.ts";

const lane = readSite(demo("copperbeech-lane"));
const row = readSite(demo("linden-row"));
const rain = designStorm({ pattern: "block", depth: "46 mm", duration: "1 h" });

function textOf(markup: string): string {
  return markup.replace(/<[^>]*>/g, " ").replace(/&#(\d+);/g, (_, code: string) => String.fromCharCode(Number(code))).replace(/\s+/g, " ");
}

/** A length as papers print it: inches, or millimetres. */
function printed(text: string): number {
  const sign = /^\s*[−-]/.test(text) ? -1 : 1;
  const plain = text.replace(/^\s*[+−-]\s*/, "").replace(/\u00a0/g, " ").trim();
  const metres = /^(\d+(?:\.\d+)?)(?: m)?$/.exec(plain);
  if (metres !== null) return sign * 1000 * Number(metres[1]);
  const feet = /^(?:(\d+)' )?(?:(\d+)(?: |"))?(?:(\d+)\/(\d+)")?$/.exec(plain);
  if (feet === null) throw new Error(`expected a length, got ${text}`);
  const [, whole = "0", inches = "0", over = "0", under = "1"] = feet;
  return sign * (12 * Number(whole) + Number(inches) + Number(over) / Number(under));
}

/** The sheets of crew, owner and inspector as text. */
function papersIn(site: typeof lane, language: Language): string {
  const reader = readerOf(language, site.units);
  return [...crewPaper(site, reader), ...ownerPaper(settledRun(site, rain), "storm", reader), ...inspectPaper(site, reader)]
    .map(({ title, body }) => textOf(`${title} ${body.markup}`)).join("\n");
}

describe("the table of phrases", () => {
  const holes = (text: string): string[] => [...text.matchAll(/\{(\w+)\}/g)].map(([, name]) => name!).sort();
  const entries = Object.entries(PHRASES) as [string, readonly string[]][];

  test("has every phrase in every language, with the same things to fill in", () => {
    const faults = entries.flatMap(([key, texts]) => texts.flatMap((text, i) => (
      text.trim() === "" || holes(text).join() !== holes(texts[0]!).join() ? [`${key}[${i}]: ${text}`] : []
    )));
    expect(faults).toEqual([]);
    expect(entries.every(([, texts]) => texts.length === 3 || texts.length === 4)).toBe(true);
  });

  test("is no sentence of English in German or Spanish", () => {
    const english = /\b(the|and|with|from|water|until|where|which|nobody|before)\b/i;
    const left = entries.flatMap(([key, [, german, spanish]]) => (
      [german!, spanish!].filter((text) => english.test(text.replace(/\{\w+\}/g, ""))).map((text) => `${key}: ${text}`)));
    expect(left).toEqual([]);
  });

  test("holds the same numbers in every language", () => {
    const numbers = (text: string): string => (text.replace(/,(?=\d)/g, ".").match(/\d+(?:\.\d+)?/g) ?? []).sort().join(" ");
    expect(entries.filter(([, texts]) => new Set(texts.map(numbers)).size > 1).map(([key]) => key)).toEqual([]);
  });
});

test("a reader's decimal mark is that of the country: Mexico and the United States write a point in Spanish, Spain and Germany a comma", () => {
  // Unicode CLDR, from memory
  const marks: readonly (readonly [Language, string | null, string])[] = [
    ["es", null, "1,5 m"], ["es", "ES", "1,5 m"], ["es", "MX", "1.5 m"], ["es", "US", "1.5 m"], ["es", "AR", "1,5 m"],
    ["de", "DE", "1,5 m"], ["de", "US", "1,5 m"], ["en-US", "DE", "1.5 m"], ["en-GB", "ES", "1.5 m"],
  ];
  for (const [language, region, text] of marks) expect(readerOf(language, "si", "si", region).number("1.5 m"), `${language} ${region}`).toBe(text);
  expect(orderCsv(row, readerOf("es", "si", "si", "MX"))).toMatch(/^[^;]*\r\n/);
});

test("papers in all languages give the same numbers, in feet and in metres", () => {
  const numbers = (text: string): string[] => (text.replace(/(\d),(?=\d)/g, "$1.").match(/\d+(?:\.\d+)?/g) ?? []).sort();
  for (const site of [lane, shownIn(lane, "si")]) {
    const english = numbers(papersIn(site, "en-US"));
    expect(english.length).toBeGreaterThan(400);
    for (const language of languages.slice(1)) expect(numbers(papersIn(site, language)), language).toEqual(english);
  }
});

describe("the crew's sheets", () => {
  test("put a main through the box's hole before all else, and tell British readers of turf and downpipes", () => {
    const gas = readSite(changed(demo("copperbeech-lane"), "surroundings.features[5].line", [["78 ft", "64 ft"], ["78 ft", "151 ft"]]));
    const [first] = crewPaper(gas, readerOf("en-US", "us"));
    const text = textOf(first!.body.markup);
    expect(text.indexOf("CROSSES IT")).toBeLessThan(200);
    expect(papersIn(lane, "en-GB")).toMatch(/turf(?!.*sod)/);
    expect(papersIn(lane, "en-US")).toContain("sod");
  });

  test("name the nearest line where none is near, and those that a laid-back wall would meet, by hand", () => {
    // the pit's east side stands at x = 78 + 13.5 / 2 = 84.75 ft, the main at 90 ft: 5.25 ft;
    // laid back 1 : 1 a pit reaches its depth, 6.1 ft
    const [first] = crewPaper(lane, readerOf("en-US", "us"));
    const text = textOf(first!.body.markup);
    expect(text).toContain("None on the plan is so near. The nearest: buried line “gas”, 5.2 ft from the pit.");
    expect(text).toContain("Laid back 1 along to 1 down it would reach: buried line “gas” (5.2 ft from the pit). Shore there.");
    const bare = readSite(changed(demo("copperbeech-lane"), "surroundings.features[5].kind", "road"));
    expect(papersIn(bare, "en-US")).toContain("The plan shows none at all.");
  });

  test("lay back only what the region's rule speaks of, by hand", () => {
    // the pit alone is 5 ft deep or more; a prismoid: 6.1/6 (13.5 x 8 + 4 x 19.6 x 14.1 + 25.7 x 20.2) = 1761 cu ft;
    // upright 13.5 x 8 x 6.1 = 659
    const text = textOf(crewPaper(lane, readerOf("en-US", "us"))[2]!.body.markup);
    expect(text).toMatch(/in all 33\.9 cu yd 98 cu yd 143 cu yd in all, laid back only where it is that deep: pit 33\.9 cu yd 74\.8 cu yd/);
    expectClose(33.9 + (1761 - 659) / 27, 74.8, { relative: 2e-3, because: "figures of three digits" });
  });

  test.each([["DE", "1,25 m", "DIN 4124"], ["ES", "0,8 m", "INSST NTP 278"], ["AT", "1,25 m", "österreichische Verordnungen"], ["GB", "1,2 m", "britische Bauunternehmen"]])(
    "name the rule of %s on walls", (region, depth, says) => {
      const site = readSite(changed(demo("linden-row"), "region", region));
      const text = textOf(crewPaper(site, readerOf(region === "ES" ? "es" : "de", "si"))[0]!.body.markup);
      expect(text).toContain(region === "ES" ? `Desde ${depth} (${says}` : `Ab ${depth} (${says}`);
    },
  );

  test("give levels from the outlet up, with what to add to the staff's reading on the benchmark, by hand", () => {
    // benchmark: house slab, 100 ft; trench floor at its low end 94.75 ft: 5 ft 3 in more; pit floor 92.1 ft: 7 ft 10.8 in
    const text = textOf(crewPaper(lane, readerOf("en-US", "us"))[1]!.body.markup);
    expect(text).toContain(`1 trench floor, low end 94' 9" + 5' 3"`);
    expect(text).toContain(`3 pit floor 92' 1 1/4" + 7' 10 3/4"`);
    expect(text.indexOf("trench floor")).toBeLessThan(text.indexOf("pit floor"));
  });

  test.each([["lane", lane], ["row", row], ["bench", readSite(demo("hazelbank-lower-bench"))]] as const)("of %s dig and set every level once, in the order of the steps", (_, site) => {
    const [, levels, build] = crewPaper(site, readerOf("en-US", site.units)).map(({ body }) => textOf(body.markup.replaceAll("</li>", "\n")));
    // "Levels 4–10." at the end of a step, in the order of the steps
    const told = [...build!.matchAll(/Levels ([\d–, ]+)\./g)].flatMap(([, runs]) => runs!.split(", ").flatMap((run) => {
      const [from, to = from] = run.split("–").map(Number) as [number, number | undefined];
      return Array.from({ length: to - from + 1 }, (__, i) => from + i);
    }));
    expect(told).toEqual(told.map((__, i) => i + 1));
    expect(told).toHaveLength(digLevels(site).length);
    expect(levels).toContain("height of instrument (H)");
    expect(levels).toContain("on the staff: H − level");
    for (const named of ["floor of its trench, at the box", "cut off: mark of the fill test"]) expect(levels).toContain(named);
  });

  test("hold no sum that does not agree: levels, what to add, depths, falls and drops as they are printed, on every demo", () => {
    const names = readdirSync(new URL("../../data/", import.meta.url)).map((name) => name.replace(/\.json$/, ""))
      .filter((name) => !/\.|^pictures$|^rain$|fill-test|ash-creek|juniper-yard/.test(name));
    expect(names.length).toBeGreaterThan(4);
    let sums = 0;
    for (const site of names.flatMap((name) => [readSite(demo(name)), shownIn(readSite(demo(name)), "si"), shownIn(readSite(demo(name)), "us")])) {
      const reader = readerOf("en-US", site.units);
      const [stop, levels, build, fill] = crewPaper(site, reader).map(({ body }) => body.markup) as [string, string, string, string];
      const list = digLevels(site);
      const lines = [...levels.matchAll(/<tr>(<th scope="row">.*?)<\/tr>/gs)].map(([, line]) => line!.split(/<\/t[hd]>/).map((cell) => textOf(cell).trim()));
      expect(lines).toHaveLength(list.length);
      const hasBench = /Benchmark: .*?, level /.test(textOf(levels));
      const at = (column: number): number => column - (hasBench ? 0 : 1);
      const same = (a: number, b: number, what: string): void => {
        sums++;
        expectClose(a, b, { absolute: 1e-6, because: `a sum of what is printed: ${site.name}, ${site.units}, ${what}` });
      };
      const shown = lines.map((cells) => (
        { level: printed(cells[3]!), add: hasBench ? printed(cells[4]!) : null, below: cells[at(6)]!, fall: cells[at(7)]! }));
      const bench = hasBench ? printed(/, level (?:[\d.]+ ft \((.*?)\)|([\d.]+ m))\./.exec(textOf(levels))!.slice(1).find((each) => each !== undefined)!) : null;
      const grounds = new Map<number, number>();
      list.forEach(({ what, ground, falls, dropsTo }, i) => {
        const { level, add, below, fall } = shown[i]!;
        if (bench !== null) same(level + add!, bench, `${what}: added to the benchmark`);
        if (ground !== null) {
          const over = below.endsWith(" above") ? level - printed(below.replace(" above", "")) : level + printed(below);
          same(over, grounds.get(ground) ?? over, `${what}: depth below one ground`);
          grounds.set(ground, over);
        }
        const pipeTo = (to: number): number => shown[list.findIndex((each) => Math.abs(each.level - to) < 1e-9)]!.level;
        const down = /^(.*?) in (.*?), /.exec(fall);
        if (falls !== null && down !== null) same(level - pipeTo(falls.to), printed(down[1]!), `${what}: fall`);
        if (falls !== null && down === null) expect(["level", "–"]).toContain(fall);
        if (dropsTo !== null) same(Math.abs(level - pipeTo(dropsTo)), printed(/^(?:drop|rise) (.*)$/.exec(fall)![1]!), `${what}: drop`);
      });
      const depthOf = (...kinds: readonly string[]): number => (
        Math.max(...list.flatMap(({ what }, i) => (kinds.includes(what) ? [printed(shown[i]!.below)] : []))));
      const holes = [...build.matchAll(/<tr><th scope="row"><bdi>(settling box|pit|pipe to the trench|overflow trench)<\/bdi><\/th>(.*?)<\/tr>/gs)];
      expect(holes.length).toBeGreaterThan(0);
      for (const [, hole, cells] of holes) {
        const [, deep] = /, (.*?)<\/td>/.exec(cells!)!;
        const want = { "settling box": depthOf("boxHole"), "pit": depthOf("pitFloor"), "pipe to the trench": depthOf("inletBedStart", "inletBedEnd"), "overflow trench": depthOf("trenchFloorHigh", "trenchFloorLow") }[hole!]!;
        same(printed(textOf(deep!)), want, `${hole}: depth on sheet 3`);
        same(printed(/, ([^,]*?)$/.exec(textOf(cells!.split("</td>")[2]!))![1]!), want, `${hole}: reach at 1 to 1`);
      }
      const pit = depthOf("pitFloor");
      const told = /Pit: (.*?) deep, /.exec(textOf(stop));
      if (told !== null) same(printed(told[1]!), pit, "depth on sheet 1");
      same(printed(/Floor at .*?\)?, ([^,]*?) below ground/.exec(textOf(inspectPaper(site, reader)[0]!.body.markup))![1]!), pit, "depth on the inspector's sheet");
      const foot = list.findIndex(({ what }) => what === "chamberFoot");
      const base = /Stone before chambers: (.*?) on the floor/.exec(textOf(build));
      if (base !== null) same(printed(base[1]!), shown[foot]!.level - shown[list.findIndex(({ what }) => what === "pitFloor")]!.level, "stone under the chambers");
      const mark = /cut off at level (?:[\d.]+ ft \((.*?)\)|([\d.]+ m))\./.exec(textOf(fill));
      if (mark !== null) same(printed((mark[1] ?? mark[2])!), shown[list.findIndex(({ what }) => what === "standpipe")]!.level, "mark of the fill test");
    }
    expect(sums).toBeGreaterThan(900);
  });

  test("stop at what does not fit, with its remedy, and mark the level that is not settled", () => {
    const high = readSite(changed(changed(demo("copperbeech-lane"), "settlingBox.outlet.outletInvert", "96.45 ft"), "settlingBox.outlet.invert", "96.6 ft"));
    const top = high.chamberBank.floor + high.chamberBank.stone.base + high.chamberBank.chambers[0]!.height;
    const [stop, levels, build] = crewPaper(high, readerOf("en-US", "us")).map(({ body }) => textOf(body.markup));
    const to = (top - 0.1016) / 0.3048;
    expect(stop).toContain(`Remedy: its inside bottom there ${((96.45 - to) * 12).toFixed(2)} in lower, at ${to.toFixed(2)} ft or less`);
    expect(stop).toContain("Settled by, date:");
    expect(levels).toMatch(/pipe from the settling box, inside bottom, at the pit settle first: sheet 1/);
    expect(build!.indexOf("STOP. It does not fit as drawn")).toBeLessThan(build!.indexOf("Dig the trench"));
    expect(build!.indexOf("STOP. It does not fit as drawn")).toBeGreaterThan(0);
    const mended = readSite(changed(changed(demo("copperbeech-lane"), "settlingBox.outlet.outletInvert", `${Math.floor(to * 100) / 100} ft`), "emitter.crest", "96.3 ft"));
    expect(clashes(mended, Infinity)).toEqual([]);
    expect(textOf(crewPaper(mended, readerOf("en-US", "us"))[2]!.body.markup)).not.toContain("STOP. It does not fit");
  });

  test("say of a hole beside a house how deep its footing has to be, and what it was taken for, by hand", () => {
    // The hole of the box is 1.35 m square about (17.39, 18.29) and faces the nearest chamber, whose middle is 1.11 m from that of the pit
    // (24.5, 17.5) along it, the pit turned by 20 degrees. The corner of the house at (17, 17.2) lies off its side.
    const [east, north] = [24.5 - 1.11 * Math.cos(Math.PI / 9) - 17.39, 17.5 - 1.11 * Math.sin(Math.PI / 9) - 18.29];
    const deep = row.settlingBoxes[0]!.rim - row.settlingBoxes[0]!.floor + 0.075 + 0.1;
    const text = textOf(crewPaper(row, readerOf("en-GB", "si"))[0]!.body.markup);
    const [, apart, needed] = /Settling box: (\S+) m from building “house” and .*? m deep\. Clear of the 45° line only if the footing goes (\S+) m or more below the ground\. No footing is in the file; assumed: at the slab, 2\.5 m below/.exec(text)!;
    const off = Math.abs(east * (17.2 - 18.29) - north * (17 - 17.39)) / Math.hypot(east, north) - 0.675;
    expectClose(Number(apart), off, { absolute: 0.011, because: "distances are told to a centimetre, never too far" });
    expectClose(Number(needed), Math.ceil(100 * (deep - off)) / 100, { absolute: 1e-9, because: "never less than it has to be, to a centimetre" });
    expect(text).not.toContain("footing that the plan shows");
  });

  test("buy what the fill test, the chambers and two sizes of pipe need, pipes as far as the chambers, and tell what a load is", () => {
    const text = textOf(crewPaper(row, readerOf("en-GB", "si"))[2]!.body.markup);
    for (const named of ["plug for the outlet of the box, for the fill test", "seal for the pipe in the wall of the box", "reducer to the trench pipe", "weep hole ⌀ 6 mm", "cover for a chamber 3 pieces"]) expect(text).toContain(named);
    // 5 m to the edge of the pit and 0.383 m on to the chamber, up to what a tape tells
    expect(text).toContain("cuts: pipe from the settling box 5.39 m, pipe to the trench 1.89 m");
    const american = textOf(crewPaper(lane, readerOf("en-US", "us"))[2]!.body.markup);
    // spoil left 30.6 cu yd loose in loads of 10
    expect(american).toMatch(/30\.6 cu yd loose, .* 4 loads of 10 cu yd loose;/);
    expect(american).toContain("in the list above are for upright sides");
    expect(american).toMatch(/first frame before 5 ft.*Shoring comes out with the stone/);
  });

  test("say what stone a slope filled with it would take, by hand", () => {
    // Copperbeech Lane, the pit alone: 1 : 1 over its stone of d ft on 13.5 x 8 ft, less the block: (13.5 + 8) d^2 + 4/3 d^3
    const d = lane.chamberBank.stone.depth / 0.3048;
    const text = textOf(crewPaper(lane, readerOf("en-US", "us"))[2]!.body.markup);
    const [, stone] = /Stone up the whole slope would take (\S+) cu yd more at 1 along to 1 down/.exec(text)!;
    expectClose(Number(stone), (21.5 * d ** 2 + (4 / 3) * d ** 3) / 27, { relative: 6e-3, because: "three figures" });
  });

  test("let the first fill fall by three quarters, by hand", () => {
    const { target, start } = fillSheet(row);
    const text = textOf(crewPaper(row, readerOf("en-GB", "si"))[3]!.body.markup);
    expect(text).toContain(`Let it fall until the tape reads ${(row.chamberBank.ground - (start + 0.25 * (target - start))).toFixed(3)} m, three quarters of it gone, or for 24 h`);
  });

  test("name a corner by where it points, and draw one row of two", () => {
    const [first, second] = crewPaper(lane, readerOf("en-US", "us")).map(({ body }) => body.markup);
    // the L of the house: its corner at (68, 62) ft points north-east, as that at (93, 52) does, which lies farther off
    expect(textOf(first!)).toContain("A: north-east corner of building “house”, of those the one nearest to the pit");
    expect(textOf(second!)).toContain("Of 2 rows of chambers one behind another the first is drawn.");
    expect(second!.match(/fill="#fff" stroke="#[0-9a-f]+" stroke-width="1.3"/g)).toHaveLength(2);
  });

  test("of every demo have pegs as far apart as its file gives trench and pipes, to the digit that is shown", () => {
    const pegged = readdirSync(new URL("../../data/", import.meta.url)).filter((name) => name.endsWith(".json")).map((name) => name.slice(0, -".json".length))
      .filter((name) => "surroundings" in demo(name) && "works" in (demo(name)["surroundings"] as object));
    expect(pegged.length).toBeGreaterThan(1);
    for (const name of pegged) {
      const site = readSite(demo(name));
      const { tape } = readerOf("en-US", site.units);
      const line = setOut(site)!.pegs.filter(({ kind }) => /^(trench|emitter)/.test(kind)).map(({ at }) => at);
      const long = line.slice(1).reduce((sum, [x, y], i) => sum + Math.hypot(x - line[i]![0], y - line[i]![1]), 0);
      expect(tape(long), name).toBe(tape(site.overflowTrench!.length));
      const { fromBoxes, toTrench } = pipeRuns(site);
      for (const { straight, length } of [...fromBoxes, toTrench!]) expect(tape(straight!), name).toBe(tape(length));
      expect(crewPaper(site, readerOf("en-US", site.units))[0]!.body.markup).not.toContain("by the pegs");
    }
    // its trench two feet shorter than from peg to peg
    const short = readSite(changed(demo("copperbeech-lane"), "overflowTrench.length", "43 ft"));
    expect(textOf(crewPaper(short, readerOf("en-US", "us"))[0]!.body.markup)).toContain(`Overflow trench: 45' 0" by the pegs, 43' 0" in the file; ask which before you dig.`);
  });

  test("tell gaps and cuts that add up to the pit and to whole lengths of pipe", () => {
    const inches = (text: string): number => {
      const [, feet, whole, over, under] = /^(\d+)' (\d+)(?: (\d+)\/(\d+))?"$/.exec(text)!;
      return 12 * Number(feet) + Number(whole) + (over === undefined ? 0 : Number(over) / Number(under));
    };
    const [first, , third] = crewPaper(lane, readerOf("en-US", "us")).map(({ body }) => textOf(body.markup));
    const [, along, across, wallAlong, wallAcross] = /clear gap along: (.*?"), clear gap across: (.*?") to the wall: (.*?") along, (.*?") across/.exec(first!)!;
    // two chambers of 29.5 in along and across in 13 ft 6 in by 8 ft
    expect(2 * inches(wallAlong!) + inches(along!) + 59).toBe(162);
    expect(2 * inches(wallAcross!) + inches(across!) + 59).toBe(96);
    const [, cuts, rests] = /pipe, solid 3 lengths .*?cuts: (.*?); left over: (.*?") pipe, perforated/.exec(third!)!;
    const all = (of: string): number => [...of.matchAll(/\d+' \d+(?: \d\/\d)?"/g)].reduce((sum, [each]) => sum + inches(each), 0);
    expect(all(cuts!) + all(rests!)).toBe(360);
  });

  test("of a lot without a plan stop at the first step, and draw a round box round", () => {
    const bench = readSite(demo("hazelbank-lower-bench"));
    expect(textOf(crewPaper(bench, readerOf("en-GB", "si"))[2]!.body.markup)).toMatch(/STOP: sheet 1 has no pegs\. Nobody digs before a plan/);
    expect(textOf(inspectPaper(bench, readerOf("en-GB", "si"))[0]!.body.markup)).toContain("No pegs: the crew's sheet 1 has no plan of the works");
    const plan = crewPaper(row, readerOf("en-GB", "si"))[0]!.body.markup;
    expect(plan.match(/<circle[^>]*fill="#f4e3bd"/g)).toHaveLength(1);
    expect(crewPaper(lane, readerOf("en-GB", "us"))[0]!.body.markup).not.toMatch(/<circle[^>]*fill="#f4e3bd"/);
  });

  test("tell where each pipe crosses the pit's edge and into which chamber, by hand", () => {
    const { mouths, pegs } = setOut(lane)!;
    // from the box at (78, 70.93) to the first chamber, (75.340, 86.257): over the edge at y = 84, 4.482 ft from the corner at x = 71.25;
    // from the head of the trench at (78, 94.64) to the third, (75.340, 89.743): over y = 92 at x = 76.566, 5.316 ft from that corner
    expect(mouths.map(({ mark, pipe, from, towards, chamber }) => [mark, pipe, from, towards, chamber])).toEqual([
      ["W1", "pipe from the settling box", "P1", "P2", 0], ["W2", "pipe to the trench", "P4", "P3", 2],
    ]);
    const [first, second] = mouths as [(typeof mouths)[number], (typeof mouths)[number]];
    expectClose(first.along / 0.3048, 4.482, { absolute: 2e-3, because: "three decimals by hand" });
    expectClose(second.along / 0.3048, 5.316, { absolute: 2e-3, because: "three decimals by hand" });
    expect(pegs.map(({ mark }) => mark)).toEqual(["P1", "P2", "P3", "P4", "W1", "W2", "S1", "T1", "E"]);
    const text = textOf(crewPaper(lane, readerOf("en-US", "us"))[0]!.body.markup);
    expect(text).toContain(`W1: pipe from the settling box, 4' 6" from P1 towards P2, chamber C1 · W2: pipe to the trench, 5' 4" from P4 towards P3, chamber C3.`);
    expect(text).toMatch(/T1 upper end of the trench, middle .* E lower end of the trench, outlet lid/);
  });

  test("tell what a crew would have to call for: hose, downspouts, bends, holes to cut, shoring, footing, weep hole", () => {
    const american = papersIn(lane, "en-US");
    // A step of 95.7 - 95.276 = 0.424 ft = 5.09 in, with a turn of 28.5 degrees on the plan: of bends of 45 degrees along is
    // cos 45 / cos 14.25 = 0.7296, down 0.6839, so that 7.44 in lie from middle to middle, more than one and a half diameters of 4 in;
    // they are rolled by atan(0.7296 sin 14.25 / 0.6839) = 14.7 degrees.
    for (const said of [
      "Hose end on the stone of the pit, a board under it", `Inside bottom at the box no lower than the outlet, 96.60 ft (96' 7 1/4"), sealed in the wall; set at:`,
      `2 × bend of 45° to the level of the trench pipe, 0' 7 1/2" from middle to middle`, "At T1 the pipe turns 29° to the left, going with the water: both bends of 45° to the level of the trench pipe rolled 15° off plumb to that side",
      `Hole for the settling box: 4' 6" × 4' 6" about S1, square to a string S1–W1`, "HOLD ① · photo: ", "① lifts a HOLD or STOP, name and number", "or laid back 1½ along to 1 down or flatter (US OSHA, 29 CFR 1926.652(b); read)", "Hole in the chamber's wall as wide as the pipe outside, at its level; a cross slit in the fabric",
      "and shoring, which is hired", "It stands outside the pegs: inside it the hole keeps the size given here.", `Pit: 6' 1 1/8" deep, 13' 6" × 8' 0" clear inside`, // 98' 2 3/8" - 92' 1 1/4", as sheet 2 has them
      "pin all edges to the walls above the stone (end pieces reach one lap over it)", `Benchmark: house slab, level 100.00 ft (100' 0")`,
    ]) expect(american).toContain(said);
    const british = papersIn(row, "en-GB");
    for (const said of [
      "tee with plug under the outlet lid, weep hole ⌀ 6 mm to be drilled in the plug", "Drill the weep hole, ⌀ 6 mm, through the plug of the foot at its level",
      "STOP here until its depth is known", "downpipes to the box", "By hand from 4.19 m to 9.33 m off its upper end (4 m round the tree, common practice).",
    ]) expect(british).toContain(said);
    expect(american).not.toContain("Drill the weep hole");
  });

  test("name the peg at which the tapes meet at less than 20 degrees, and no other", () => {
    const { pegs, fixed: [a, b], poorlyFixed } = setOut(row, null)!;
    // by the cosine law in the triangle of both tapes and the base
    const base = Math.hypot(a.at[0] - b.at[0], a.at[1] - b.at[1]);
    const meet = ({ fromA, fromB }: { readonly fromA: number; readonly fromB: number }): number => (
      (180 / Math.PI) * Math.acos((fromA ** 2 + fromB ** 2 - base ** 2) / (2 * fromA * fromB)));
    expect(poorlyFixed.map(({ mark }) => mark)).toEqual(pegs.filter((peg) => peg.kind !== "mouth" && Math.min(meet(peg), 180 - meet(peg)) < 20).map(({ mark }) => mark));
    expect(poorlyFixed.map(({ mark }) => mark)).toEqual(["S1"]);
    // a third measure, from the corner whose tape crosses that from A most squarely
    const [{ to, apart }] = poorlyFixed as [(typeof poorlyFixed)[number]];
    const [box, corner] = ["S1", to].map((mark) => pegs.find((peg) => peg.mark === mark)!.at) as [readonly [number, number], readonly [number, number]];
    expectClose(apart, Math.hypot(box[0] - corner[0], box[1] - corner[1]), { absolute: 1e-9, because: "plane geometry" });
    expect(textOf(crewPaper(row, readerOf("en-US", row.units))[0]!.body.markup)).toContain(`At S1 the tapes meet at less than 20°: check S1 to ${to}, ${apart.toFixed(2)} m.`);
  });

  test("keep the letters of pegs and points apart on the plan", () => {
    for (const site of [lane, row]) {
      const { markup } = crewPaper(site, readerOf("en-US", site.units))[0]!.body;
      const plan = markup.slice(markup.indexOf("<svg"), markup.indexOf("</svg>"));
      const boxes = [...plan.matchAll(/<text x="([\d.-]+)" y="([\d.-]+)" font-size="([\d.]+)" text-anchor="middle" font-weight="600"[^>]*>([^<]*)</g)].map(([, x, y, size, text]) => {
        const wide = 0.6 * Number(size) * text!.length;
        const [middle, down] = [Number(x), Number(y)];
        return { text: text!, left: middle - wide / 2, right: middle + wide / 2, top: down - 0.78 * Number(size), bottom: down };
      });
      expect(boxes.length).toBeGreaterThan(8);
      const over = boxes.flatMap((a, i) => boxes.slice(0, i).filter((b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom).map((b) => `${a.text} over ${b.text}`));
      expect(over).toEqual([]);
    }
  });

  test("in another system of units keep the country's rule and the sizes that are sold there", () => {
    const metres = shownIn(lane, "si");
    const text = crewPaper(metres, readerOf("en-GB", "si", "us")).map(({ body }) => textOf(body.markup)).join("\n");
    expect(text).toContain("From 1.52 m (5 ft) on (US OSHA");
    expect(text).toContain("⌀ 100 mm (4 in)");
    expect(text).not.toMatch(/⌀ 102 mm|British/);
    const feet = crewPaper(shownIn(row, "us"), readerOf("en-US", "us", "si")).map(({ body }) => textOf(body.markup)).join("\n");
    expect(feet).toContain("⌀ 4 in (110 mm)");
    expect(feet).toContain("British contractors");
    expect(takeOff(metres).fill.ordered).toBe(takeOff(lane).fill.ordered);
  });

  test("keep a number on one line with its unit, and leave what is quoted as it was written", () => {
    expect(keptUnits(trusted(`<p title="2 ft">6&#39; 1 1/2&#34; of 4 in pipe, 11 h 53 min, 20.4 cu yd; 2 boxes</p><pre>3 ft</pre>`)).markup)
      .toBe(`<p title="2 ft">6&#39;\u00a01\u00a01/2&#34; of 4\u00a0in pipe, 11\u00a0h\u00a053\u00a0min, 20.4\u00a0cu\u00a0yd; 2 boxes</p><pre>3 ft</pre>`);
  });

  test("tell the soil and the water to expect, and what the papers are of", () => {
    const [first, second, third] = crewPaper(lane, readerOf("en-US", "us")).map(({ body }) => textOf(body.markup));
    // published means: silt loam 0.27 in/h, sandy loam 1.02, loam 0.52: 0.8 lies nearer to sandy loam as a ratio
    expect(second).toContain("from the ground down: takes water like silt loam (0.25 in/h); from 94.80 ft (94' 9 5/8\") down: takes water like sandy loam (0.8 in/h); water in the ground no higher than 84.00 ft (84' 0\").");
    expect(first).toMatch(/Works as drawn in the file: pit 13' 6" × 8' 0", chambers: 4, trench: \d+' 0"/);
    expect(third).toContain("Soil and water as on sheet 2?");
  });

  test("show names of a file as text", () => {
    const named = readSite(changed(demo("copperbeech-lane"), "watchLevels", [{ name: "<b>&sill", level: "98 ft" }]));
    const page = paperFrame(readerOf("de", "us"), "x", { site: "<i>", revision: '"', date: "", version: "" }, crewPaper(named, readerOf("de", "us")));
    expect(page).toContain("&#60;b&#62;&#38;sill");
    expect(page).not.toMatch(/<i>|<b>&|<script/);
  });
});

test("the sheets cover the points of the published lists that they name", () => {
  // Minnesota Stormwater Manual: "Infiltration Trench - Construction inspection checklist" and "Typical maintenance activities for
  // infiltration trenches"; US EPA, Moisture Control Guidance, 2013, appendix F, dry wells: read in copies of 2026. Points of basins, of
  // filter strips and of underdrains have no counterpart in works under the ground.
  const text = papersIn(lane, "en-US");
  const points: readonly (readonly [list: string, point: string, said: RegExp])[] = [
    ["construction", "runoff diverted", /Roof water kept off until the sod holds/], ["construction", "soil permeability verified", /Soil tested where the pit is/],
    ["construction", "groundwater verified", /floor to highest table/], ["construction", "benchmark established", /Benchmark: house slab/],
    ["construction", "facility location staked out", /Pegs, with two tapes/], ["construction", "size and location per plans", /Floor at 92\.10 ft/],
    ["construction", "side slopes stable", /Holes from 5 ft on shored or laid back/], ["construction", "stockpile not beside the excavation", /topsoil and spoil apart, off the works/],
    ["construction", "fabric as specified and placed", /Line pit and trench with fabric by the cut list/], ["construction", "aggregate of its size, clean and washed", /washed crushed stone, 3\/4 to 1 1\/2 in/],
    ["construction", "observation well", /Standpipe to the ground, capped/], ["construction", "pretreatment installed", /Set the box level/], ["construction", "outlet operational", /Lid lifts by a finger/],
    ["construction", "topsoil and vegetation", /topsoil and sod last/], ["construction", "stabilised before flow is routed", /Keep the roof off until the sod holds/],
    ["maintenance", "pretreatment free of sediment", /Scoop grit and leaves out of the box/], ["maintenance", "contributing area clear of debris", /Clean gutters by hand/],
    ["maintenance", "woody growth kept off", /no cars, walls, sheds or trees over them/], ["maintenance", "repair of eroded or sunken ground", /soft or sunken grass/],
    ["maintenance", "rehabilitation upon failure", /If it takes twice as long, call/],
    ["dry wells", "water level in the test well after rain", /the day after a heavy rain Lower the tape/], ["dry wells", "drain time beside that of the design", /the hole is empty again/],
    ["dry wells", "gutters, leaders, sumps and traps cleaned", /Clean gutters by hand/],
  ];
  expect(points.filter(([, , said]) => !said.test(text)).map(([list, point]) => `${list}: ${point}`)).toEqual([]);
  for (const named of ["construction inspection checklist", "typical maintenance activities", "inspection of dry wells"]) expect(text).toContain(named);
});

test("the order list as CSV has a comma for a mark and semicolons between columns where readers write so", () => {
  const german = orderCsv(row, readerOf("de", "si")).split("\r\n");
  expect(german[0]).toBe("Posten;Menge;Einheit;Maß, Zuschnitt");
  expect(german[1]).toMatch(/^gewaschener Schotter, 20 bis 40 mm;\d+,\d+;m³;/);
  const english = orderCsv(row, readerOf("en-GB", "si")).split("\r\n");
  expect(english[1]).toMatch(/^"clean washed stone, 20 to 40 mm",\d+\.\d+,m³,/);
  expect(new Set(german.slice(0, -1).map((line) => line.replace(/"[^"]*"/g, "").split(";").length))).toEqual(new Set([4]));
});

test("the owner of a pit with groundwater in it is told where that stands, not that it is empty", () => {
  const bench = readSite(demo("hazelbank-lower-bench"));
  const run = settledRun(bench, rain);
  const { ground, floor } = bench.chamberBank;
  const text = textOf(ownerPaper(run, "storm", readerOf("en-GB", "si"))[0]!.body.markup);
  const [, down] = /Between rains the water stands (\d\.\d\d) m or more down/.exec(text)!;
  expect(text).not.toContain("Empty is");
  expect(Number(down)).toBeLessThan(ground - floor - 0.1);
  expect(textOf(ownerPaper(settledRun(lane, rain), "storm", readerOf("en-US", "us"))[0]!.body.markup)).toContain(`Empty is 6' 0 1/2" or more down`);
});

describe("the reviewer's tables", () => {
  test("of block storms go to the end of a storm, by hand", () => {
    // 36 h of which the first 24 are half as wet as the last 12: 24 mm, then 24 mm; a wall of 10 m2 at 1e-6 m/s takes 36 L an hour
    const storm = hyetograph({ time: [0, 24 * 3600, 36 * 3600], depth: [0.024, 0.024] });
    const table = blockStormTable(storm, 100, 10, 1e-6);
    expect(table.map(({ duration }) => duration / 3600).slice(-4)).toEqual([6, 10, 24, 36]);
    expectClose(table.at(-1)!.depth, 0.048, { absolute: 1e-12, because: "a sum of two" });
    expectClose(table.at(-1)!.storage, 4.8 - 1.296, { relative: 1e-9, because: "by hand" });
    expectClose(table.at(-2)!.depth, 0.036, { relative: 1e-9, because: "the last 12 h and 12 h before them" });
    expect(blockStormTable(hyetograph({ time: [0, 60], depth: [0.001] }), 100, 10, 1e-6).map(({ duration }) => duration)).toEqual([60]);
  });

  test("balance by a sum of their own to a ten thousandth of what came in", () => {
    const run = settledRun(lane, rain);
    const rows = balanceRows(run, tableTimes(run));
    for (const { open, cameIn } of rows) expect(Math.abs(open)).toBeLessThan(1e-4 * Math.max(cameIn, 1));
    const last = rows.at(-1)!;
    expectClose(last.emitter, run.emitted, { relative: 1e-3, because: "two ways to add up one flow" });
    expectClose(last.cameIn, run.ledger.inflow, { relative: 1e-6, because: "straight lines between corners, which Gauss's rule sums exactly" });
  });

  test("of stages begin with nothing at the floor and rise", () => {
    for (const { rows } of stageTables(lane)) {
      expectClose(rows[0]!.volume, 0, { absolute: 1e-9, because: "a dry body" });
      rows.slice(1).forEach(({ volume }, i) => { expect(volume).toBeGreaterThan(rows[i]!.volume); });
    }
  });
});
