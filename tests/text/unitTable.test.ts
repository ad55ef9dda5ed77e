import { unit } from "mathjs";
import { describe, expect, test } from "vitest";
import { unitNamed, unitSpellings } from "../../lib/text/unitTable.ts";
import { mathUnit } from "./mathUnit.ts";

/** The name by which all of mathjs 15 knows each unit, and all the spellings that stand for it here. */
const inMathjs: readonly (readonly [mathjs: string, spellings: readonly string[]])[] = [
  ["m", ["m", "meter", "meters", "metre", "metres"]],
  ["mm", ["mm", "millimeter", "millimeters", "millimetre", "millimetres"]],
  ["cm", ["cm", "centimeter", "centimeters", "centimetre", "centimetres"]],
  ["ft", ["ft", "foot", "feet", "'", "′", "’"]],
  ["in", ["in", "inch", "inches", '"', "″", "”"]],
  ["yd", ["yd", "yard", "yards"]],
  ["hectare", ["ha", "hectare", "hectares"]],
  ["sqft", ["sqft", "sf"]],
  ["L", ["L", "l", "liter", "liters", "litre", "litres"]],
  ["gal", ["gal", "gallon", "gallons"]],
  ["ft^3", ["cuft"]],
  ["yd^3", ["cuyd"]],
  ["s", ["s", "sec", "secs", "second", "seconds"]],
  ["minute", ["min", "mins", "minute", "minutes"]],
  ["hour", ["h", "hr", "hrs", "hour", "hours"]],
  ["day", ["day", "days", "d"]],
  ["week", ["week", "weeks"]],
  ["year", ["year", "years", "yr"]],
  ["ft^3/s", ["cfs"]],
  ["gal/minute", ["gpm"]],
  ["kg", ["kg"]],
  ["g", ["g"]],
  ["lbm", ["lb", "lbs", "lbm"]],
];

/**
 * Sizes that are exact by definition [SI], from memory: the international yard and pound of 1959 (yd = 0.9144 m, lb =
 * 0.45359237 kg), the US gallon of 231 cubic inches, the acre of 43 560 square feet, the Julian year of 365.25 days.
 */
const byDefinition: readonly (readonly [spelling: string, over: bigint, under: bigint])[] = [
  ["yd", 9144n, 10_000n],
  ["ft", 3048n, 10_000n],
  ["in", 254n, 10_000n],
  ["sqft", 3048n ** 2n, 10_000n ** 2n],
  ["cuft", 3048n ** 3n, 10_000n ** 3n],
  ["cuyd", 9144n ** 3n, 10_000n ** 3n],
  ["acre", 43_560n * 3048n ** 2n, 10_000n ** 2n],
  ["ha", 10_000n, 1n],
  ["L", 1n, 1000n],
  ["gal", 231n * 254n ** 3n, 10_000n ** 3n],
  ["gpm", 231n * 254n ** 3n, 60n * 10_000n ** 3n],
  ["cfs", 3048n ** 3n, 10_000n ** 3n],
  ["lb", 45_359_237n, 100_000_000n],
  ["lb/ft^3", 45_359_237n * 10_000n ** 3n, 100_000_000n * 3048n ** 3n],
  ["in/hr", 254n, 10_000n * 3600n],
  ["year", 31_557_600n, 1n],
];

const temperatures = ["degC", "°C", "C", "celsius", "degF", "°F", "F", "fahrenheit"];
const acres = ["acre", "acres"];

/** Two roundings of the ratio and those of mathjs, which multiplies decimals. */
const ROUND_OFF = 1e-15;

function siOf(spelling: string, number: number): number {
  const { offset, numerator, denominator } = unitNamed(spelling)!;
  return ((number + offset) * numerator) / denominator;
}

describe("the table of units", () => {
  test.each(inMathjs)("defines %s as mathjs does, in every spelling", (mathjs, spellings) => {
    for (const spelling of spellings) {
      const theirs = unit(7, mathjs).toSI().toNumber();
      expect(Math.abs(siOf(spelling, 7) / theirs - 1), spelling).toBeLessThanOrEqual(ROUND_OFF);
    }
  });

  test.each(byDefinition)("has %s just as it is defined", (spelling, over, under) => {
    const { numerator, denominator } = unitNamed(spelling)!;
    expect(BigInt(numerator) * under).toBe(BigInt(denominator) * over);
  });

  test.each<readonly [spelling: string, mathjs: string]>([
    ...inMathjs.map(([mathjs, [spelling]]) => [spelling!, mathjs] as const), ["acre", "acre"], ["degC", "degC"], ["degF", "degF"],
    ["in/hr", "in/hour"], ["gal/day", "gal/day"], ["cu yd/min", "yd^3/minute"], ["acre/yd", "acre/yd"],
    ["lb/cu ft", "lbm/ft^3"], ["sq in/ft", "in^2/ft"], ["ha/m", "hectare/m"], ["min/in", "minute/in"], ["mm/week", "mm/week"],
  ])("has %s to the last digit of mathjs's exact %s", (spelling, mathjs) => {
    const { numerator, denominator, offset } = mathUnit(mathjs);
    expect(unitNamed(spelling)).toMatchObject({ numerator, denominator, offset });
  });

  test("takes an acre as 43 560 square feet, which mathjs rounds to 4046.86 m2", () => {
    for (const spelling of acres) expect(siOf(spelling, 1)).toBe(4046.8564224);
    expect(unit(1, "acre").toSI().toNumber()).toBe(4046.86);
  });

  test.each([[-40, -40], [32, 0], [41, 5], [68, 20], [212, 100]])("reads %d degF as %d degC", (fahrenheit, celsius) => {
    for (const spelling of ["degF", "°F", "F", "fahrenheit"]) expect(siOf(spelling, fahrenheit)).toBe(celsius);
    for (const spelling of ["degC", "°C", "C", "celsius"]) expect(siOf(spelling, celsius)).toBe(celsius);
    expect(unit(fahrenheit, "degF").toNumber("degC")).toBeCloseTo(celsius, 10);
  });

  test("has no spelling that these tests leave out", () => {
    const tested = [...inMathjs.flatMap(([, spellings]) => spellings), ...temperatures, ...acres];
    expect([...tested].sort()).toEqual(unitSpellings().sort());
  });

  test.each([
    ["ft^2", "sqft"], ["ft2", "sqft"], ["ft²", "sqft"], ["sq ft", "sqft"], ["sq. ft", "sqft"], ["square feet", "sqft"],
    ["ft^3", "cuft"], ["ft3", "cuft"], ["ft³", "cuft"], ["cu ft", "cuft"], ["cubic feet", "cuft"], ["cu yd", "cuyd"],
  ])("reads %s as %s", (spelling, plain) => {
    expect(unitNamed(spelling)).toEqual(unitNamed(plain));
  });

  test.each([
    ["in/hr", "speed", "in/hour"], ["in/h", "speed", "in/hour"], ["mm/h", "speed", "mm/hour"], ["m / day", "speed", "m/day"],
    ["gal/min", "flow", "gal/minute"], ["L/s", "flow", "L/s"], ["m3/s", "flow", "m^3/s"], ["cu ft/min", "flow", "ft^3/minute"],
    ["kg/m3", "density", "kg/m^3"], ["lb/ft^3", "density", "lbm/ft^3"], ["g/cm^3", "density", "g/cm^3"],
    ["cm^2/m", "areaPerLength", "cm^2/m"], ["sq in/ft", "areaPerLength", "in^2/ft"], ["min/in", "timePerLength", "minute/in"],
  ])("reads %s as a %s, as mathjs does", (spelling, kind, mathjs) => {
    expect(unitNamed(spelling)?.kind).toBe(kind);
    expect(Math.abs(siOf(spelling, 7) / unit(7, mathjs).toSI().toNumber() - 1)).toBeLessThanOrEqual(ROUND_OFF);
  });

  test.each(["", "/", "in/", "/h", "in/h/h", "m/m", "s/s", "kg/s", "sq acre", "ft^4", "kg2", "Ft", "constructor", "__proto__", "fortnight"])(
    "does not know %j", (spelling) => {
      expect(unitNamed(spelling)).toBeNull();
    });
});
