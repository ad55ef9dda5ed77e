import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { levelList, type StaffRow } from "../../lib/plan/levelList.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Site } from "../../lib/site/site.ts";
import { expectClose } from "../closeTo.ts";
import { extras, METRES, plain, siteText } from "../simulate/randomSites.ts";
import { shareOf } from "../share.ts";
import { changed, demo, fixture, type SiteJson } from "../site/siteFiles.ts";

function siteWith(name: string, values: Readonly<Record<string, unknown>> = {}): Site {
  let file: SiteJson = fixture(name);
  for (const [path, value] of Object.entries(values)) file = changed(file, path, value);
  return readSite(file);
}

function rounded(row: StaffRow): unknown[] {
  const at = (number: number | null): number | null => (number === null ? null : Math.round(number * 1e6) / 1e6 + 0);
  return [row.station, row.name, at(row.level), at(row.depth)];
}

const ROUND_OFF = { absolute: 1e-9, because: "round-off" };

describe("the level list of the orchard depot", () => {
  const list = levelList(siteWith("orchard-depot"));

  test("has every level of the file, with its depth below ground, in the water's way", () => {
    // by hand from the file; the pipe lies 50 mm + (114 - 100)/2 mm = 57 mm over the trench floor
    expect(list.rows.map(rounded)).toEqual([
      ["settling box", "rim", 49.05, null], ["settling box", "outlet invert", 48.2, null], ["settling box", "floor", 47.6, null],
      ["pit", "ground", 48.8, 0], ["pit", "stone top", 48.15, 0.65], ["pit", "pipe from the box, end", 48.12, 0.68],
      ["pit", "top of chambers 1", 47.95, 0.85], ["pit", "pipe to the trench, start", 47.8, 1], ["pit", "top of chambers 2", 47.75, 1.05],
      ["pit", "foot of the chambers", 46.85, 1.95], ["pit", "floor", 46.7, 2.1],
      ["trench, high end", "ground", 48.45, 0], ["trench, high end", "stone top", 48, 0.45], ["trench, high end", "pipe from the pit, end", 47.8, 0.65],
      ["trench, high end", "trench pipe invert", 47.607, 0.843], ["trench, high end", "floor", 47.55, 0.9],
      ["trench, low end", "ground", 48.45, 0], ["trench, low end", "stone top", 47.88, 0.57], ["trench, low end", "trench pipe invert", 47.487, 0.963],
      ["trench, low end", "floor", 47.43, 1.02],
      ["emitter", "lid opens", 48.115, 0.335], ["emitter", "crest", 48.1, 0.35], ["emitter", "weep hole", 47.6, 0.85],
    ]);
    expect(list.heightOfInstrument).toBeNull();
    expect(list.rows.every(({ reading }) => reading === null)).toBe(true);
  });

  test("gives fall and slope where the file gives a length", () => {
    const runs = list.rows.flatMap(({ name, along }) => (along === null ? [] : [{ name, ...along }]));
    expect(runs.map(({ name, from }) => [name, from])).toEqual([
      ["pipe from the box, end", "outlet invert"], ["pipe from the pit, end", "pipe to the trench, start"],
      ["stone top", "stone top, high end"], ["trench pipe invert", "trench pipe invert, high end"], ["floor", "floor, high end"],
    ]);
    const [outlet, inlet, , , floor] = runs;
    expectClose(outlet!.fall, 0.08, ROUND_OFF);
    expectClose(outlet!.slope!, 0.08 / 6.5, ROUND_OFF);
    expect([inlet!.fall, inlet!.length, inlet!.slope]).toEqual([0, 1.5, 0]);
    expectClose(floor!.slope!, 0.12 / 18, ROUND_OFF);
  });

  test("says what does not descend, and where the downpipes have to come in", () => {
    expect(list.notes).toEqual([
      "The pipe into the overflow trench has no fall.",
      "The file gives no levels of the pipes into the settling box: they have to come in above 48.200 m, where its water stands between rains.",
    ]);
  });

  test("sets the survey's error against the lid and the smallest fall", () => {
    // 6 mm a level where the file gives none; sqrt(2) x 6 mm = 8.49 mm, less than the lid's 15 mm
    const { band, lid, smallest, untold } = list.survey;
    expectClose(band, 0.006 * Math.SQRT2, ROUND_OFF);
    expect(lid).toEqual({ head: 0.015, told: true });
    // outlet 48.20 to its end 48.12: 80 mm; to where the lid opens, 48.115: 85 mm; the trench's floor 120 mm; the others more
    expectClose(smallest!.descent.fall, 0.08, ROUND_OFF);
    expect(smallest!.told).toBe(true);
    expect(untold.map(({ from }) => from)).toEqual(["pipe to the trench"]);
  });
});

test("a survey coarser than the lid's head and the smallest fall tells neither", () => {
  const { survey } = levelList(siteWith("orchard-depot", { surveyError: "60 mm" }));
  expect(survey.words).toEqual([
    "Each level may be off by 60 mm, a difference of two by 85 mm.",
    "The lid opens at 15 mm over its crest, which the survey cannot tell: set the crest against standing water.",
    "The smallest fall of those that do fall, 80 mm from outlet of the settling box to its end in the pit, is no more than that: the survey cannot tell whether it falls.",
  ]);
});

describe("the notes of a level list say", () => {
  test.each<[string, Record<string, unknown>, string[]]>([
    ["that pipes run uphill", { "settlingBox.outlet.outletInvert": "48.30 m", "overflowTrench.inlet.outletInvert": "47.9 m" },
      ["The pipe from the settling box runs uphill: it stands full of water.", "The pipe into the overflow trench runs uphill."]],
    ["that pipe and trench are level", { "settlingBox.outlet.outletInvert": undefined, "overflowTrench.fall": undefined },
      [
        "The pipe from the settling box has no fall: what settles in it stays there.",
        "The floor of the overflow trench has no fall: no water runs along it to the emitter by itself.",
      ]],
    ["that the emitter opens over the box's outlet", { "emitter.crest": "48.19 m" },
      ["The emitter opens at 48.205 m, above the outlet of the settling box at 48.200 m: water stands back into the box before it does."]],
    ["that the emitter opens over grounds", { "emitter.crest": "48.9 m" },
      [
        "The emitter opens at 48.915 m, above the outlet of the settling box at 48.200 m: water stands back into the box before it does.",
        "Water comes up at the ground over the pit, 48.800 m, before the emitter opens at 48.915 m.",
        "Water comes up at the ground over the trench, 48.450 m, before the emitter opens at 48.915 m.",
      ]],
    ["that a level to watch lies too low", { watchLevels: [{ name: "cellar", level: "48 m" }] },
      ['“cellar” at 48.000 m lies lower than the emitter opens, 48.115 m: where water can get there, it stands over it first.']],
  ])("%s", (_, values, expected) => {
    const before = levelList(siteWith("orchard-depot")).notes;
    expect(levelList(siteWith("orchard-depot", values)).notes.filter((note) => !before.includes(note) && !note.startsWith("The file gives"))).toEqual(expected);
  });
});

describe("with a benchmark", () => {
  const site = readSite(demo("copperbeech-lane"));
  const list = levelList(site, { benchmark: { level: "100 ft", reading: `4' 3 1/2"` } });

  test("the staff shows the height of the instrument less the level", () => {
    // 100 ft + 4 ft 3.5 in = 104.291667 ft; less the box's outlet at 96.6 ft: 7.691667 ft
    expectClose(list.heightOfInstrument!, (100 + 51.5 / 12) * 0.3048, ROUND_OFF);
    const outlet = list.rows.find(({ name }) => name === "outlet invert")!;
    expectClose(outlet.reading!, (100 + 51.5 / 12 - 96.6) * 0.3048, ROUND_OFF);
    expect(list.watch.map(({ name }) => name)).toEqual(["house slab", "window well"]);
  });

  test("what lies above the line of sight is said", () => {
    const { notes } = levelList(site, { benchmark: { level: "96 ft", reading: "3 ft" } });
    expect(notes.at(-1)).toBe("Above the line of sight at 99.00 ft, to be read from a higher set-up: level to watch, house slab.");
  });

  test("all that is wrong with it is said at once", () => {
    const wrong = { benchmark: { level: "100", reading: "-1 ft" }, bench: 1 } as unknown as Parameters<typeof levelList>[1];
    expect(() => levelList(site, wrong)).toThrow([
      "The level list cannot be made.",
      '  levelList.benchmark.level: expected a length such as "2.5 ft", "18 in" or "0.75 m", got "100", without a unit',
      '  levelList.benchmark.reading: expected a length of 0 m or more, got "-1 ft"',
      '  levelList.bench: expected no such key (known here: benchmark), got 1',
    ].join("\n"));
  });
});

test("an emitter in the low spot opens over the hollow's floor where that is higher than its crest, and has no ground of its own", () => {
  const rows = levelList(siteWith("low-spot", { "emitter.crest": "31.10 m", "lowSpot.floor": "31.20 m", "emitter.opensAtHead": "12 mm" })).rows;
  const emitter = rows.filter(({ station }) => station === "emitter");
  expect(emitter.map(rounded).slice(0, 2)).toEqual([["emitter", "lid opens", 31.212, null], ["emitter", "crest", 31.1, null]]);
});

test("on any site levels are numbers, falls join levels, depths are below grounds, and readings add up to the line of sight", () => {
  fc.assert(fc.property(plain(), extras, (plan, more) => {
    const site = readSite(siteText(plan, more, METRES).json);
    const { rows, descents, notes, heightOfInstrument } = levelList(site, { benchmark: { level: `${plan.datum + 5} m`, reading: "1 m" } });
    for (const { level, depth, along, reading, station } of rows) {
      expect(Number.isFinite(level)).toBe(true);
      expectClose(reading! + level, heightOfInstrument!, ROUND_OFF);
      const ground = station === "pit" ? site.chamberBank.ground : site.overflowTrench?.ground[station === "trench, high end" ? "high" : "low"];
      if (depth !== null) expectClose(level + depth, ground!, ROUND_OFF);
      if (along === null) continue;
      expect(rows.some((row) => Math.abs(row.level - along.fall - level) < 1e-9)).toBe(true);
      expect(along.slope === null).toBe(along.length === 0);
    }
    for (const { fall, runs, words } of descents) {
      expect(runs).toBe(fall > 1e-9 ? "down" : fall < -1e-9 ? "up" : "level");
      if (runs === "up") expect(notes).toContain(words);
      if (runs === "down") expect(words).toBeNull();
    }
  }), { numRuns: shareOf(1000), seed: 81 });
});

test("on any site without a low spot it says what the site's own notes say of what does not descend", () => {
  const spoken = /^The (?:emitter opens|trench takes over) at .*(?:into the box|is soaked) before it does\.$/;
  let told = 0;
  fc.assert(fc.property(plain(), (plan) => {
    const site = readSite(siteText(plan).json);
    const { notes } = levelList(site);
    for (const note of site.notes.filter((each) => spoken.test(each))) {
      told += 1;
      expect(notes).toContain(note);
    }
    const uphill = (all: readonly string[]): number => all.filter((note) => note.includes("runs uphill")).length;
    expect(uphill(notes)).toBe(uphill(site.notes));
  }), { numRuns: shareOf(1000), seed: 82 });
  expect(told).toBeGreaterThan(shareOf(330));
});
