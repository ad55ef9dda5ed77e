import { describe, expect, test } from "vitest";
import { bulkText, massPattern, massText, readMass, sheetText, sizeText } from "../../lib/text/format.ts";

describe("a mass", () => {
  // 1 lb = 0.45359237 kg, from memory; a short ton is 2000 of them
  test.each<[string, number]>([
    ["1 lb", 0.45359237], ["2000 lbs", 907.18474], ["1 ton", 907.18474], ["14 tons", 12_700.58636], ["1.5 short tons", 1360.77711],
    ["12 t", 12_000], ["0.5 tonne", 500], [".5 tonnes", 500], ["800 kg", 800], [" 12t ", 12_000],
  ])("%s is %d kg", (text, mass) => {
    expect(readMass(text)).toEqual({ value: mass });
    expect(new RegExp(massPattern, "u").test(text)).toBe(true);
  });

  test.each<[unknown, string]>([
    ["12", '"12"'], ["12 T", '"12 T"'], ["12 cu yd", '"12 cu yd"'], ["-3 t", '"-3 t"'], [12, "12"], [null, "null"], ["1,5 t", '"1,5 t"'],
  ])("%s is refused", (text, got) => {
    expect(readMass(text)).toEqual({ expected: 'a mass such as "12 t" or "14 ton"', got });
  });

  test("is shown in short tons or in tonnes, to three figures", () => {
    expect(massText(907.18474, "us")).toBe("1 short ton");
    expect(massText(12_700.58636, "us")).toBe("14 short tons");
    expect(massText(12_345, "si")).toBe("12.3 t");
  });
});

test("earth is ordered in cubic yards or cubic metres, sheets in square yards or square metres", () => {
  // a yard is 0.9144 m
  expect(bulkText(0.9144 ** 3, "us")).toBe("1 cu yd");
  expect(bulkText(0.35, "si")).toBe("0.35 m³");
  expect(sheetText(10 * 0.9144 ** 2, "us")).toBe("10 sq yd");
  expect(sheetText(107.2, "si")).toBe("107 m²");
});

test("a size is shown as it is bought", () => {
  expect(sizeText(0.11, "si")).toBe("110 mm");
  expect(sizeText(29.5 * 0.0254, "us")).toBe("29.5 in");
});
