import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { readSite } from "../../lib/site/readSite.ts";
import { designStorm, PATTERNS } from "../../lib/rain/storms/designStorm.ts";
import { siteSchema } from "../../lib/site/siteSchema.ts";
import { STORM_WAYS } from "../../lib/site/stormField.ts";
import { doubtsOf } from "../../lib/study/howSure.ts";
import { oftenCases } from "../../lib/study/oftenCases.ts";
import { sizeCases } from "../../lib/study/sizeCases.ts";
import { sweepCases } from "../../lib/study/sweepCases.ts";
import { InputError } from "../../lib/text/problem.ts";
import { isValid } from "./schemaCheck.ts";
import { changed, demo, demoNames, fixture, fixtureNames } from "./siteFiles.ts";

const committed = readFileSync(new URL("../../data/site.schema.json", import.meta.url), "utf8");

describe("the JSON Schema of the site file", () => {
  test("lies in data/ as it is made from the checker's own fields", () => {
    expect(committed, "write siteSchema() to data/site.schema.json again, two spaces deep").toBe(`${JSON.stringify(siteSchema(), null, 2)}\n`);
  });

  test.each(fixtureNames)("passes the lawful file %s", (name) => {
    expect(isValid(fixture(name), siteSchema())).toBe(true);
  });

  test.each(demoNames)("passes the demo site %s", (name) => {
    expect(isValid(demo(name), siteSchema())).toBe(true);
  });

  test.each<[string, string, string, unknown]>([
    ["an unknown key", "orchard-depot", "chamberBank.widht", "3 m"],
    ["a missing key", "orchard-depot", "chamberBank.floor", undefined],
    ["a bare number for a length", "orchard-depot", "chamberBank.floor", 46.7],
    ["a wrong dimension", "orchard-depot", "soil.layers[0].conductivity", "6 mm"],
    ["a misspelt unit", "orchard-depot", "emitter.crest", "48 mtr"],
    ["a porosity over 1", "orchard-depot", "chamberBank.stone.porosity", 38],
    ["half a chamber", "orchard-depot", "chamberBank.chambers[0].count", 1.5],
    ["text for a flag", "orchard-depot", "soil.sides", "no"],
    ["no catchments", "orchard-depot", "catchments", []],
    ["two losses", "orchard-depot", "catchments[0].curveNumber", 90],
    ["no loss", "orchard-depot", "catchments[0].runoffCoefficient", undefined],
    ["a box without a plan", "fernhollow", "settlingBox.diameter", undefined],
    ["a box both round and rectangular", "orchard-depot", "settlingBox.diameter", "0.7 m"],
    ["a lone box with a name", "fernhollow", "settlingBox.name", "box"],
    ["a box in a list without one", "two-boxes", "settlingBox[0].name", undefined],
    ["another word than lowSpot", "low-spot", "emitter.dischargesTo", "street"],
    ["a level without its time", "winter-table", "groundwater.level[1].time", undefined],
    ["a storm of neither pattern nor file", "every-key", "storms[1].file", undefined],
    ["a storm of both", "every-key", "storms[1].pattern", "block"],
  ])("refuses %s, as readSite does", (_, name, path, value) => {
    const file = changed(fixture(name), path, value);
    expect(isValid(file, siteSchema())).toBe(false);
    expect(() => readSite(file)).toThrow();
  });

  test("knows the options of a file of rain that readSite knows", () => {
    const options: Readonly<Record<string, unknown>> = {
      time: "day", clock: "hour", rain: "precipitation", unit: "mm", kind: "interval", stamp: "end", interval: "1 h", tip: "0.2 mm",
      restarts: true, largest: "200 mm/h", dateOrder: "month/day/year", missing: ["T"], decimalComma: true, separator: ";",
    };
    const { storms } = (siteSchema() as { properties: { storms: { items: { oneOf: readonly { properties: object }[] } } } }).properties;
    expect(Object.keys(storms.items.oneOf.at(-1)!.properties).sort()).toEqual(["file", "name", ...Object.keys(options)].sort());
    for (const [key, value] of Object.entries(options)) {
      const lawful = changed(fixture("every-key"), `storms[1].${key}`, value);
      expect([key, isValid(lawful, siteSchema()), readSite(lawful).storms[1]!.options[key]]).toEqual([key, true, value]);
      const unlawful = changed(fixture("every-key"), `storms[1].${key}`, 7);
      expect([key, isValid(unlawful, siteSchema())]).toEqual([key, false]);
      expect(() => readSite(unlawful)).toThrow(`storms[1].${key}`);
    }
  });

  const rainfall = { unit: "in", returnPeriods: ["2 year", "10 year"], rows: { "5 min": [0.4, 0.6], "1 h": [1.5, 2.3], "24 h": [3.3, 5] } };
  const lawful: Readonly<Record<string, unknown>> = {
    duration: "6 h", interval: "5 min", peakAt: 0.4, depth: "30 mm", intensity: "5 mm/h", rainfall, returnPeriod: "2 year", climateFactor: 1.1,
    ratios: { "5 min": 0.1, "6 h": 1 }, times: [0, 1], shares: [0, 1], points: [["0 h", "0 mm"], ["1 h", "10 mm"]],
  };

  test.each(STORM_WAYS.flatMap((way) => way.patterns.map((pattern) => [pattern, way.required.join(), way] as const)))(
    "knows of a storm %s with %s the keys that designStorm reads, and passes one that it makes", (pattern, _, { keys, required, one = ["climateFactor"] }) => {
      const known = new Set<string>();
      for (const key of one) {
        const given = [...required, key, ...([...required, key].includes("rainfall") ? ["returnPeriod"] : [])];
        const storm = { pattern, ...Object.fromEntries(given.map((each) => [each, lawful[each]])) };
        const file = changed(fixture("every-key"), "storms[0]", { name: "a storm", ...storm });
        expect([storm, isValid(file, siteSchema()), designStorm(storm as never).depth.length > 0]).toEqual([storm, true, true]);
        expect(isValid(changed(file, "storms[0].zzzzzz", 1), siteSchema())).toBe(false);
        for (const each of knownKeys(() => designStorm({ ...storm, zzzzzz: 1 } as never)).get("designStorm")!) known.add(each);
      }
      // by the key of another way to say the pattern a reader sees which it is
      const others = STORM_WAYS.filter(({ patterns }) => patterns.includes(pattern))
        .flatMap((way) => Object.keys(way.keys)).filter((key) => !(key in keys));
      expect([...known].filter((key) => !others.includes(key)).sort()).toEqual(["pattern", ...Object.keys(keys)].sort());
    });

  test("knows the patterns that designStorm knows", () => {
    const known = Object.keys(PATTERNS);
    expect(known.sort()).toEqual([...new Set(STORM_WAYS.flatMap((way) => way.patterns))].sort());
  });

  test.each<[string, object]>([
    ["a table", rainfall], ["a table from its server", { ...rainfall, series: "partial-duration", source: "a", place: "b", date: "c", extrapolate: true }],
    ["an equation", { form: "a/(t+b)^c", intensityUnit: "in/hr", timeUnit: "min", a: 60, b: 10, c: 0.8 }], ["the UK's", { m5_60: "20 mm", r: 0.4 }],
  ])("knows the keys of a rainfall by %s", (_, given) => {
    const storm = { pattern: "block", duration: "1 h", rainfall: given, returnPeriod: "2 year" };
    const file = changed(fixture("every-key"), "storms[0]", { name: "a storm", ...storm });
    expect(isValid(file, siteSchema())).toBe(true);
    expect(isValid(changed(file, "storms[0].rainfall.zzzzzz", 1), siteSchema())).toBe(false);
    const known = knownKeys(() => designStorm({ ...storm, rainfall: { ...given, zzzzzz: 1 } } as never)).get("designStorm.rainfall")!;
    const ways = (siteSchema() as { definitions: { rainfall: { oneOf: readonly { properties: object }[] } } }).definitions.rainfall.oneOf;
    const way = ways.find(({ properties }) => Object.keys(given).every((key) => key in properties))!;
    expect(Object.keys(way.properties)).toEqual(expect.arrayContaining([...known].filter((key) => !["rows", "form", "m5_60"].includes(key) || key in given)));
  });

  test("knows of every study the keys that its reader knows", () => {
    const site = readSite(demo("copperbeech-lane"));
    const odd = { zzzzzz: 1 };
    const climate = { stormsPerYear: 80, meanDepth: "0.4 in", meanDuration: "6 h" };
    const criterion = { storm: { pattern: "block", returnPeriod: "2 year", duration: "1 h" }, noFiring: true };
    const known = new Map([
      ...knownKeys(() => sweepCases({ kind: "sweep", site, options: {
        rainfall, returnPeriods: ["2 year"], durations: ["1 h"], designs: [{ name: "a", chambers: 3, ...odd }], ...odd } })),
      ...knownKeys(() => sizeCases({ kind: "size", site, options: {
        rainfall, criteria: [{ ...criterion, ...odd }], steps: { chambers: [2, 3], ...odd },
        ...odd } as never })),
      ...knownKeys(() => doubtsOf(site, { storm: { pattern: "block", depth: "1 in", duration: "1 h" }, conductivityWithin: 3, ...odd } as never)),
      ...knownKeys(() => oftenCases({ kind: "often", site, options: { climate, ...odd } })),
    ]);
    expect([...known.keys()].sort()).toEqual(["often", "size", "size.criteria[0]", "size.steps", "sure", "sweep", "sweep.designs[0]"]);
    const { studies } = (siteSchema() as { properties: { studies: Inner } }).properties;
    // what a program alone can give, and what a file alone can: the terminal reads files and counts
    const [ofPrograms, ofFiles] = [["recorded", "records"], ["record", "runs", "seed", "moments"]];
    for (const [where, keys] of known) {
      const own = where.split(/[.[]/).reduce((schema, key) => (key === "0]" ? schema.items : schema.properties?.[key]) as Inner, studies).properties!;
      const written = Object.keys(own).filter((key) => keys.has(key) || !ofFiles.includes(key));
      expect([where, written.sort()]).toEqual([where, [...keys].filter((key) => !ofPrograms.includes(key)).sort()]);
    }
  });

  test.each<[string, string, unknown]>([
    ["a misspelt key", "studies.size.criteria[0].noFireing", true], ["a bare number for a length", "studies.size.steps.trenchLength[0]", 30],
    ["a study that there is not", "studies.sizes", {}], ["a wrong dimension", "studies.size.criteria[1].boxHeadroom", "6 h"],
    ["a table without its unit", "studies.rainfall.unit", undefined], ["a factor below 1", "studies.sure.conductivityWithin", 0.3],
    ["a climate without its storms", "studies.often.climate.stormsPerYear", undefined], ["a sweep without durations", "studies.sweep.durations", undefined],
  ])("refuses in studies %s", (_, path, value) => {
    expect(isValid(changed(demo("copperbeech-lane"), path, value), siteSchema())).toBe(false);
  });

  test("states defaults that are those readSite fills in", () => {
    const defaults = defaultsIn(siteSchema());
    expect(defaults).toContainEqual(["emitter.opensAtHead", "12 mm"]);
    expect(defaults.length).toBeGreaterThan(25);
    for (const [path, value] of defaults) {
      const inFile = path.replace("catchments.*", "catchments[1]").replace("settlingBox", "settlingBox[0]").replaceAll(".*", "[0]");
      // A default that matters is said, which is all the difference there may be.
      const [withoutKey, withDefault] = [undefined, value].map((held) => ({ ...readSite(changed(fixture("every-key"), inFile, held)), notes: [], assumptions: [] }));
      expect(withoutKey, inFile).toEqual(withDefault);
    }
  });
});

/** The keys that readers say they know, by the place in which they found one that they do not. */
function knownKeys(read: () => unknown): Map<string, Set<string>> {
  try {
    read();
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return new Map(error.problems.flatMap(({ where, expected }): [string, Set<string>][] => {
      const [, list] = /^no such key \(known here: (.*)\)$/.exec(expected) ?? [];
      return list === undefined ? [] : [[where.replace(/\.zzzzzz$/, ""), new Set(list.split(", "))]];
    }));
  }
  throw new Error("expected an unknown key to be refused");
}

interface Inner {
  readonly properties?: Readonly<Record<string, unknown>>;
  readonly items?: unknown;
  readonly anyOf?: readonly unknown[];
}

/** Path and default of every key that states one; `*` stands for an item of a list. */
function defaultsIn(schema: unknown, path = ""): [string, unknown][] {
  if (typeof schema !== "object" || schema === null) return [];
  const { properties = {}, items, anyOf = [] } = schema as Inner;
  const own: [string, unknown][] = "default" in schema ? [[path.slice(1), schema.default]] : [];
  const inKeys = Object.entries(properties).flatMap(([key, below]) => defaultsIn(below, `${path}.${key}`));
  // Of a box alone and boxes in a list the first describes the same keys.
  return [...own, ...inKeys, ...defaultsIn(items, `${path}.*`), ...defaultsIn(anyOf[0], path)];
}
