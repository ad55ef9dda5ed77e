import { describe } from "./describe.ts";
import { threeFigures, type UnitSystem } from "./format.ts";
import type { Reading } from "./quantity.ts";

/**
 * A mass [kg] of a text with a unit: `"12 t"`, `"14 ton"`, `"24 000 lb"` without the space. A ton is the short ton of
 * 2000 lb, as it is sold in the United States; a tonne is 1000 kg.
 *
 * @returns  `{ value }` in kg, or `{ expected, got }` in the words of a `Problem`
 * @source   a pound is 0.45359237 kg, international yard and pound agreement of 1959, from memory
 * @example  readMass("14 ton"); // => { value: 12700.58636 }
 */
export function readMass(text: unknown): Reading {
  const match = typeof text === "string" ? MASS.exec(text) : null;
  if (match === null) return { expected: 'a mass such as "12 t" or "14 ton"', got: describe(text) };
  const [over, under] = SIZES[match[2]!]!;
  return { value: (Number(match[1]) * over) / under };
}

/**
 * A mass [kg] to three figures, in short tons or in tonnes.
 *
 * @example massText(12700, "us"); // => "14 short tons"
 */
export function massText(mass: number, system: UnitSystem): string {
  const [over, under] = SIZES[system === "us" ? "ton" : "t"]!;
  const shown = threeFigures((mass * under) / over);
  return system === "si" ? `${shown} t` : `${shown} short ton${shown === "1" ? "" : "s"}`;
}

/** Kilograms in a unit, as a ratio of whole numbers. */
const SIZES: Readonly<Record<string, readonly [over: number, under: number]>> = Object.freeze({
  "t": [1000, 1], "tonne": [1000, 1], "tonnes": [1000, 1],
  "ton": [90_718_474, 100_000], "tons": [90_718_474, 100_000], "short ton": [90_718_474, 100_000], "short tons": [90_718_474, 100_000],
  "kg": [1, 1], "lb": [45_359_237, 100_000_000], "lbs": [45_359_237, 100_000_000],
});

/** A regular expression, as JSON Schema writes one, for the texts that `readMass` reads. */
export const massPattern: string = `^\\s*(\\d{1,9}(?:\\.\\d{1,9})?|\\.\\d{1,9})\\s*(${Object.keys(SIZES).join("|")})\\s*$`;

const MASS = new RegExp(massPattern);
