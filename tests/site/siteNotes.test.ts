import { describe, expect, test } from "vitest";
import { readSite } from "../../lib/site/readSite.ts";
import { changed, demo, fixture, type SiteJson } from "./siteFiles.ts";

function notesOf(name: string, values: Readonly<Record<string, unknown>>): readonly string[] {
  let file: SiteJson = fixture(name);
  for (const [path, value] of Object.entries(values)) file = changed(file, path, value);
  return readSite(file).notes;
}

/** The notes that the changes bring, over those of the file as it is. */
function newNotes(name: string, values: Readonly<Record<string, unknown>>): string[] {
  const before = notesOf(name, {});
  return notesOf(name, values).filter((note) => !before.includes(note));
}

function underGround(depth: string, ground: string): string {
  return `The emitter's crest lies ${depth} below the ground at the trench's low end, ${ground}: a lid works at the surface, and a run takes it as free all the same. Where the ground falls towards it, "ground" takes { "high", "low" }.`;
}

const PACKED = {
  "chamberBank.length": "13.5 ft", "chamberBank.width": "8 ft", "chamberBank.chambers": [{ count: 18, insideDiameter: "29.5 in", height: "34 in" }],
};

describe("the notes of a site say", () => {
  test.each<[string, string, Record<string, unknown>, string[]]>([
    ["that a box's pipe runs uphill", "orchard-depot", { "settlingBox.outlet.outletInvert": "48.30 m" },
      ["The pipe from the settling box runs uphill, from 48.200 m to 48.300 m: it stands full of water."]],
    ["that a box has no sump", "orchard-depot", { "settlingBox.floor": "48.2 m" },
      ["The outlet of the settling box lies on its floor: without a sump the grit goes on to the chambers."]],
    ["that the inlet runs uphill", "orchard-depot", { "overflowTrench.inlet.outletInvert": "47.9 m" },
      ["The pipe into the overflow trench runs uphill, from 47.800 m to 47.900 m."]],
    ["that the trench takes over above the stone, and above the box's outlet", "orchard-depot", { "overflowTrench.inlet.invert": "48.25 m" },
      [
        "The trench takes over at 48.250 m, above the stone top of the pit at 48.150 m: the soil over the stone is soaked before it does.",
        "The trench takes over at 48.250 m, above the outlet of the settling box at 48.200 m: water stands back into the box before it does.",
      ]],
    ["that the trench takes over above the ground", "fernhollow", { "overflowTrench.inlet.invert": "98.8 ft", "settlingBox.outlet.invert": "99.0 ft" },
      ["The trench takes over at 98.80 ft, above the ground over the pit at 98.60 ft."]],
    ["which of two boxes is meant", "two-boxes", { "settlingBox[0].outlet.outletInvert": "25.3 m" },
      ['The pipe from box “north” runs uphill, from 25.250 m to 25.300 m: it stands full of water.']],
    ["where water comes up without an emitter", "orchard-depot", { emitter: undefined },
      ["There is no emitter: what does not soak away comes up at the ground over the trench, 48.450 m."]],
    ["where water comes up before the emitter opens, lowest first", "orchard-depot", { "emitter.crest": "48.9 m" },
      [
        "Before the emitter opens at 48.915 m, water comes up at the ground over the trench, 48.450 m; the ground over the pit, 48.800 m.",
        "The emitter's crest stands 450 mm above the ground at the trench's low end, 48.450 m.",
      ]],
    ["that the emitter opens above the box's outlet", "orchard-depot", { "emitter.crest": "48.19 m" },
      [
        "The emitter opens at 48.205 m, above the outlet of the settling box at 48.200 m: water stands back into the box before it does.",
        underGround("260 mm", "48.450 m"),
      ]],
    ["where water comes up first of ground that slopes, and nothing of a lid that is flush with it", "orchard-depot",
      { "overflowTrench.ground": { high: "48.45 m", low: "48.11 m" } },
      ["Before the emitter opens at 48.115 m, water comes up at the ground over the trench, 48.110 m."]],
    ["nothing of how a lid in a low spot stands to the ground over the trench", "low-spot", { "overflowTrench.ground": "31.9 m" }, []],
    ["that water stands outside the emitter", "orchard-depot", { "emitter.tailwater": "48.14 m" },
      ["Water outside the emitter stands 40 mm over its crest: it has to open against that."]],
    ["that groundwater stands in pit and trench", "fernhollow", { "groundwater.level": "95.7 ft" },
      [
        "Groundwater stands 38.40 in over the floor of the pit: that is no room for rain.",
        "Groundwater stands 1.20 in over the floor of the trench: that is no room for rain.",
      ]],
    ["that groundwater comes later", "orchard-depot", { "groundwater.level": [{ time: "0 h", level: "44 m" }, { time: "3 day", level: "47 m" }] },
      ["Groundwater comes to stand 300 mm over the floor of the pit later on."]],
    ["that groundwater at the trench reaches the emitter", "orchard-depot", { "overflowTrench.groundwaterLevel": "48.2 m" },
      [
        "Groundwater stands 770 mm over the floor of the trench: that is no room for rain.",
        "Groundwater at the trench rises to where the emitter opens, 48.115 m.",
      ]],
    ["that no groundwater is given", "orchard-depot", { groundwater: undefined }, ["No groundwater level is given: it is taken to be far below."]],
    ["that nothing but a weep hole soaks away", "orchard-depot", { "soil.floor": false, "soil.sides": false },
      ["Neither floors nor sides take in water: only the weep hole lets some into the soil."]],
    ["that nothing soaks away without a weep hole", "orchard-depot", { "soil.floor": false, "soil.sides": false, "emitter.weepHole": undefined },
      ["Neither floors nor sides take in water: nothing soaks away."]],
    ["that chambers have no room in rows", "fernhollow", PACKED,
      ["18 chambers of 29.5 in do not stand side by side in 13.5 ft x 8 ft: a grid holds at most 15."]],
    ["that chambers have no room in rows with their gaps", "fernhollow", { ...PACKED, "chamberBank.chambers[0].gap": "6 in" },
      ["18 chambers of 29.5 in, 6.00 in apart, do not stand side by side in 13.5 ft x 8 ft: a grid holds at most 8."]],
    ["nothing of chambers that just fill the pit", "fernhollow",
      { "chamberBank.length": "13.5 ft", "chamberBank.width": "8.1 ft", "chamberBank.chambers": [{ count: 15, insideDiameter: "2.7 ft", height: "34 in" }] }, []],
    ["that the porosity of a stone is not given", "fernhollow", { "chamberBank.stone.porosity": undefined, "overflowTrench.stone.porosity": undefined },
      [
        "The porosity of the pit's stone is not given: 0.4 is taken (common practice).",
        "The porosity of the trench's stone is not given: 0.4 is taken (common practice).",
      ]],
    ["that the soil is used as given", "orchard-depot", { "soil.factorOfSafety": 1 },
      ["No test of the soil is given, and its conductivity is used as given, where common practice divides a tested one by 2 or more: every time to drain and all that comes out hangs on the 6 to 22 mm/h used."]],
    ["that the soil is made better", "orchard-depot", { "soil.factorOfSafety": 0.5 },
      [
        "No test of the soil is given, and its conductivity is divided by 0.5 only, where common practice divides a tested one by 2 or more: every time to drain and all that comes out hangs on the 12 to 44 mm/h used.",
        "A factorOfSafety of 0.5 makes the soil better than it was given."]],
  ])("%s", (_, name, values, notes) => {
    expect(newNotes(name, values)).toEqual(notes);
  });

  test("that a clean floor is optimistic, and no more once its share is given", () => {
    const clean = 'The floor of the pit is taken to stay clean for life, which is optimistic (common practice): look at "openFloorShare": 0 as well.';
    expect(notesOf("orchard-depot", {})).toContain(clean);
    expect(notesOf("orchard-depot", { "chamberBank.openFloorShare": 0.5 })).not.toContain(clean);
    expect(notesOf("orchard-depot", { "soil.floor": false })).not.toContain(clean);
  });

  test("what was taken for the lid's heads, the pocket at the weep hole and the soil over the stone, and no more once it is given", () => {
    const keys = ["chamberBank.coverPorosity", "overflowTrench.coverPorosity", "emitter.opensAtHead", "emitter.closesAtHead", "emitter.weepHole.soakArea"];
    const assumed = [
      "The share of voids in the soil over the pit's stone is not given: 0.05 is taken (common practice, no source).",
      "The share of voids in the soil over the trench's stone is not given: 0.05 is taken (common practice, no source).",
      "The head that lifts the emitter's lid is not given: 12 mm, half an inch, is taken (common practice, no source).",
      "The head at which the emitter's lid falls shut is not given: 3 mm, an eighth of an inch, is taken (common practice, no source).",
      "The area of soil that the weep hole's pocket wets is not given: 0.1 m², about a square foot, is taken (common practice, no source).",
    ];
    const given = [0.1, 0.1, "15 mm", "4 mm", "0.2 m^2"];
    const all = (values: readonly unknown[]): Record<string, unknown> => Object.fromEntries(keys.map((key, i) => [key, values[i]]));
    const none = keys.map(() => undefined);
    expect(notesOf("orchard-depot", all(none)).slice(-5)).toEqual(assumed);
    keys.forEach((key, i) => {
      const told = notesOf("orchard-depot", { ...all(none), [key]: given[i] });
      expect(told.filter((note) => assumed.includes(note))).toEqual(assumed.toSpliced(i, 1));
    });
  });

  test("first of all that nobody tested the soil, and nothing of it where a test is and a factor of 2", () => {
    const layers = [{ test: { kind: "percolationHole", diameter: "150 mm", waterDepth: "300 mm", minutesPerInch: 40 } }];
    const first = (values: Readonly<Record<string, unknown>>): string => notesOf("orchard-depot", { ...values, "settlingBox.floor": "48.2 m" })[0]!;
    expect(first({ "soil.factorOfSafety": 2 })).toBe("No test of the soil is given: every time to drain and all that comes out hangs on the 3 to 11 mm/h used.");
    expect(first({ "soil.layers": [{ ...layers[0], top: "48.8 m" }, { top: "47.9 m", conductivity: "22 mm/h" }], "soil.factorOfSafety": 2 }))
      .toMatch(/^Not every layer of the soil is tested: every time to drain/);
    expect(first({ "soil.layers": layers, "soil.factorOfSafety": 1 }))
      .toMatch(/^The soil is tested, but its conductivity is used as given, where common practice divides a tested one by 2 or more: every time/);
    expect(first({ "soil.layers": layers, "soil.factorOfSafety": 2 })).toMatch(/^The outlet of the settling box lies on its floor/);
  });

  test("of a lid that is not at the surface", () => {
    const lid = (crest: string, ground: unknown): string[] =>
      notesOf("orchard-depot", { "emitter.crest": crest, "overflowTrench.ground": ground }).filter((note) => note.startsWith("The emitter's crest"));
    expect(lid("48.10 m", "48.45 m")).toEqual([underGround("350 mm", "48.450 m")]);
    expect(lid("48.10 m", { high: "48.45 m", low: "48.20 m" })).toEqual([underGround("100 mm", "48.200 m")]);
    expect(lid("48.30 m", { high: "48.45 m", low: "48.20 m" })).toEqual(["The emitter's crest stands 100 mm above the ground at the trench's low end, 48.200 m."]);
    for (const flush of ["48.16 m", "48.20 m", "48.24 m"]) expect(lid(flush, { high: "48.45 m", low: "48.20 m" })).toEqual([]);
  });

  test("that an emitter can drown in its own puddle", () => {
    expect(notesOf("low-spot", {})).toContain(
      "The low spot can fill 250 mm over the emitter's crest before it runs off: the emitter can drown in its own puddle.",
    );
  });

  test("of the demo at the low point, in inches, that groundwater stands in its pit", () => {
    expect(readSite(demo("sedge-hollow")).notes).toContain("Groundwater stands 18.00 in over the floor of the pit: that is no room for rain.");
  });
});
