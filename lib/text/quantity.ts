import { describe } from "./describe.ts";
import { withoutFractionSigns } from "./fractionSigns.ts";
import { nearestWords } from "./nearest.ts";
import { InputError, type Problem } from "./problem.ts";
import { unitNamed, unitSpellings, type Dimension, type Kind, type Unit } from "./unitTable.ts";

export type { Dimension } from "./unitTable.ts";

/** A quantity read, in SI (temperature in degC), or what was wrong with it, in the words of a `Problem`. */
export type Reading = { readonly value: number } | Omit<Problem, "where">;

/**
 * The SI value of a text with a unit: [m], [m2], [m3], [m3/s], [m/s], [s], [degC], [kg/m3] or [m2/m] by dimension.
 * US customary and SI units in the trade's own spellings; the number may be a decimal, a fraction of the folding rule
 * (`4 1/2 in`, `4½ in`) or run over two units of one kind (`5 ft 6 in`, `6' 4 1/2"`, `2 h 30 min`).
 *
 * @param text       what a person wrote, `"3.1 in"`
 * @param dimension  what it has to measure
 * @param where      where it stands, for the error: `designStorm.depth`
 * @throws InputError  when it is no text, has no number or no unit, or measures something else
 * @example quantity("3 in", "length", "depth"); // => 0.0762
 */
export function quantity(text: unknown, dimension: Dimension, where: string): number {
  const reading = readQuantity(text, dimension);
  if ("value" in reading) return reading.value;
  throw new InputError("A quantity cannot be read.", [{ where, ...reading }]);
}

/**
 * As `quantity`, for a reader that collects all problems before it throws.
 *
 * @returns  `{ value }` in SI, or what a `Problem` holds besides its place
 */
export function readQuantity(text: unknown, dimension: Dimension): Reading {
  const parsed = parse(text, dimension);
  const expected = WANTED[dimension];
  if ("got" in parsed) return { expected, ...parsed };
  if (parsed.kind !== dimension) return { expected, got: `${describe(text)}, ${MEASURES[parsed.kind]}${notThat(parsed.kind, dimension)}`, code: "unit" };
  if (!(Math.abs(parsed.value) <= LARGEST)) return { expected, got: `${describe(text)}, far too large`, code: "range" };
  return { value: parsed.value };
}

/** A dimension in words, with its article: `a length`. */
export function dimensionWords(dimension: Dimension): string {
  return MEASURES[dimension];
}

/** Beyond any site, in any SI unit (50 years are 1.6e9 s): a slip of the exponent, and squares of it would overflow. */
const LARGEST = 1e12;

/** Longer than any quantity a person writes. */
const LONGEST_TEXT = 60;

const WANTED: Readonly<Record<Dimension, string>> = {
  length: 'a length such as "2.5 ft", "18 in" or "0.75 m"',
  area: 'an area such as "1500 sq ft" or "140 m^2"',
  volume: 'a volume such as "600 gal" or "2.3 m^3"',
  flow: 'a flow such as "40 gal/min" or "2.5 L/s"',
  speed: 'a speed such as "0.5 in/hr" or "12 mm/h"',
  time: 'a time such as "10 min", "24 h" or "3 day"',
  temperature: 'a temperature such as "41 degF" or "5 degC"',
  density: 'a density such as "110 lb/ft^3" or "1800 kg/m^3"',
  areaPerLength: 'an area per length such as "1 in^2/ft" or "21 cm^2/m"',
};

const MEASURES: Readonly<Record<Kind, string>> = {
  length: "a length",
  area: "an area",
  volume: "a volume",
  flow: "a flow",
  speed: "a speed",
  time: "a time",
  temperature: "a temperature",
  density: "a density",
  areaPerLength: "an area per length",
  mass: "a mass",
  timePerLength: "a time per length",
};

// An optional sign, then a decimal, a fraction, or a whole number and a fraction; what follows is the unit.
const NUMBER = /^([-+]?)(?:(?:(\d{1,6})[ -])?(\d{1,6})\/(0*[1-9]\d{0,5})|(\d+\.?\d*|\.\d+)(?:[eE]([-+]?\d{1,4}))?)(?![\d.,/])\s*(.*)$/s;
// A whole number of a larger unit, then a smaller one: the hyphen is the trade's 6'-4".
const TWO_UNITS = /^([-+]?)(\d{1,9})\s*([a-z]+|['′’"″”])(?:\s*|-)(\d.*|\.\d.*)$/s;

/** What a wrong kind of quantity may be instead. */
function notThat(kind: Kind, wanted: Dimension): string {
  return kind === "timePerLength" && wanted === "speed" ? " (minutes for an inch are the fall in a test hole and no speed of the soil: give the test)" : "";
}

interface Parsed {
  readonly kind: Kind;
  readonly value: number;
}

type Refused = Pick<Problem, "got" | "code">;

function parse(given: unknown, wanted: Dimension): Parsed | Refused {
  if (typeof given === "number") return Number.isFinite(given) ? { got: `${given}, a bare number`, code: "unit" } : { got: String(given) };
  if (typeof given !== "string") return { got: describe(given) };
  const text = withoutFractionSigns(given.trim());
  if (text === "" || text.length > LONGEST_TEXT) return { got: describe(given) };
  const number = NUMBER.exec(text);
  const unit = number === null ? null : unitNamed(number[7]!);
  if (number !== null && unit !== null) return { kind: unit.kind, value: toSI(numberOf(number), unit) };
  return twoUnits(text, wanted) ?? { got: `${describe(given)}${whyNot(text, number, wanted)}`, ...(number !== null && { code: "unit" }) };
}

/**
 * A written number as the ratio of two whole ones: 97.2 is 972 / 10, for 97.2 itself is no number a computer holds. With
 * the ratio of the unit there is then one rounding in all, and 97.2 ft and 29.62656 m are the same to the last bit.
 */
interface Ratio {
  readonly over: number;
  readonly under: number;
}

function numberOf([, sign, whole, fractionOver, fractionUnder, decimal, exponent]: readonly string[]): Ratio {
  const { over, under } = decimal === undefined ? fractionOf(whole, fractionOver!, fractionUnder!) : decimalOf(decimal, exponent);
  return { over: sign === "-" ? -over : over, under };
}

function fractionOf(whole: string | undefined, over: string, under: string): Ratio {
  return { over: Number(whole ?? 0) * Number(under) + Number(over), under: Number(under) };
}

function decimalOf(decimal: string, exponent: string | undefined): Ratio {
  // Beyond 15 digits the whole number would itself be rounded.
  if (exponent !== undefined || decimal.length > 15) return { over: Number(`${decimal}e${exponent ?? 0}`), under: 1 };
  const point = decimal.indexOf(".");
  if (point < 0) return { over: Number(decimal), under: 1 };
  return { over: Number(decimal.replace(".", "")), under: 10 ** (decimal.length - 1 - point) };
}

function toSI({ over, under }: Ratio, { offset, numerator, denominator }: Unit): number {
  // The added zero turns -0 into 0.
  return ((over + offset * under) * numerator) / (under * denominator) + 0;
}

function twoUnits(text: string, wanted: Dimension): Parsed | null {
  const match = TWO_UNITS.exec(text);
  const larger = match === null ? null : unitNamed(match[3]!);
  if (match === null || larger === null) return null;
  const rest = parse(match[4]!, wanted);
  if ("got" in rest || rest.kind !== larger.kind) return null;
  const one = toSI({ over: 1, under: 1 }, larger);
  // 5 ft 14 in is a slip of the pen, not 6 ft 2 in.
  if ((rest.kind !== "length" && rest.kind !== "time") || !(rest.value < one)) return null;
  const size = toSI({ over: Number(match[2]), under: 1 }, larger) + rest.value;
  return { kind: larger.kind, value: match[1] === "-" ? -size : size };
}

function whyNot(text: string, number: RegExpExecArray | null, wanted: Dimension): string {
  if (number === null) return /\d,\d/.test(text) ? ", a number with a comma" : "";
  const unit = number[7]!;
  if (unit === "") return ", without a unit";
  const inches = withInches(text);
  if (inches !== null) return `, without a unit at its end (did you mean ${describe(inches)}?)`;
  const meant = nearestUnit(unit, wanted);
  const hint = meant === null ? `${dimensionWords(wanted)} is in ${UNITS[wanted]}` : `did you mean "${meant}"?`;
  // With a number in it, it was not meant as one unit.
  return `, where "${unit}" is no unit known here${meant === null && /\d/.test(unit) ? "" : ` (${hint})`}`;
}

const FEET_AND_NUMBER = /^[-+]?\d+\s*(?:(ft|foot|feet)|['′’])(?:\s*|-)\d[\d./ ]*$/;

/** `8' 6` and `8 ft 6` with the inches that they lack; null where the text is nothing of the kind. */
function withInches(text: string): string | null {
  const feet = FEET_AND_NUMBER.exec(text);
  if (feet === null) return null;
  const inches = feet[1] === undefined ? `${text}"` : `${text} in`;
  return "value" in parse(inches, "length") ? inches : null;
}

/** Mends the parts of a compound unit one by one, so that `inn/hr` finds `in/hr`; of words as near, the first of the wanted kind. */
function nearestUnit(text: string, wanted: Dimension): string | null {
  const known = [...unitSpellings(wanted), ...unitSpellings()];
  const parts = text.split(/\/| per /).map((part) => part.trim());
  const mended = parts.map((part) => (unitNamed(part) === null ? (nearestWords(part, known)[0] ?? null) : part));
  const whole = mended.join("/");
  return mended.includes(null) || unitNamed(whole) === null ? null : whole;
}

/** What each dimension is mostly written in, for those who have to choose one. */
const UNITS: Readonly<Record<Dimension, string>> = {
  length: "ft, in, yd, m, cm or mm",
  area: "sq ft, acre, m^2 or ha",
  volume: "gal, cu ft, cu yd, L or m^3",
  flow: "gal/min, cfs, L/s or m^3/h",
  speed: "in/hr, ft/day, mm/h, cm/h, m/day or m/s",
  time: "s, min, h, day, week or year",
  temperature: "degF or degC",
  density: "lb/ft^3 or kg/m^3",
  areaPerLength: "in^2/ft or cm^2/m",
};
