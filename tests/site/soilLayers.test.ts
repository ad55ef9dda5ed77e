import { describe, expect, test } from "vitest";
import { layerBand, soilCaveat } from "../../lib/site/siteNotes.ts";
import { usedConductivity } from "../../lib/ground/test/usedConductivity.ts";
import { percolationHole } from "../../lib/ground/test/percolationHole.ts";
import { soilTest } from "../../lib/ground/test/soilTest.ts";
import { soilTexture } from "../../lib/ground/soilTexture.ts";
import { changedSite } from "../../lib/site/changedSite.ts";
import { intensityBandText } from "../../lib/text/format.ts";
import type { HolesOrigin } from "../../lib/site/testHoles.ts";
import { expectClose } from "../closeTo.ts";
import { readSite, type SiteError } from "../../lib/site/readSite.ts";
import { siteSchema } from "../../lib/site/siteSchema.ts";
import { isValid } from "./schemaCheck.ts";
import { changed, demo, fixture, type SiteJson } from "./siteFiles.ts";

const tenMinutesAnInch = { kind: "percolationHole", diameter: "6 in", waterDepth: "12 in", minutesPerInch: 10 } as const;
const neverDrained = { ...tenMinutesAnInch, minutesPerInch: "never", watched: "24 h" } as const;

function withLayer(layer: object, name = "fernhollow"): SiteJson {
  return changed(fixture(name), "soil.layers", [layer]);
}

function problemsOf(file: SiteJson): string[] {
  try {
    readSite(file);
    return [];
  } catch (error) {
    return (error as SiteError).message.split("\n  ").slice(1);
  }
}

describe("a layer of soil", () => {
  test("has the conductivity of its test, and keeps all that came of it", () => {
    const [layer] = readSite(withLayer({ test: tenMinutesAnInch })).soil.layers;
    const result = percolationHole({ diameter: "6 in", waterDepth: "12 in", minutesPerInch: 10 });
    const band = result.fieldSaturatedBand;
    expect(layer).toEqual({ top: Infinity, conductivity: result.fieldSaturated, origin: { kind: "test", test: "percolationHole", result, band } });
    expect(layerBand(layer!)).toEqual(band);
  });

  test("takes the hole's own figure of a percolation hole, with its band, where the file asks for it, and says so", () => {
    const site = readSite(changed(withLayer({ test: tenMinutesAnInch }), "soil.conductivityFrom", "hole"));
    const [layer] = site.soil.layers;
    const result = percolationHole({ diameter: "6 in", waterDepth: "12 in", minutesPerInch: 10 });
    expect([layer!.conductivity, layerBand(layer!)]).toEqual([result.hydraulicConductivity, result.siteBand]);
    expect(site.notes.join("\n")).toContain(
      'says 0.693 in/h for the soil by gravity alone, which the file asks for (conductivityFrom "hole"), and 0.216 in/h by the steady law, where');
    expect(problemsOf(changed(withLayer({ test: tenMinutesAnInch }), "soil.conductivityFrom", "holes"))).toEqual([
      'soil.conductivityFrom: expected a known word (did you mean "hole"?), got "holes"',
    ]);
  });

  test("has the published conductivity of its texture, and keeps what is published of it", () => {
    const [layer] = readSite(withLayer({ texture: "silt loam" })).soil.layers;
    const texture = soilTexture("silt loam");
    expect(layer).toEqual({ top: Infinity, conductivity: texture.hydraulicConductivity, origin: { kind: "texture", texture } });
    expect(layerBand(layer!)).toEqual(texture.band);
  });

  test("whose conductivity is given has the band of soils within a site", () => {
    const [layer] = readSite(withLayer({ conductivity: "0.5 in/hr" })).soil.layers;
    const { low, high, from } = layerBand(layer!);
    expect([low < layer!.conductivity, high > layer!.conductivity, from]).toEqual([true, true, "within-site scatter"]);
  });

  test("reads its test as soilTest does, of every kind", () => {
    const file = fixture("tested-soil");
    const given = (file["soil"] as { layers: { test?: Parameters<typeof soilTest>[0] }[] }).layers;
    readSite(file).soil.layers.forEach(({ conductivity, origin }, i) => {
      if (origin?.kind === "test") expect(conductivity).toBe(usedConductivity(soilTest(given[i]!.test!), "lower").conductivity);
    });
    expect(given.map((layer) => layer.test?.kind)).toEqual([undefined, "percolationHole", "trialPit", "constantHead", "borehole"]);
  });

  test("is frozen with all that came of its test but the readings' own arrays, which cannot be", () => {
    const [layer] = readSite(withLayer({ test: tenMinutesAnInch })).soil.layers;
    expect([Object.isFrozen(layer), Object.isFrozen(layer!.origin)]).toEqual([true, true]);
    expect(layer!.origin?.kind === "test" && Object.isFrozen(layer!.origin.result.notes)).toBe(true);
  });

  test.each<[string, object, string[]]>([
    ["no conductivity", {}, ["soil.layers[0]: expected exactly one of: conductivity; test; tests; texture, got none of them"]],
    ["two conductivities", { conductivity: "1 in/hr", texture: "loam" },
      ["soil.layers[0]: expected exactly one of: conductivity; test; tests; texture, got conductivity and texture"]],
    ["a texture of no known name", { texture: "sandy lome" }, [
      'soil.layers[0].texture: expected one of "sand", "loamy sand", "sandy loam", "loam", "silt loam", "sandy clay loam", "clay loam", '
        + '"silty clay loam", "sandy clay", "silty clay", "clay", got "sandy lome" (did you mean "sandy loam"?)',
    ]],
    ["what is not a test", { test: "ten minutes" }, ['soil.layers[0].test: expected an object of options, got "ten minutes"']],
    ["a test of no known kind", { test: { ...tenMinutesAnInch, kind: "percolationhole" } }, [
      'soil.layers[0].test.kind: expected one of "percolationHole", "trialPit", "borehole", "constantHead", got "percolationhole" '
        + '(did you mean "percolationHole"?)',
    ]],
    ["a test with two wrong keys", { test: { kind: "trialPit", length: "5", width: "2 ft", waterDepth: "3 ft", time25to75: "1 h" } }, [
      'soil.layers[0].test.length: expected a length such as "2.5 ft", "18 in" or "0.75 m", got "5", without a unit',
      'soil.layers[0].test.time75to25: expected a time such as "10 min", "24 h" or "3 day", got nothing',
      'soil.layers[0].test.time25to75: expected no such key (did you mean "time75to25"?), got "1 h"',
    ]],
    // 22.5 m/s ln(922.5/23.5), by hand
    ["a test that no soil can have passed", { test: { kind: "percolationHole", diameter: "90 m", fills: [{ time: ["0 s", "1 s"], depth: ["900 m", "1 m"] }] } },
      ["soil.layers[0].test: expected readings that come to a conductivity of 10 m/s at most, got 82.6 m/s"]],
  ])("is refused with %s", (_, layer, problems) => {
    expect(problemsOf(withLayer(layer))).toEqual(problems);
  });

  test("of several holes takes their geometric mean, or the nearest to the pit where that is slower, and says so", () => {
    const hole = (minutesPerInch: number): object => ({ ...tenMinutesAnInch, minutesPerInch });
    const file = changed(demo("copperbeech-lane"), "soil.layers", [{
      top: "98.2 ft", tests: [
        // the pit is 13.5 ft by 8 ft round (78, 88): its west edge lies at 71.25 ft
        { name: "west", at: ["66.25 ft", "88 ft"], test: hole(10) },
        { name: "north", at: ["78 ft", "104 ft"], test: hole(20) },
        { name: "lane", fromPit: "50 ft", test: hole(40) },
      ],
    }]);
    const alone = (minutesPerInch: number): number => usedConductivity(soilTest({ ...tenMinutesAnInch, minutesPerInch }), "lower").conductivity;
    const site = readSite(file);
    const [layer] = site.soil.layers;
    expectClose(layer!.conductivity, Math.cbrt(alone(10) * alone(20) * alone(40)), { relative: 1e-12, because: "round-off" });
    const origin = layer!.origin as HolesOrigin;
    expect(origin.holes.map(({ fromPit }) => Math.round((fromPit ?? NaN) / 0.003048) / 100)).toEqual([5, 12, 50]);
    expect(site.notes.find((note) => note.startsWith("3 test holes"))).toBe(
      "3 test holes say for the soil: 0.216 in/h in “west”, 5 ft from the pit; 0.108 in/h in “north”, 12 ft from the pit; 0.054 in/h in “lane”, 50 ft from the pit. "
      + "Of these their geometric mean, 0.108 in/h, is used, and the hole nearest to the pit is no slower. By their own scatter reckon with "
      + `${intensityBandText(layerBand(layer!).low, layerBand(layer!).high, "us")}, and run the low end too.`,
    );
    const slow = readSite(changed(file, "soil.layers.0.tests.0.test", hole(80)));
    expectClose(slow.soil.layers[0]!.conductivity, alone(80), { relative: 1e-12, because: "round-off" });
    expect(slow.notes.join("\n")).toContain("of the hole nearest to the pit, which is slower, is used");
    expect(soilCaveat(site)).toBeNull();
  });

  test("of one hole in a list, of one without a place, and of two kinds of answer is refused", () => {
    const hole = { name: "west", fromPit: "5 ft", test: tenMinutesAnInch };
    expect(problemsOf(withLayer({ tests: [hole] }))).toEqual([
      'soil.layers[0].tests: expected a list of two holes or more, each { "name", "at" or "fromPit", "test" } (a single one is "test"), got a list of 1',
    ]);
    expect(problemsOf(withLayer({ tests: [hole, { name: "east", test: tenMinutesAnInch }] }))).toEqual([
      "soil.layers[0].tests[1]: expected exactly one of: at; fromPit, got none of them",
    ]);
    expect(problemsOf(withLayer({ test: tenMinutesAnInch, tests: [hole, hole] }))).toEqual([
      "soil.layers[0]: expected exactly one of: conductivity; test; tests; texture, got test and tests",
    ]);
  });

  test("is refused with gaps in the readings of its test", () => {
    const fills = [{ minutesPerInch: 8 }];
    fills[2] = { minutesPerInch: 10 };
    expect(problemsOf(withLayer({ test: { kind: "percolationHole", diameter: "6 in", waterDepth: "12 in", fills } }))).toEqual([
      "soil.layers[0].test.fills[1]: expected an object of options, got nothing",
    ]);
  });

  test("has the problems of its test among all others of the file", () => {
    const file = changed(withLayer({ test: { ...tenMinutesAnInch, diameter: "6" } }), "emitter.diameter", "4");
    expect(problemsOf(file).map((line) => line.split(":")[0])).toEqual(["emitter.diameter", "soil.layers[0].test.diameter"]);
  });
});

describe("the schema of a test", () => {
  const lawful: readonly object[] = [
    tenMinutesAnInch,
    { kind: "percolationHole", diameter: "6 in", waterDepth: "12 in", fills: [{ minutesPerInch: 8 }, { minutesPerInch: "10 min/in" }], stonePorosity: 0.4, texture: "clay loam" },
    { ...tenMinutesAnInch, sorptiveNumber_perCm: 0.36 },
    neverDrained,
    { kind: "percolationHole", diameter: "6 in", bottomDown: "2 ft", fills: [{ time: ["0 min", "10 min"], down: ["12 in", "14 in"] }] },
    { kind: "trialPit", length: "1.6 m", width: "0.6 m", waterDepth: "0.65 m", fills: [{ time75to25: "60 min" }, { time75to25: "67 min" }], stonePorosity: 0.38 },
    { kind: "trialPit", length: "1.6 m", width: "0.6 m", waterDepth: "0.65 m", time75to25: "never", watched: "3 day" },
    { kind: "trialPit", length: "1.6 m", width: "0.6 m", waterDepth: "0.65 m", bottomDown: "1 m", fills: [{ time: ["0 h", "1 h"], down: ["0.2 m", "0.4 m"] }] },
    { kind: "borehole", diameter: "100 mm", openLength: "0 m", fills: [{ time: ["0 h", "1 h"], depth: ["2 m", "1 m"] }] },
    {
      kind: "borehole", diameter: "100 mm", casingDiameter: "50 mm", openLength: "1 m", waterTableDown: "3 m",
      fills: [{ time: ["0 h", "1 h"], down: ["1 m", "2 m"] }],
    },
    { kind: "constantHead", diameter: "6 cm", waterDepth: "15 cm", flow: "0.3 L/h", waterTableBelow: "1 m" },
    { kind: "constantHead", diameter: "6 cm", waterDepth: "15 cm", flow: ["0.3 L/h", "0.31 L/h"], sorptiveNumber_perCm: 0.12 },
  ];

  test("passes what readSite passes, each key of each kind among it", () => {
    for (const each of lawful) {
      const file = withLayer({ test: each });
      expect([each, isValid(file, siteSchema()), problemsOf(file)]).toEqual([each, true, []]);
    }
    const keysOf = (kind: string): string[] => [...new Set(lawful.filter((each) => "kind" in each && each.kind === kind).flatMap(Object.keys))].sort();
    expect(schemas().map(({ properties }) => Object.keys(properties).sort())).toEqual(
      ["percolationHole", "trialPit", "borehole", "constantHead"].map(keysOf));
  });

  test("refuses with readSite each key that is unknown, is missing, or holds a bare number or a list of nothing", () => {
    for (const each of lawful) {
      const wrong = Object.keys(each).flatMap((key) => [
        { ...each, [`${key}s`]: "1 m" }, { ...each, [key]: {} }, { ...each, [key]: [] }, { ...each, [key]: key === "flow" ? 5 : "five" },
      ]);
      for (const test of [...wrong, { ...each, kind: undefined }, { ...each, diameter: undefined, length: undefined }]) {
        const file = withLayer({ test });
        expect([test, isValid(JSON.parse(JSON.stringify(file)), siteSchema()), problemsOf(file).length > 0]).toEqual([test, false, true]);
      }
    }
  });

  function schemas(): { readonly properties: object }[] {
    interface Inner { readonly properties: Readonly<Record<string, Inner>>; readonly items: Inner; readonly oneOf: readonly Inner[] }
    const { soil } = (siteSchema() as Inner).properties;
    return [...soil!.properties["layers"]!.items.properties["test"]!.oneOf];
  }
});

describe("the notes of a site say", () => {
  /** Over those of the same site with its conductivity given, and but for the first line, which other tests pin. */
  function newNotes(layer: object, name = "fernhollow"): string[] {
    const before = readSite(withLayer({ conductivity: "0.5 in/hr" }, name)).notes;
    const site = readSite(withLayer(layer, name));
    return site.notes.filter((note) => !before.includes(note) && note !== soilCaveat(site));
  }

  test("what ten minutes an inch are, what they would have been taken for, and how far that reaches", () => {
    // 6 in/h over 8.66 is 0.693 in/h (the hole's own law), and the steady law's figure is by hand in testHoles.test.ts. The band: ln 5.113
    // with ln(0.2160/0.0602) below and ln(0.2518/0.2160) above, added as squares
    expect(newNotes({ test: tenMinutesAnInch })).toEqual([
      "The percolation hole says 0.216 in/h for the soil, where the fall of its water alone would have said 6 in/h. Soil scatters within a site: "
        + "reckon with 0.027 to 1.1 in/h, and run the low end too.",
      "One fill only: soil that is not yet soaked drinks faster than it drains. Fill again until two fills agree within a tenth.",
      "Two readings leave no residual to judge by, so the band is the scatter of soils within a site.",
      "The speed at which water falls in a hole is no conductivity: taken for one it would be 28 times too high.",
      "A hole this small loses water to pressure and suction too: by the steady law of Reynolds and Elrick the soil takes 3.21 times less than the "
        + "hole's fall says by gravity alone, at a sorptive number of 12 per metre, which is assumed, for nothing says which soil it is (2.75 to "
        + "11.5 times less over all its classes).",
    ]);
  });

  test("what a hole that never drained means", () => {
    const notes = newNotes({ test: neverDrained }, "orchard-depot");
    expect(notes[0]).toMatch(/^The percolation hole says 0 mm\/h for the soil, and 0\.\d+ mm\/h at most\.$/);
    expect(notes.slice(1)).toEqual([
      "In 24 h the water did not fall by more than the readings can show: this hole does not drain.",
      expect.stringMatching(/^Either groundwater stands as high as the water in the hole .* or the soil is tight clay, or digging smeared the sides shut\.$/),
      expect.stringMatching(/^To tell which: bail the hole out and look again the next day\./),
      "As measured the conductivity is 0. The band ends at what could have gone unseen.",
      "The soil takes in nothing: no water soaks away.",
    ]);
  });

  test("that a texture is a name and no test", () => {
    expect(newNotes({ texture: "loam" }, "orchard-depot")).toEqual([
      // 0.52, 0.134 to 1 in/h, and 0.52 a factor 5.1 either way
      "The conductivity of the soil, 13.2 mm/h, is that of any loam: 3.4 to 25 mm/h is published, and 2.6 to 68 mm/h can be met within one "
        + "site. A name is no test.",
    ]);
  });

  test("which of several layers is meant", () => {
    expect(readSite(fixture("tested-soil")).notes.filter((note) => note.includes("soil layer")).map((note) => /soil layer \d/.exec(note)![0]))
      .toEqual(["soil layer 1", "soil layer 2", "soil layer 3", "soil layer 4", "soil layer 5"]);
  });

  test("how far the floor lies above the highest groundwater, where that is less than a metre", () => {
    const note = (level: unknown): string[] => readSite(changed(fixture("orchard-depot"), "groundwater.level", level)).notes.filter((each) =>
      each.includes("highest groundwater"));
    // the floor lies at 46.70 m
    expect(note("46.1 m")).toEqual(["The floor of the pit lies 600 mm above the highest groundwater given; public manuals ask for about a metre (3 ft)."]);
    expect(note([{ time: "0 h", level: "44 m" }, { time: "30 day", level: "46.5 m" }])[0]).toMatch(/^The floor of the pit lies 200 mm above/);
    expect([note("45.7 m"), note("46.8 m")]).toEqual([[], []]);
  });
});

test("a changed site is frozen, has its own notes and leaves the site it came from as it was", () => {
  const site = readSite(fixture("orchard-depot"));
  const sealed = changedSite(site, { chamberBank: { ...site.chamberBank, openFloorShare: 0 } });
  expect([sealed, sealed.chamberBank].map(Object.isFrozen)).toEqual([true, true]);
  expect([sealed.chamberBank.openFloorShare, sealed.notes]).toEqual([0, site.notes.filter((note) => !note.includes("openFloorShare"))]);
  expect([site.chamberBank.openFloorShare, site.notes.filter((note) => note.includes("openFloorShare")).length]).toEqual([1, 1]);
});
