import fc from "fast-check";
import { expect, test } from "vitest";
import { headingOf } from "../../lib/rain/record/recordColumns.ts";
import { unitInBrackets } from "../../lib/rain/record/unitInBrackets.ts";

// the reference: the same rule as a regular expression, whose steps on blanks grow with the cube of their number
const RULE = /^(.*?)\s*[[(]\s*([^\])]*?)\s*[\])]$/;

test("a heading and its unit are those of the rule", () => {
  fc.assert(fc.property(fc.string({ unit: fc.constantFrom("a", "m", " ", "\t", "_", "[", "]", "(", ")", "/"), maxLength: 12 }), (cell) => {
    const match = RULE.exec(cell);
    expect(unitInBrackets(cell)).toEqual(match === null ? null : { word: match[1], unit: match[2] });
  }));
});

test("a header of a hundred thousand blanks is read", () => {
  const blanks = " ".repeat(1e5);
  expect(headingOf(`rain${blanks}[${blanks}mm${blanks}x`)).toMatchObject({ unit: null });
  expect(headingOf(`rain${blanks}[${blanks}mm${blanks}]`)).toMatchObject({ word: "rain", unit: "mm" });
});
