import { describe, expect, test } from "vitest";
import { readSite } from "../../lib/site/readSite.ts";
import { readQuantity, type Dimension } from "../../lib/text/quantity.ts";
import { changed, demo, demoNames, fixture, fixtureNames, type SiteJson } from "./siteFiles.ts";

const files: readonly (readonly [string, SiteJson])[] = [
  ...fixtureNames.map((name) => [name, fixture(name)] as const),
  ...demoNames.map((name) => [name, demo(name)] as const),
];

const ASSUMED = [
  "The share of voids in the soil over the pit's stone is not given: 0.05 is taken (common practice, no source).",
  "The share of voids in the soil over the trench's stone is not given: 0.05 is taken (common practice, no source).",
  "The area of soil that the weep hole's pocket wets is not given: 0.1 m², about a square foot, is taken (common practice, no source).",
];

describe("a site", () => {
  test("is the file of model.md section 6 in SI, every default of its table filled in", () => {
    expect(readSite(fixture("orchard-depot"))).toEqual({
      name: "Orchard depot yard",
      about: "",
      units: "si",
      writtenIn: "si",
      region: null,
      papers: null, prices: null, variants: [], asBuilt: [], diary: [],
      catchments: [{
        name: "shed roof", area: 210, timeOfConcentration: 420, drainsTo: "settlingBox", initialLoss: 0,
        loss: { kind: "runoffCoefficient", runoffCoefficient: 0.9 },
      }],
      settlingBoxes: [{
        name: "settlingBox", plan: { length: 0.7, width: 0.6 }, planArea: 0.7 * 0.6, perimeter: 2 * (0.7 + 0.6),
        floor: 47.6, rim: 49.05, spillsTo: null,
        outlet: {
          diameter: 0.11, invert: 48.2, outletInvert: 48.12, length: 6.5, manningN: 0.011,
          entranceLoss: 0.5, exitLoss: 1, bendLoss: 0, crest: 48.2,
        },
      }],
      chamberBank: {
        floor: 46.7, length: 4.2, width: 2.6, ground: 48.8,
        stone: { depth: 1.45, porosity: 0.38, base: 0.15 },
        chambers: [
          { count: 2, insideDiameter: 0.9, outsideDiameter: 1, height: 1.1, wallOpenings: null, gap: null },
          { count: 1, insideDiameter: 0.6, outsideDiameter: 0.64, height: 0.9, wallOpenings: null, gap: null },
        ],
        coverPorosity: 0.05, openFloorShare: 1, groundwaterLevel: null, cover: null, spillsTo: null,
        stoneTop: 46.7 + 1.45, groundwater: { time: [0], level: [44] },
      },
      overflowTrench: {
        floor: 47.55, fall: 0.12, length: 18, width: 0.5, ground: { high: 48.45, low: 48.45 },
        stone: { depth: 0.45, porosity: 0.38, hydraulicConductivity: 0.15 },
        pipe: {
          insideDiameter: 0.1, outsideDiameter: 0.114, bedding: 0.05, manningN: 0.01, openArea: null, rise: 0.05 + (0.114 - 0.1) / 2,
        },
        inlet: {
          diameter: 0.11, invert: 47.8, outletInvert: 47.8, length: 1.5, manningN: 0.011,
          entranceLoss: 0.5, exitLoss: 1, bendLoss: 0, crest: 47.8,
        },
        coverPorosity: 0.05, openFloorShare: 1, groundwaterLevel: null, cover: null, spillsTo: null, segments: 1,
        lowFloor: 47.55 - 0.12, lowestGround: 48.45, stoneTop: { high: 47.55 + 0.45, low: 47.55 - 0.12 + 0.45 },
        inletFloor: 47.55, emitterFloor: 47.55 - 0.12,
        groundwater: { time: [0], level: [44] },
      },
      emitter: {
        crest: 48.1, diameter: 0.1, opensAtHead: 0.015, closesAtHead: 0.004, tailwater: null,
        weepHole: { diameter: 0.008, elevation: 47.6, soakArea: 0.1 }, dischargesTo: null, heldShut: [],
        sill: 48.1, opensAt: 48.1 + 0.015, closesAt: 48.1 + 0.004,
      },
      lowSpot: null,
      soil: {
        layers: [{ top: 48.8, conductivity: 6 / 3_600_000, origin: null }, { top: 47.9, conductivity: 22 / 3_600_000, origin: null }],
        floor: true, sides: true, factorOfSafety: 1.5, conductivityFrom: "lower", temperature: 20,
      },
      groundwater: { level: { time: [0], level: [44] }, pathLength: 2, ownLengths: 1, mounding: null },
      storms: [],
      assumptions: ASSUMED,
      watchLevels: [],
      surveyError: 0.006,
      survey: null,
      surroundings: null,
      materials: null,
      upkeep: null,
      studies: null,
      notes: [
        "No test of the soil is given, and its conductivity is divided by 1.5 only, where common practice divides a tested one by 2 or more: every time to drain and all that comes out hangs on the 4 to 14.7 mm/h used.",
        "The emitter's crest lies 350 mm below the ground at the trench's low end, 48.450 m: a lid works at the surface, and a run takes it as free all the same. Where the ground falls towards it, \"ground\" takes { \"high\", \"low\" }.",
        'The floor of the pit is taken to stay clean for life, which is optimistic (common practice): look at "openFloorShare": 0 as well.',
        ...ASSUMED,
      ],
    });
  });

  test("takes the defaults of model.md section 6 where the keys are left out", () => {
    let file = fixture("orchard-depot");
    for (const path of [
      "groundwater", "soil.factorOfSafety", "soil.layers[0].top", "chamberBank.stone.porosity", "chamberBank.stone.base",
      "chamberBank.chambers[1].count", "chamberBank.chambers[1].outsideDiameter", "settlingBox.outlet.outletInvert",
      "settlingBox.outlet.length", "settlingBox.outlet.manningN", "overflowTrench.fall", "overflowTrench.pipe.bedding",
      "emitter.opensAtHead", "emitter.closesAtHead", "emitter.weepHole",
    ]) file = changed(file, path, undefined);
    const site = readSite(file);
    expect(site.groundwater).toEqual({ level: null, pathLength: null, ownLengths: 1, mounding: null });
    expect(site.soil.factorOfSafety).toBe(1);
    expect(site.soil.layers[0]!.top).toBe(Infinity);
    expect(site.chamberBank.stone).toEqual({ depth: 1.45, porosity: 0.4, base: 0 });
    expect(site.chamberBank.chambers[1]).toMatchObject({ count: 1, insideDiameter: 0.6, outsideDiameter: 0.6 });
    expect(site.settlingBoxes[0]!.outlet).toMatchObject({ invert: 48.2, outletInvert: 48.2, length: 0, manningN: 0.01 });
    expect(site.overflowTrench).toMatchObject({ fall: 0, pipe: { bedding: 0 } });
    expect(site.emitter).toMatchObject({ opensAtHead: 0.012, closesAtHead: 0.003, weepHole: null });
    const bare = readSite(changed(changed(changed(file, "emitter", undefined), "overflowTrench", undefined), "chamberBank.chambers", undefined));
    expect(bare).toMatchObject({ emitter: null, overflowTrench: null, chamberBank: { chambers: [] } });
  });

  test("holds every part of the file that model.md section 7 adds", () => {
    const site = readSite(fixture("every-key"));
    expect(site.catchments.map(({ drainsTo, loss }) => [drainsTo, loss])).toEqual([
      ["east", { kind: "runoffCoefficient", runoffCoefficient: 0.9 }],
      ["chamberBank", { kind: "curveNumber", curveNumber: 86, initialAbstractionRatio: 0.05, peakRateFactor: 400 }],
      ["lowSpot", { kind: "greenAmpt", hydraulicConductivity: 34 / 36_000_000, wettingFrontSuction: 0.089, moistureChange: 0.25 }],
    ]);
    expect(site.catchments[0]!.initialLoss).toBe(0.0005);
    expect(site.settlingBoxes).toMatchObject([
      { name: "east", plan: { diameter: 0.8 }, planArea: Math.PI / 4 * 0.8 ** 2, perimeter: Math.PI * 0.8, spillsTo: "lowSpot" },
      { name: "west", plan: { length: 0.7, width: 0.6 }, spillsTo: null },
    ]);
    expect(site.chamberBank).toMatchObject({
      chambers: [
        { wallOpenings: { share: 0.02 }, gap: 0.3 },
        { count: 1, outsideDiameter: 0.6, wallOpenings: { count: 40, diameter: 0.025 }, gap: null },
      ],
      coverPorosity: 0.1, openFloorShare: 0.4, groundwaterLevel: { time: [0], level: [8.1] }, spillsTo: "lowSpot",
      cover: { conductivity: 127 / 36_000_000 },
    });
    // A pound per cubic foot is 16.018463 kg/m3 (0.45359237 / 0.3048^3).
    expect(site.chamberBank.cover!.submergedDensity).toBeCloseTo(62 * 0.45359237 / 0.3048 ** 3, 10);
    expect(site.overflowTrench).toMatchObject({
      stone: { hydraulicConductivity: 0.2 }, pipe: { manningN: 0.016, openArea: 0.0021 }, segments: 3,
      groundwaterLevel: { time: [0, 172800], level: [8.4, 8.7] }, cover: { submergedDensity: 1000 },
    });
    expect(site.emitter).toMatchObject({
      tailwater: 9.8, dischargesTo: "lowSpot", heldShut: [{ from: 0, to: 32400 }, { from: 28800, to: 86400 }],
    });
    expect(site.lowSpot).toMatchObject({
      floor: 9.8, depth: 0.25, area: 80, shape: 1.3, lip: 10.1, lipLength: 3, conductivity: 8 / 3_600_000,
      grate: { level: 9.95, perimeter: 1.2, area: 0.03 }, groundwaterLevel: { time: [0], level: [9] },
    });
    expect(site.soil.temperature).toBe(5);
    expect(site.groundwater.mounding).toEqual({
      conductivity: 22 / 864_000, thickness: 6, specificYield: 0.14, at: { x: 6.5, y: -1 },
    });
    expect(site.storms).toEqual([
      { name: "cloudburst", options: { pattern: "block", depth: "34 mm", duration: "1 h" } },
      { name: "recorded", options: { file: "ash-creek-1973.json" } },
    ]);
    expect(site.watchLevels).toEqual([{ name: "slab", level: 10.9 }]);
  });

  test.each(files)("is read from %s without a problem, and from its text as well", (_, file) => {
    expect(readSite(JSON.stringify(file))).toEqual(readSite(file));
    expect(readSite(`\uFEFF${JSON.stringify(file, null, 2)}`)).toEqual(readSite(file));
  });

  test.each(files)("of %s is one site in feet and in metres", (_, file) => {
    const inSI = readSite(file);
    const inMetres = readSite(rewritten(file, { length: ["m", 1], area: ["m^2", 1], speed: ["m/s", 1], time: ["s", 1] }));
    // Each in its own units: square feet, feet a second and hours, divided out with 17 digits.
    const inFeet = readSite(rewritten(file, { length: ["ft", 0.3048], area: ["ft2", 0.3048 ** 2], speed: ["ft/s", 0.3048], time: ["h", 3600] }));
    expect(inMetres.units).toBe("si");
    expect(inFeet.units).toBe("us");
    expectSameNumbers(inMetres, inSI);
    expectSameNumbers(inFeet, inSI);
  });

  test.each(files)("of %s is frozen throughout, and its source is as it was", (_, file) => {
    const before = structuredClone(file);
    expect(unfrozen(readSite(file))).toEqual([]);
    expect(file).toEqual(before);
  });

  test("calls a lone box settlingBox, and boxes in a list by their own names", () => {
    expect(readSite(fixture("fernhollow")).settlingBoxes.map(({ name }) => name)).toEqual(["settlingBox"]);
    expect(readSite(fixture("two-boxes")).settlingBoxes.map(({ name }) => name)).toEqual(["north", "south"]);
    expect(readSite(fixture("upper-bench")).settlingBoxes.map(({ name }) => name)).toEqual(["hall"]);
  });

  test("with one box in a list needs no drainsTo", () => {
    const site = readSite(changed(fixture("upper-bench"), "catchments[0].drainsTo", undefined));
    expect(site.catchments[0]!.drainsTo).toBe("hall");
  });

  test("is in the units most of its lengths are written in", () => {
    expect(readSite(demo("copperbeech-lane")).units).toBe("us");
    expect(readSite(demo("linden-row")).units).toBe("si");
    expect(readSite(changed(demo("linden-row"), "watchLevels[0].level", "208 ft")).units).toBe("si");
  });

  test("takes a key set to undefined as a key left out", () => {
    expect(readSite({ ...fixture("fernhollow"), lowSpot: undefined })).toEqual(readSite(fixture("fernhollow")));
  });

  test("takes a chamber that just fits, though its feet and inches sum to more by round-off", () => {
    // 4.1 ft less 0.1 ft are the 48 in of the chamber, but 1.24968 - 0.03048 is less than 1.2192 in floating point.
    expect(1.24968 - 0.03048).toBeLessThan(1.2192);
    const file = changed(fixture("fernhollow"), "chamberBank.stone", { depth: "4.1 ft", base: "0.1 ft" });
    expect(readSite(changed(file, "chamberBank.chambers[0].height", "48 in")).chamberBank.chambers[0]!.height).toBe(1.2192);
  });

  test("keeps the options of a storm as they are written, however they nest", () => {
    const rainfall = { unit: "in/hr", returnPeriods: ["2 year", "10 year"], rows: { "5 min": [5.18, 7.14], "60 min": [1.51, 2.27] } };
    const storm = { name: "own", pattern: "alternating-block", duration: "1 h", interval: "5 min", returnPeriod: "10 year", rainfall };
    const { storms } = readSite({ ...fixture("fernhollow"), storms: [storm] });
    const { name, ...options } = storm;
    expect(storms).toEqual([{ name, options }]);
  });
});

/** The same file with every quantity of these dimensions written in one unit of our choice. */
function rewritten<T>(value: T, units: Partial<Record<Dimension, readonly [string, number]>>): T {
  if (typeof value === "string") {
    for (const [dimension, [unit, size]] of Object.entries(units)) {
      const reading = readQuantity(value, dimension as Dimension);
      if ("value" in reading) return `${reading.value / size} ${unit}` as T;
    }
    return value;
  }
  if (typeof value !== "object" || value === null) return value;
  if (Array.isArray(value)) return value.map((item: unknown) => rewritten(item, units)) as T;
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, rewritten<unknown>(inner, units)])) as T;
}

/**
 * Numbers agree to a few roundings, those of a fit to as many as a fit of differences makes of them; notes and the storms'
 * texts are words in the units of each file.
 */
function expectSameNumbers(actual: object, expected: object): void {
  const [a, b] = [numbersOf(actual), numbersOf(expected)];
  expect(a.map(([path]) => path)).toEqual(b.map(([path]) => path));
  for (const [index, [path, number]] of a.entries()) {
    const [, other] = b[index]!;
    // what is left of two diameters of a tenth of a metre keeps their roundings
    const fitted = path.includes(".origin.") ? 1e-12 : path.endsWith(".rise") ? Number.EPSILON : 0;
    const relative = path.startsWith(".soil.layers.") ? 1e-11 : 4 * Number.EPSILON;
    if (number !== other) expect(Math.abs(number - other), path).toBeLessThanOrEqual(fitted + relative * Math.abs(other));
  }
}

function numbersOf(value: unknown, path = ""): [string, number][] {
  if (typeof value === "number") return [[path, value]];
  if (typeof value !== "object" || value === null) return [];
  return Object.entries(value).flatMap(([key, inner]) => (key === "notes" || key === "options" ? [] : numbersOf(inner, `${path}.${key}`)));
}

function unfrozen(value: unknown, path = "site"): string[] {
  // A typed array, such as the readings of a soil test, cannot be frozen.
  if (typeof value !== "object" || value === null || ArrayBuffer.isView(value)) return [];
  return [...(Object.isFrozen(value) ? [] : [path]), ...Object.entries(value).flatMap(([key, inner]) => unfrozen(inner, `${path}.${key}`))];
}
