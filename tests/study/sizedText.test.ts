import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readSite } from "../../lib/site/readSite.ts";
import type { Site } from "../../lib/site/site.ts";
import { fitted } from "../../lib/study/fit.ts";
import { resized, sizeProblems, type Sizes } from "../../lib/study/resized.ts";
import { sizedText } from "../../lib/study/sizedText.ts";
import { stepLength, writtenLength } from "../../lib/text/buildable.ts";
import { jsonWith } from "../../lib/text/jsonText.ts";
import { quantity } from "../../lib/text/quantity.ts";
import { shareOf } from "../share.ts";

const text = (name: string): string => readFileSync(new URL(`../../data/${name}.json`, import.meta.url), "utf8");
const NAMES = ["copperbeech-lane", "linden-row", "sedge-hollow", "hazelbank-lower-bench"];

/** A site's numbers, rounded to a tenth of a micrometre; notes and storms hang on the rest. */
function works({ chamberBank, overflowTrench, settlingBoxes, emitter, surroundings }: Site): unknown {
  return JSON.parse(JSON.stringify({ chamberBank, overflowTrench, settlingBoxes, emitter, works: surroundings?.works }, (_,
    value: unknown) => (
    typeof value === "number" ? Number(value.toFixed(7)) : value)));
}

describe("the file of a sized design", () => {
  test("reads as that design, whatever the sizes, and as drawn is the file itself to the byte", () => {
    fc.assert(fc.property(
      fc.constantFrom(...NAMES), fc.integer({ min: 1, max: 9 }), fc.integer({ min: 160, max: 300 }), fc.integer({ min: 200, max: 900 }),
        fc.integer({ min: 0, max: 40 }),
      (name, chambers, width, trench, base) => {
        const drawn = readSite(text(name));
        const sizes: Sizes = {
          ...(drawn.chamberBank.chambers.length > 0 && { chambers }), pitWidth: stepLength(width, drawn.units), stoneBase: stepLength(base,
            drawn.units),
          ...(drawn.overflowTrench !== null && { trenchLength: stepLength(trench, drawn.units), trenchInlet: 0.127 }), boxOutlet: 0.127,
        };
        fc.pre(sizeProblems(drawn, sizes).length === 0);
        const { site } = fitted(drawn, resized(drawn, sizes));
        expect(works(readSite(sizedText(text(name), drawn, site)))).toEqual(works(site));
      },
    ), { numRuns: shareOf(40) });
    for (const name of NAMES) expect(sizedText(text(name), readSite(text(name)), readSite(text(name)))).toBe(text(name));
  });

  test("differs from the file in the lines of the sizes alone", () => {
    const before = text("copperbeech-lane");
    const drawn = readSite(before);
    const after = sizedText(before, drawn, fitted(drawn, resized(drawn, { chambers: 6, trenchLength: stepLength(845, "us") })).site);
    const [a, b] = [before.split("\n"), after.split("\n")];
    expect(b).toHaveLength(a.length);
    const changed = a.flatMap((line, i) => (line === b[i] ? [] : [[line.trim(), b[i]!.trim()]]));
    expect(changed).toEqual([
      ['"floor": "92.1 ft", "length": "13 ft 6 in", "width": "8 ft", "ground": "98.2 ft",', '"floor": "92.1 ft", "length": "20 ft 3 in", "width": "8 ft", "ground": "98.2 ft",'],
      ['"chambers": [{ "count": 4, "insideDiameter": "28 in", "outsideDiameter": "29 1/2 in", "height": "45 in" }]',
        '"chambers": [{ "count": 6, "insideDiameter": "28 in", "outsideDiameter": "29 1/2 in", "height": "45 in" }]'],
      ['"floor": "95.0 ft", "fall": "3 in", "length": "45 ft", "width": "18 in", "ground": { "high": "97.3 ft", "low": "96.3 ft" },',
        '"floor": "95.0 ft", "fall": "3 in", "length": "35 ft 2 1/2 in", "width": "18 in", "ground": { "high": "97.3 ft", "low": "96.3 ft" },'],
      ['"trench": [["78 ft", "94.64 ft"], ["78 ft", "139.64 ft"]]', '"trench": [["78 ft", "94.64 ft"], ["78 ft", "129.848 ft"]]'],
    ]);
  });

  test("a size that can be set out is written as it reads", () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 40_000 }), fc.constantFrom("us" as const, "si" as const), (steps, units) => {
      expect(quantity(writtenLength(stepLength(steps, units), units), "length", "size")).toBe(stepLength(steps, units));
    }));
  });
});

const MARK = "a value that no other is";

describe("values put into a JSON text", () => {
  test.each([
    ['{"a":1}', ["a"], 2, '{"a":2}'],
    ['{\n  "a": 1,\n  "b": [1, { "c": "x" }]\n}', ["b", 1, "c"], "y", '{\n  "a": 1,\n  "b": [1, { "c": "y" }]\n}'],
    ['{\n  "a": 1,\n  "b": 2\n}\n', ["c"], "3 m", '{\n  "a": 1,\n  "b": 2,\n  "c": "3 m"\n}\n'],
    ['{ "a": { "x": 1 } }', ["a", "y"], ["1 ft", 2], '{ "a": { "x": 1, "y": ["1 ft", 2] } }'],
    ['{ "a": [1, 2, 3] }', ["a", 1], undefined, '{ "a": [1, 3] }'],
    ['{ "a": [1, 2, 3] }', ["a", 0], undefined, '{ "a": [2, 3] }'],
    ['{ "a": {} }', ["a", "b"], 1, '{ "a": { "b": 1 } }'],
    ['\uFEFF{ "a\\"}": "]\\\\", "b": 1 }', ["b"], 2, '\uFEFF{ "a\\"}": "]\\\\", "b": 2 }'],
  ] as const)("%j at %j", (given, path, value, expected) => {
    expect(jsonWith(given, [{ path, value }])).toBe(expected);
  });

  test("every other value of any JSON stays, and so does its text", () => {
    fc.assert(fc.property(fc.dictionary(fc.string(), fc.jsonValue(), { minKeys: 1 }), fc.nat(), fc.constantFrom(0, 1, 2), (data, pick,
      indent) => {
      const keys = Object.keys(data);
      const key = keys[pick % keys.length]!;
      const given = JSON.stringify(data, null, indent);
      const changed = jsonWith(given, [{ path: [key], value: MARK }]);
      expect(JSON.parse(changed)).toEqual(JSON.parse(JSON.stringify({ ...data, [key]: MARK })));
      const [before, after] = changed.split(JSON.stringify(MARK)) as [string, string];
      const was = JSON.stringify(data[key], null, indent).replaceAll("\n", `\n${" ".repeat(indent)}`);
      expect(`${before}${was}${after}`).toBe(given);
    }));
  });

  test("a path that is not there is refused", () => {
    expect(() => jsonWith('{ "a": 1 }', [{ path: ["b", "c"], value: 1 }])).toThrow("jsonWith: expected something at b, got nothing");
  });
});
