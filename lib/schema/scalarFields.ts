import { describe } from "../text/describe.ts";
import { dimensionWords, quantity, readQuantity, type Dimension } from "../text/quantity.ts";
import type { Problem } from "../text/problem.ts";
import { customaryLength } from "../text/unitTable.ts";
import type { Field, Findings } from "./field.ts";

/** What values of a key lie between; both ends belong to it, so that its words are true at the boundary. */
interface Range {
  readonly least: number;
  readonly most: number;
}

/**
 * The range that words name: `from 1 mm to 10000 m`, `from 0 to 4000 kg/m^3`, `from -360 to 360`.
 *
 * @param read  the number of one end in SI, from its own text or with the unit of the other
 */
export function rangeIn(words: string, read: (end: string) => number): Range {
  const [, from, to] = /^from (.+) to (.+)$/.exec(words)!;
  const unit = to!.replace(/^\S+/, "");
  return { least: read(from!.includes(" ") ? from! : from! + unit), most: read(to!) };
}

/**
 * A text with a unit, held in SI.
 *
 * @param words  between what it may lie, both included: `from 1 mm to 10000 m`
 */
export function quantityField(about: string, dimension: Dimension, words: string): Field<number> {
  const range = rangeIn(words, (end) => quantity(end, dimension, "range"));
  return {
    about,
    hole: NaN,
    schema: { description: `${about}; ${dimensionWords(dimension)} ${words}`, allOf: [{ $ref: `#/definitions/${dimension}` }] },
    read: (value, where, findings) => {
      const reading = readQuantity(value, dimension);
      if (!("value" in reading)) return refuse(findings, { where, ...reading });
      if (dimension === "length") findings.lengths[customaryLength(value as string) ? "us" : "si"] += 1;
      if (isWithin(range, reading.value)) return reading.value;
      return refuse(findings, { where, expected: `${dimensionWords(dimension)} ${words}`, got: describe(value), code: "range" });
    },
  };
}

/**
 * A bare number: a ratio, a coefficient, a factor.
 *
 * @param words    between what it may lie, both included: `from 0 to 1`
 * @param isShare  whether people write it in percent elsewhere
 */
export function numberField(about: string, words: string, { isShare = false }: { readonly isShare?: boolean } = {}): Field<number> {
  const range = rangeIn(words, Number);
  return {
    about,
    hole: NaN,
    schema: { description: `${about}; ${words}`, type: "number", minimum: range.least, maximum: range.most },
    // The added zero turns -0 into 0.
    read: (value, where, findings) => typeof value === "number" && isWithin(range, value)
      ? value + 0
      : refuse(findings, {
        where, expected: `a number ${words}`, got: describe(value) + (isShare ? percentHint(value, range) : ""), ...ofNumber(value),
      }),
  };
}

/** What a share given as `"40 %"` or 40 is to be written as. A bare number below 2 is rather a share that is too large. */
function percentHint(value: unknown, range: Range): string {
  const percent = typeof value === "string" ? Number(/^\s*(\d+(?:\.\d+)?)\s*%\s*$/.exec(value)?.[1]) : value;
  if (typeof percent !== "number" || (percent === value && percent < 2) || !isWithin(range, percent / 100)) return "";
  return `; write ${percent / 100}`;
}

/** A whole number of things, 1 or more. */
export function countField(about: string, most: number): Field<number> {
  return {
    about,
    hole: NaN,
    schema: { description: `${about}; from 1 to ${most}`, type: "integer", minimum: 1, maximum: most },
    read: (value, where, findings) => typeof value === "number" && Number.isInteger(value) && value >= 1 && value <= most
      ? value
      : refuse(findings, { where, expected: `a whole number from 1 to ${most}`, got: describe(value), ...ofNumber(value) }),
  };
}

/** True or false. */
export function flagField(about: string): Field<boolean> {
  return {
    about,
    hole: true,
    schema: { description: about, type: "boolean" },
    read: (value, where, findings) => {
      if (typeof value === "boolean") return value;
      findings.problems.push({ where, expected: "true or false", got: describe(value) });
      return true;
    },
  };
}

/** The one word a key may hold, or null where the key is left out. */
export function wordField<W extends string>(about: string, word: W): Field<W | null> {
  return {
    about,
    hole: null,
    absent: { value: null },
    schema: { description: about, enum: [word] },
    read: (value, where, findings) => {
      if (value === word) return word;
      findings.problems.push({ where, expected: `"${word}", or the key left out`, got: describe(value) });
      return null;
    },
  };
}

/** A name of 1 to 200 characters on one line. It stands in tables, pictures and errors, so it can steer no terminal. */
export function nameField(about: string): Field<string> {
  return textField(about, "a name of 1 to 200 characters on one line", /^(?=.*\S)[^\p{Cc}\p{Cs}\u2028\u2029]{1,200}$/u);
}

/** Free text of any lines. */
export function proseField(about: string): Field<string> {
  return textField(about, "text of up to 5000 characters", /^[^\p{Cs}\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]{0,5000}$/u);
}

function textField(about: string, expected: string, pattern: RegExp): Field<string> {
  return {
    about,
    hole: "",
    schema: { description: about, type: "string" },
    read: (value, where, findings) => {
      if (typeof value === "string" && pattern.test(value)) return value;
      findings.problems.push({ where, expected, got: describe(value) });
      return "";
    },
  };
}

function isWithin({ least, most }: Range, value: number): boolean {
  return value >= least && value <= most;
}

/** A number that is refused lies beyond its bounds. */
function ofNumber(value: unknown): Pick<Problem, "code"> {
  return typeof value === "number" ? { code: "range" } : {};
}

function refuse(findings: Findings, problem: Problem): number {
  findings.problems.push(problem);
  return NaN;
}
