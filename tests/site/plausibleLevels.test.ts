import { describe, expect, test } from "vitest";
import { readSite } from "../../lib/site/readSite.ts";
import { changed, demo, demoNames, fixture, fixtureNames, type SiteJson } from "./siteFiles.ts";

// The limits, 15 ft and 10 ft, 2 ft for a pipe, 50 ft for an error, are common practice, no source.

/** Notes that come before all others of the file as it is: those of levels that are hardly meant. */
function firstNotes(values: Readonly<Record<string, unknown>>, name = "fernhollow"): string[] {
  let file: SiteJson = fixture(name);
  for (const [path, value] of Object.entries(values)) file = changed(file, path, value);
  return readSite(file).notes.filter((note, i, all) => i === 0 || all.slice(0, i + 1).every(isAsked)).filter(isAsked);
}

const isAsked = (note: string): boolean => /is a unit|is its unit|reaches the top of the pit's stone/.test(note);

function refusal(values: Readonly<Record<string, unknown>>): string {
  let file: SiteJson = fixture("fernhollow");
  for (const [path, value] of Object.entries(values)) file = changed(file, path, value);
  try {
    readSite(file);
  } catch (error) {
    return String(error);
  }
  return "none";
}

// fernhollow, in feet: pit 92.5 to 98.6, its stone's top 97.5; trench from 95.6 to 98.0; box 95.9 to 99.3
describe("levels that are hardly meant", () => {
  test("are absent from every lawful file of the tests, nor in the demo sites", () => {
    for (const name of fixtureNames) expect([name, firstNotes({}, name)]).toEqual([name, []]);
    for (const name of demoNames) expect([name, readSite(demo(name)).notes.filter(isAsked)]).toEqual([name, []]);
  });

  test.each<[string, Record<string, unknown>, string[]]>([
    ["a pit of more than 15 ft", { "chamberBank.ground": "107.6 ft" },
      ["The pit is 15.1 ft deep, and more than 15 ft is hardly ever dug: is a unit or a level wrong?"]],
    ["a pit of just 15 ft, whose stone lies 10.5 ft down", { "chamberBank.ground": "107.5 ft", "chamberBank.stone.depth": "4.5 ft" },
      ["The stone of the pit lies 10.5 ft under the ground, and more than 10 ft is hardly ever dug: is a unit or a level wrong?"]],
    ["a box of more than 15 ft", { "settlingBox.rim": "112 ft" },
      ["The settling box is 16.1 ft deep, and more than 15 ft is hardly ever dug: is a unit or a level wrong?"]],
    ["a trench whose stone lies 12 ft down at its low end", { "overflowTrench.ground": { high: "98 ft", low: "108.9 ft" } },
      ["The stone of the trench lies 12 ft under the ground, and more than 10 ft is hardly ever dug: is a unit or a level wrong?"]],
    ["a box's pipe in feet for inches", { "settlingBox.outlet.diameter": "4 ft" },
      ["The pipe from the settling box is 4 ft wide, and more than 2 ft is hardly ever laid here: is a unit wrong?"]],
    ["the pipe to the trench in feet for inches", { "overflowTrench.inlet.diameter": "4 ft" },
      ["The pipe from the pit to the trench is 4 ft wide, and more than 2 ft is hardly ever laid here: is a unit wrong?"]],
    ["a start full of groundwater", { "groundwater.level": "97.6 ft" },
      ["Groundwater at 97.60 ft reaches the top of the pit's stone, 97.50 ft: there is no room in it for rain."]],
    ["groundwater in inches for feet", { "groundwater.level": "88 in" },
      ["Groundwater at 7.33 ft lies 91.3 ft below the ground over the pit: is its unit right?"]],
    ["a layer's top in inches for feet", { "soil.layers": [{ conductivity: "0.3 in/hr" }, { top: "95 in", conductivity: "0.9 in/hr" }] },
      ["The top of soil layer 2 at 7.92 ft lies 90.7 ft below the ground over the pit: is its unit right?"]],
    ["a level to watch in metres for feet", { watchLevels: [{ name: "slab", level: "100 m" }] },
      ['“slab” at 328.08 ft lies 229 ft above the ground over the pit: is its unit right?']],
    ["an emitter in metres for feet", { "emitter.crest": "97.4 m" },
      ["The emitter's crest at 319.55 ft lies 221 ft above the ground over the pit: is its unit right?"]],
  ])("are asked about before all else: %s", (_, values, notes) => {
    expect(firstNotes(values)).toEqual(notes);
  });

  test("are told once: groundwater over the pit's stone is not said to stand over its floor too", () => {
    const { notes } = readSite(changed(fixture("fernhollow"), "groundwater.level", "98.3 ft"));
    expect(notes[0]).toMatch(/^Groundwater at 98\.30 ft reaches the top/);
    const { lowFloor } = readSite(fixture("fernhollow")).overflowTrench!;
    expect(notes.filter((note) => note.startsWith("Groundwater stands"))).toEqual([
      `Groundwater stands ${((98.3 * 0.3048 - lowFloor) / 0.0254).toFixed(2)} in over the floor of the trench: that is no room for rain.`,
    ]);
  });

  test.each([
    ["a pit's floor in inches for feet", { "chamberBank.floor": "96.125 in" },
      "chamberBank.floor: expected a floor at most 50.00 ft below the ground (is a unit wrong?), got \"96.125 in\", 90.59 ft below it"],
    ["a box's floor in inches for feet", { "settlingBox.floor": "96.125 in" }, "settlingBox.floor: expected a floor at most"],
    ["ground over the trench in metres for feet", { "overflowTrench.ground": { high: "98 ft", low: "98 m" } },
      "overflowTrench.floor: expected a floor at most"],
  ])("are an error where nothing is ever dug as deep: %s", (_, values, message) => {
    expect(refusal(values)).toContain(message);
  });
});
