import { describe } from "../text/describe.ts";
import type { Reading } from "../text/quantity.ts";
import type { Field } from "./field.ts";
import { rangeIn } from "./scalarFields.ts";

/** Units of one kind that only one part of the file needs, each as the ratio of whole numbers that takes a number in it to SI. */
export interface RatedUnits {
  /** what is measured, with an example: `a load such as "0.05 kg/m^2"` */
  readonly wanted: string;
  readonly units: Readonly<Record<string, readonly [over: number, under: number]>>;
}

/** A load on a plan area [kg/m2]. A pound is 0.45359237 kg and a foot 0.3048 m, exactly. */
export const AREA_LOAD: RatedUnits = rated('a load such as "0.05 kg/m^2" or "10 lb/1000 sq ft"', {
  "kg/m^2": [1, 1], "g/m^2": [1, 1000], "lb/sq ft": [453_592_370, 92_903_040], "lb/1000 sq ft": [453_592_370, 92_903_040_000],
});

/** A concentration [kg/m3]. */
export const CONCENTRATION: RatedUnits = rated('a concentration such as "10 mg/L"', { "mg/L": [1, 1000], "g/m^3": [1, 1000] });

/** A sum of degree days [degC s]. */
export const DEGREE_DAYS: RatedUnits = rated('degree days such as "400 degC day" or "720 degF day"', {
  "degC day": [86_400, 1], "degF day": [48_000, 1],
});

/** A thermal conductivity [W/(m K)]; a Btu (IT) is 1055.05585262 J, exactly. */
export const THERMAL_CONDUCTIVITY: RatedUnits = rated('a thermal conductivity such as "1.8 W/m/K" or "1 BTU/h/ft/degF"', {
  "W/m/K": [1, 1], "BTU/h/ft/degF": [1055.055_852_62 * 9, 3600 * 0.3048 * 5],
});

/** A text with one of these units, held in SI. */
export function ratedField(about: string, rated: RatedUnits, words: string): Field<number> {
  const range = rangeIn(words, (end) => (readRated(end, rated) as { readonly value: number }).value);
  const expected = `${rated.wanted}, ${words}`;
  return {
    about,
    hole: NaN,
    schema: { description: `${about}; ${words}`, type: "string", pattern: ratedPattern(rated) },
    read: (value, where, findings) => {
      const reading = readRated(value, rated);
      if ("value" in reading && reading.value >= range.least && reading.value <= range.most) return reading.value;
      findings.problems.push({ where, expected, got: describe(value) });
      return NaN;
    },
  };
}

/** The SI value of a text with one of these units, or what was wrong with it. */
export function readRated(text: unknown, rated: RatedUnits): Reading {
  const match = typeof text === "string" ? new RegExp(ratedPattern(rated)).exec(text) : null;
  if (match === null) return { expected: rated.wanted, got: describe(text) };
  const [over, under] = rated.units[match[2]!]!;
  return { value: (Number(match[1]) * over) / under };
}

function ratedPattern({ units }: RatedUnits): string {
  const spellings = Object.keys(units).map((unit) => unit.replace(/[\^/]/g, "\\$&"));
  return `^\\s*(\\d{1,9}(?:\\.\\d{1,9})?|\\.\\d{1,9})\\s*(${spellings.join("|")})\\s*$`;
}

function rated(wanted: string, units: RatedUnits["units"]): RatedUnits {
  return Object.freeze({ wanted, units: Object.freeze(units) });
}
