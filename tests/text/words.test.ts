import fc from "fast-check";
import { describe as group, expect, test } from "vitest";
import { customaryLength, unitSpellings } from "../../lib/text/unitTable.ts";
import { describe } from "../../lib/text/describe.ts";
import { nearest, nearestWords } from "../../lib/text/nearest.ts";
import { pathTo } from "../../lib/text/pathTo.ts";
import { InputError } from "../../lib/text/problem.ts";

group("what was given, in words", () => {
  test.each<[unknown, string]>([
    [undefined, "nothing"], [null, "null"], [true, "true"], [12, "12"], [NaN, "NaN"], ["", "empty text"], [" \n", "blank text"],
    ["3 fet", '"3 fet"'], ['6"', '"6\\""'], ["a\u0007b", '"a\\u0007b"'], [[], "an empty list"], [[1, 2], "a list of 2"],
    [{}, "an object"], [() => 1, "a function"], [Symbol("x"), "a symbol"], [10n, "a bigint"],
  ])("of %o is %s", (value, words) => {
    expect(describe(value)).toBe(words);
  });

  test("stays one line for any value", () => {
    fc.assert(fc.property(fc.anything(), (value) => {
      expect(describe(value)).toMatch(/^[^\n\r\u0000-\u001f]+$/);
    }));
  });
});

group("the nearest known word", () => {
  const keys = ["length", "width", "floor", "ground", "stone", "chambers"];

  test.each([
    ["widht", "width"], ["lenght", "length"], ["Floor", "floor"], ["stones", "stone"], ["chamber", "chambers"], ["groud", "ground"],
    ["flooor", "floor"], ["depth", null], ["x", null], ["", null], ["completely other", null],
  ])("to %j is %j", (word, known) => {
    expect(nearest(word, keys)).toBe(known);
  });

  test("is the word itself where it is known", () => {
    fc.assert(fc.property(fc.constantFrom(...keys), (word) => {
      expect(nearest(word, keys)).toBe(word);
    }));
  });

  test("is missing where two are as near, or the digits are others", () => {
    const patterns = ["block", "nrcs-i", "nrcs-ia", "nrcs-ii", "nrcs-iii", "huff-1", "huff-2"];
    expect(["nrcs-iv", "nrcs-2", "huff-5", "huff"].map((word) => nearest(word, patterns))).toEqual([null, null, null, null]);
    expect(["nrcs-iia", "huff1", "hufff-2"].map((word) => nearest(word, patterns))).toEqual([null, "huff-1", "huff-2"]);
    expect(nearestWords("nrcs-iv", patterns)).toEqual(["nrcs-i", "nrcs-ia", "nrcs-ii"]);
    expect(nearest("time25to75", ["time75to25", "kind"])).toBe("time75to25");
    expect(nearest("widht", ["width", "width"])).toBe("width");
  });

  test("to a one-letter word is only the same letter in the other case", () => {
    expect(nearest("M", ["m", "s", "h"])).toBe("m");
    expect(nearest("k", ["m", "s", "h"])).toBeNull();
  });
});

group("a length", () => {
  test("is customary in feet, inches and yards, in every spelling, and not otherwise", () => {
    const customary = unitSpellings("length").filter((spelling) => customaryLength(`5 ${spelling}`));
    expect(customary).toEqual([
      "ft", "foot", "feet", "'", "′", "’", "in", "inch", "inches", '"', "″", "”", "yd", "yard", "yards",
    ]);
    expect(customaryLength("5 ft 6 in ")).toBe(true);
  });
});

group("an input error", () => {
  test("words every problem on a line of its own and keeps them as data", () => {
    const problems = [
      { where: "a.b", expected: "a length", got: "nothing" },
      { where: "c", expected: "a number from 0 to 1", got: "2" },
    ];
    const error = new InputError("It cannot be read.", problems);
    expect(error.message).toBe("It cannot be read.\n  a.b: expected a length, got nothing\n  c: expected a number from 0 to 1, got 2");
    expect(error.problems).toEqual([{ ...problems[0], code: "missing", path: ["a", "b"] }, { ...problems[1], code: "value", path: ["c"] }]);
    expect(error.name).toBe("InputError");
  });

  test("shows what would steer a terminal or turn the reading direction as escapes, and cuts what is a page long", () => {
    const { message, problems } = new InputError("It cannot be read.", [{ where: "\u001b[2Ja", expected: "\u202ea\u009b", got: `"${"k".repeat(5000)}"` }]);
    expect(message).toBe(`It cannot be read.\n  \\u001b[2Ja: expected \\u202ea\\u009b, got "${"k".repeat(299)}…`);
    expect(problems[0]).toMatchObject({ where: "\\u001b[2Ja", path: [] });
  });

  test("words 200 problems and keeps all", () => {
    const error = new InputError("It cannot be read.", Array.from({ length: 1001 }, (_, i) => ({ where: `a[${i}]`, expected: "a", got: "b" })));
    expect(error.message.split("\n").slice(200)).toEqual(["  a[199]: expected a, got b", "  and 801 more"]);
    expect(error.problems.length).toBe(1001);
  });

  test("tells a program where, key by key", () => {
    const path = (where: string): unknown => new InputError("", [{ where, expected: "", got: "" }]).problems[0]!.path;
    expect([pathTo("storms[0]", 'odd "key"'), "studies.size.steps[12].$x", "", "line 3, column 4", "rain.csv: header", "a..b"].map(path)).toEqual([
      ["storms", 0, 'odd "key"'], ["studies", "size", "steps", 12, "$x"], [], [], [], [],
    ]);
  });
});
