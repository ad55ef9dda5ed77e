import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readQuantity, type Dimension } from "../../lib/text/quantity.ts";
import { quantityPattern } from "../../lib/text/quantityPattern.ts";
import { unitSpellings } from "../../lib/text/unitTable.ts";
import { shareOf } from "../share.ts";

const dimensions: readonly Dimension[] = ["length", "area", "volume", "flow", "speed", "time", "temperature", "density", "areaPerLength"];

describe("the pattern of a quantity", () => {
  test.each(dimensions)("accepts just the texts that are read as a %s", (dimension) => {
    const pattern = new RegExp(quantityPattern(dimension), "u");
    const number = fc.oneof(
      fc.integer({ min: -5000, max: 5000 }).map(String),
      fc.double({ min: -1e4, max: 1e4, noNaN: true }).map(String),
      fc.constantFrom("1/2", "4 1/2", "4-1/2", "½", "4½", "4 ¾", "4-⅛", "1.5½", "1234567½", ".5", "2.", "+3", "1/0", "", "-", "1e", "NaN", "1,5", "0x1f"),
    );
    const plain = fc.constantFrom(...unitSpellings());
    const power = fc.tuple(fc.constantFrom("sq ", "cu ", "square ", "cubic ", "sq. ", ""), plain, fc.constantFrom("", "2", "^2", "²", "3", "^3", "³")).map((parts) => parts.join(""));
    const word = fc.string({ maxLength: 4 }).filter((text) => !/\d/.test(text));
    const unit = fc.oneof(plain, power, fc.tuple(power, fc.constantFrom("/", " / "), power).map((parts) => parts.join("")), word);
    const simple = fc.tuple(number, fc.constantFrom("", " "), unit).map((parts) => parts.join(""));
    fc.assert(fc.property(simple, (text) => {
      expect(pattern.test(text), text).toBe("value" in readQuantity(text, dimension));
    }), { numRuns: shareOf(10_000) });
  });

  test.each(["5 ft 6 in", `6' 4 1/2"`, `6' 4½"`, "2 ft ½ in", `6'-4"`, "1 yd 2 ft 3 in"])("accepts the length %s", (text) => {
    expect(new RegExp(quantityPattern("length"), "u").test(text)).toBe(true);
  });

  test("accepts the time 1 day 2 h 5 min, and no area over two units", () => {
    expect(new RegExp(quantityPattern("time"), "u").test("1 day 2 h 5 min")).toBe(true);
    expect(new RegExp(quantityPattern("area"), "u").test("5 sq ft 6 sq in")).toBe(false);
  });
});
