import fc from "fast-check";
import { expect, test } from "vitest";
import { quantity } from "../../lib/text/quantity.ts";
import { staffText } from "../../lib/text/staffText.ts";

const FOOT = 0.3048;

test.each<[number, string]>([
  // 0.345 ft = 4.14 in, nearest to 4 1/8 = 4.125
  [2.345, `2' 4 1/8"`],
  [0, `0' 0"`],
  [96.6, `96' 7 1/4"`], // 7.2 in
  [3, `3' 0"`],
  [0.5, `0' 6"`],
  [-0.25, `-0' 3"`],
  // 11.952 in is nearer to the foot than to 11 7/8 in
  [1.996, `2' 0"`],
  // an eighth is 0.0104 ft; less than half of it is nothing, and nothing has no sign
  [-0.004, `0' 0"`],
])("%d ft stands on a staff in eighths of an inch as %s", (feet, text) => {
  expect(staffText(feet * FOOT, "us")).toBe(text);
});

test.each<[2 | 4 | 8 | 16, string]>([[2, `2' 4"`], [4, `2' 4 1/4"`], [8, `2' 4 1/4"`], [16, `2' 4 3/16"`]])(
  "2 ft 4.2 in on a staff with its inch in %d parts is %s", (fractions, text) => {
    expect(staffText(28.2 * 0.0254, "us", { fractions })).toBe(text);
  },
);

test.each<[number, string]>([[2.3454, "2.345 m"], [-0.0004, "0.000 m"], [-1.2, "-1.200 m"], [62.75, "62.750 m"]])("%d m stands on a metric staff as %s", (level, text) => {
  expect(staffText(level, "si")).toBe(text);
});

test("what is read back from a staff is the level to half its smallest part, in every graduation", () => {
  const graduation = fc.constantFrom(2 as const, 4 as const, 8 as const, 16 as const);
  fc.assert(fc.property(fc.double({ min: -500, max: 500, noNaN: true }), graduation, (level, fractions) => {
    const read = quantity(staffText(level, "us", { fractions }), "length", "staff");
    expect(Math.abs(read - level)).toBeLessThanOrEqual(0.0254 / fractions / 2 + 1e-12);
    expect(Math.abs(quantity(staffText(level, "si"), "length", "staff") - level)).toBeLessThanOrEqual(0.0005 + 1e-12);
  }));
});

test("a whole number of eighths comes out as itself", () => {
  fc.assert(fc.property(fc.integer({ min: 0, max: 1200 * 12 }), (eighths) => {
    const text = staffText((eighths / 8) * 0.0254, "us");
    expect(quantity(text, "length", "staff")).toBeCloseTo((eighths / 8) * 0.0254, 12);
    expect(text).toMatch(/^\d+' \d{1,2}( [1-7]\/[248])?"$/);
  }));
});

test("what is no number is no level", () => {
  expect(() => staffText(NaN, "us")).toThrow("level: expected a finite number of metres, got NaN");
});
