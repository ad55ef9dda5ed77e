import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { quantity, readQuantity, type Dimension } from "../../lib/text/quantity.ts";
import { unitNamed, unitSpellings, type Kind } from "../../lib/text/unitTable.ts";
import { shareOf } from "../share.ts";

function value(text: unknown, dimension: Dimension): number {
  return quantity(text, dimension, "here");
}

/** A whole number with a decimal point set into it: pointed(972, 1) is 97.2, exactly. */
function pointed(digits: number, decimals: number): string {
  const text = String(digits).padStart(decimals + 1, "0");
  return decimals === 0 ? text : `${text.slice(0, -decimals)}.${text.slice(-decimals)}`;
}

describe("a quantity", () => {
  test.each<[string, Dimension, number]>([
    ["1 in", "length", 0.0254],
    ["18 in", "length", 0.4572],
    ["97.2 ft", "length", 29.62656],
    ["3.048 m", "length", 3.048],
    ["3in", "length", 0.0762],
    ["  .5 ft ", "length", 0.1524],
    ["2. m", "length", 2],
    ["1e-3 m", "length", 0.001],
    ["2.5E2 mm", "length", 0.25],
    ["+3 m", "length", 3],
    ["-3 ft", "length", -0.9144],
    ["1/2 in", "length", 0.0127],
    ["4 1/2 in", "length", 0.1143],
    ["4-1/2 in", "length", 0.1143],
    ["-4 1/2 in", "length", -0.1143],
    ["210 m^2", "area", 210],
    ["1500 sq ft", "area", 139.35456],
    ["100 gal", "volume", 0.3785411784],
    ["2 m3/s", "flow", 2],
    ["36 in/hr", "speed", 0.000254],
    ["3600 mm/h", "speed", 0.001],
    ["24 h", "time", 86400],
    ["10 day", "time", 864000],
    ["41 degF", "temperature", 5],
    ["-5 degC", "temperature", -5],
    ["1000 kg/m^3", "density", 1000],
    ["21 cm^2/m", "areaPerLength", 0.0021],
  ])("reads %j as a %s of exactly %d in SI", (text, dimension, si) => {
    expect(value(text, dimension)).toBe(si);
  });

  test.each<[string, Dimension, number]>([
    ["5 ft 6 in", "length", 66 * 0.0254],
    ["5ft6in", "length", 66 * 0.0254],
    [`6' 4 1/2"`, "length", 76.5 * 0.0254],
    [`6'-4"`, "length", 76 * 0.0254],
    ["6′ 4″", "length", 76 * 0.0254],
    ["-5 ft 6 in", "length", -66 * 0.0254],
    ["1 yd 2 ft 3 in", "length", 63 * 0.0254],
    ["2 h 31 min", "time", 9060],
    ["1 day 2 h 5 min", "time", 93900],
  ])("runs over two units of one kind, %j", (text, dimension, si) => {
    expect(value(text, dimension)).toBeCloseTo(si, 12);
  });

  test("is never minus zero", () => {
    expect(Object.is(value("-0 m", "length"), 0)).toBe(true);
  });

  test.each<[unknown, Dimension, string]>([
    [3, "length", 'expected a length such as "2.5 ft", "18 in" or "0.75 m", got 3, a bare number'],
    [NaN, "length", 'expected a length such as "2.5 ft", "18 in" or "0.75 m", got NaN'],
    [undefined, "area", 'expected an area such as "1500 sq ft" or "140 m^2", got nothing'],
    [null, "volume", 'expected a volume such as "600 gal" or "2.3 m^3", got null'],
    [true, "flow", 'expected a flow such as "40 gal/min" or "2.5 L/s", got true'],
    [["3 in"], "length", 'expected a length such as "2.5 ft", "18 in" or "0.75 m", got a list of 1'],
    [{}, "density", 'expected a density such as "110 lb/ft^3" or "1800 kg/m^3", got an object'],
    ["", "time", 'expected a time such as "10 min", "24 h" or "3 day", got empty text'],
    ["  ", "time", 'expected a time such as "10 min", "24 h" or "3 day", got blank text'],
    ["3", "length", 'expected a length such as "2.5 ft", "18 in" or "0.75 m", got "3", without a unit'],
    ["3 in", "time", 'expected a time such as "10 min", "24 h" or "3 day", got "3 in", a length'],
    ["20 min/in", "speed", 'expected a speed such as "0.5 in/hr" or "12 mm/h", got "20 min/in", a time per length'],
    ["5 kg", "density", 'expected a density such as "110 lb/ft^3" or "1800 kg/m^3", got "5 kg", a mass'],
    ["20 m", "temperature", 'expected a temperature such as "41 degF" or "5 degC", got "20 m", a length'],
    ["3 feeet", "length", 'expected a length such as "2.5 ft", "18 in" or "0.75 m", got "3 feeet", where "feeet" is no unit known here (did you mean "feet"?)'],
    ["3 FT", "length", 'expected a length such as "2.5 ft", "18 in" or "0.75 m", got "3 FT", where "FT" is no unit known here (did you mean "ft"?)'],
    ["1 inn/hr", "speed", 'expected a speed such as "0.5 in/hr" or "12 mm/h", got "1 inn/hr", where "inn/hr" is no unit known here (did you mean "in/hr"?)'],
    ["1 inn/acre", "speed", 'expected a speed such as "0.5 in/hr" or "12 mm/h", got "1 inn/acre", where "inn/acre" is no unit known here (a speed is in in/hr, ft/day, mm/h, cm/h, m/day or m/s)'],
    ["3 cubits", "length", 'expected a length such as "2.5 ft", "18 in" or "0.75 m", got "3 cubits", where "cubits" is no unit known here (a length is in ft, in, yd, m, cm or mm)'],
    ["Infinity m", "length", 'expected a length such as "2.5 ft", "18 in" or "0.75 m", got "Infinity m"'],
    ["1e400 m", "length", 'expected a length such as "2.5 ft", "18 in" or "0.75 m", got "1e400 m", far too large'],
    ["1e13 m", "length", 'expected a length such as "2.5 ft", "18 in" or "0.75 m", got "1e13 m", far too large'],
    ["0x10 m", "length", 'expected a length such as "2.5 ft", "18 in" or "0.75 m", got "0x10 m", where "x10 m" is no unit known here'],
    ["1,500 sq ft", "area", 'expected an area such as "1500 sq ft" or "140 m^2", got "1,500 sq ft", a number with a comma'],
    ["1/0 in", "length", 'expected a length such as "2.5 ft", "18 in" or "0.75 m", got "1/0 in"'],
    ["5 ft 14 in", "length", 'expected a length such as "2.5 ft", "18 in" or "0.75 m", got "5 ft 14 in", where "ft 14 in" is no unit known here'],
    ["5 ft 6", "length", 'expected a length such as "2.5 ft", "18 in" or "0.75 m", got "5 ft 6", without a unit at its end (did you mean "5 ft 6 in"?)'],
    ["8'6", "length", `expected a length such as "2.5 ft", "18 in" or "0.75 m", got "8'6", without a unit at its end (did you mean "8'6\\""?)`],
    ["8' 14", "length", `expected a length such as "2.5 ft", "18 in" or "0.75 m", got "8' 14", where "' 14" is no unit known here`],
    ["0.25 inch per hour", "speed", 'expected a speed such as "0.5 in/hr" or "12 mm/h", got "0.25 inch per hour", where "inch per hour" is no unit known here (did you mean "inch/hour"?)'],
    ["0.25 furlongs a week", "speed", 'expected a speed such as "0.5 in/hr" or "12 mm/h", got "0.25 furlongs a week", where "furlongs a week" is no unit known here (a speed is in in/hr, ft/day, mm/h, cm/h, m/day or m/s)'],
    ["6 in 5 ft", "length", 'expected a length such as "2.5 ft", "18 in" or "0.75 m", got "6 in 5 ft", where "in 5 ft" is no unit known here'],
  ])("refuses %j as a %s in full words", (text, dimension, words) => {
    expect(() => quantity(text, dimension, "storm.depth")).toThrow(`A quantity cannot be read.\n  storm.depth: ${words}`);
  });

  test("takes 60 characters, and cuts a very long text short in its error", () => {
    expect(readQuantity(`1.${"0".repeat(55)} mm`, "length")).toEqual({ value: 0.001 });
    expect(readQuantity(`1.${"0".repeat(56)} mm`, "length")).toHaveProperty("got");
    const reading = readQuantity(`3 ${"x".repeat(5000)}`, "length");
    expect(reading).toEqual({ expected: 'a length such as "2.5 ft", "18 in" or "0.75 m"', got: `"3 ${"x".repeat(58)}…"` });
  });

  test("in feet is the same to the last bit as in the metres it comes to", () => {
    const tenMillion = fc.integer({ min: -10_000_000, max: 10_000_000 });
    fc.assert(fc.property(tenMillion, fc.integer({ min: 0, max: 4 }), (digits, decimals) => {
      const feet = `${digits < 0 ? "-" : ""}${pointed(Math.abs(digits), decimals)}`;
      const metres = `${digits < 0 ? "-" : ""}${pointed(Math.abs(digits) * 3048, decimals + 4)}`;
      expect(value(`${feet} ft`, "length"), feet).toBe(Number(metres) + 0);
      expect(value(`${metres} m`, "length"), metres).toBe(Number(metres) + 0);
    }));
  });

  test("of a whole number of inches or feet is the nearest number to it", () => {
    fc.assert(fc.property(fc.integer({ min: 0, max: 1_000_000 }), (n) => {
      expect(value(`${n} in`, "length")).toBe((n * 254) / 10000);
      expect(value(`${n} ft`, "length")).toBe((n * 3048) / 10000);
    }));
  });

  test("takes the fraction signs of a keyboard, square feet as sf, and says what minutes for an inch are", () => {
    expect(value(`6' 4½"`, "length")).toBe(value(`6' 4 1/2"`, "length"));
    expect(value("¾ in", "length")).toBe(value("3/4 in", "length"));
    expect(value("12 ⅜ in", "length")).toBe(value("12 3/8 in", "length"));
    expect(value("1600 sf", "area")).toBe(value("1600 sq ft", "area"));
    expect(readQuantity("30 min/in", "speed")).toMatchObject({
      got: '"30 min/in", a time per length (minutes for an inch are the fall in a test hole and no speed of the soil: give the test)', code: "unit",
    });
    expect(readQuantity("1.5½ in", "length")).toHaveProperty("got");
  });

  test("is a finite number or a problem in words, for any value whatever", () => {
    const dimensions: Dimension[] = ["length", "area", "volume", "flow", "speed", "time", "temperature", "density", "areaPerLength"];
    const odd = fc.constantFrom("", "1/2", "3 1/4", "-", ".", "1e", "NaN", "Infinity", "0x1f");
    const numbers = fc.oneof(fc.double().map(String), fc.integer().map(String), odd);
    const units = fc.oneof(fc.constantFrom(...unitSpellings(), "ft^2", "sq m", "in/hr", "L/s", "lb/ft^3", "ft 6 in", "min/in"), fc.string());
    const texts = fc.tuple(numbers, fc.constantFrom("", " ", "  "), units).map((parts) => parts.join(""));
    fc.assert(fc.property(fc.oneof(texts, fc.anything()), fc.constantFrom(...dimensions), (given, dimension) => {
      const reading = readQuantity(given, dimension);
      if ("value" in reading) expect(Number.isFinite(reading.value)).toBe(true);
      else expect(reading.expected.length * reading.got.length).toBeGreaterThan(0);
    }), { numRuns: shareOf(10_000) });
  });

  test("measures what its unit measures and nothing else", () => {
    const others: readonly Kind[] = ["mass", "timePerLength"];
    const dimensions: Dimension[] = ["length", "area", "volume", "flow", "speed", "time", "temperature", "density", "areaPerLength"];
    for (const spelling of unitSpellings()) {
      const { kind } = unitNamed(spelling)!;
      const readAs = dimensions.filter((dimension) => "value" in readQuantity(`1 ${spelling}`, dimension));
      expect(readAs, spelling).toEqual(others.includes(kind) ? [] : [kind]);
    }
  });
});
