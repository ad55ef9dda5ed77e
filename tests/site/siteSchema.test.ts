import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { readSite } from "../../lib/site/readSite.ts";
import { siteSchema } from "../../lib/site/siteSchema.ts";
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
    const { storms } = (siteSchema() as { properties: { storms: { items: { properties: object } } } }).properties;
    expect(Object.keys(storms.items.properties).sort()).toEqual(["file", "name", "pattern", ...Object.keys(options)].sort());
    for (const [key, value] of Object.entries(options)) {
      const lawful = changed(fixture("every-key"), `storms[1].${key}`, value);
      expect([key, isValid(lawful, siteSchema()), readSite(lawful).storms[1]!.options[key]]).toEqual([key, true, value]);
      const unlawful = changed(fixture("every-key"), `storms[1].${key}`, 7);
      expect([key, isValid(unlawful, siteSchema())]).toEqual([key, false]);
      expect(() => readSite(unlawful)).toThrow(`storms[1].${key}`);
    }
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
