import { describe } from "./describe.ts";
import { areaText, depthText, intensityText, lengthText, type UnitSystem } from "./format.ts";
import { withoutFractionSigns } from "./fractionSigns.ts";
import { readQuantity } from "./quantity.ts";
import { type Dimension, customaryLength } from "./unitTable.ts";

/** What a field of a form asks for. */
export interface TypedField {
  readonly dimension: Dimension;
  /** the unit of a bare number, which the form shows beside its field: `ft` */
  readonly unit: string;
  /** what people measure in at the place; a unit of the other system is asked back */
  readonly units: UnitSystem;
  /** what such a thing usually is, in SI; beyond it the figure is asked back */
  readonly likely?: readonly [least: number, most: number];
}

/** A quantity as a person typed it, in the words of a site file; or what cannot be read. */
export type Typed =
  | {
      /** as `quantity` reads it, with the person's own figures: `6' 4 1/2"` */
      readonly text: string;
      /** in SI */
      readonly value: number;
      /** a question to answer before it is believed: an unlikely unit or size; null where it looks right */
      readonly ask: string | null;
    }
  | { readonly problem: string };

/**
 * What people type into a field, read kindly: `6' 4½"`, `2,5 m`, `1,600 sf`, `½ in`, `2 sq. ft`, a bare `12` in the unit that the form
 * shows. The figures stay the person's own, so that nothing is rounded on the way into the file. What could be meant in two ways is not
 * guessed
 * but asked back.
 *
 * @param typed  as it was typed
 * @returns      the text for a site file with its value, and a question where it is unlikely; or a problem in words
 * @example typedQuantity("6' 4½\"", { dimension: "length", unit: "ft", units: "us" }).text; // => "6' 4 1/2\""
 */
export function typedQuantity(typed: string, { dimension, unit, units, likely }: TypedField): Typed {
  const plain = plainSpelling(typed);
  const commas = withoutCommas(plain, units);
  const bare = /^[-+]?[\d./ ]*\d\.?$/.test(commas.text);
  const text = bare ? `${commas.text} ${unit}` : commas.text;
  const reading = readQuantity(text, dimension);
  if (!("value" in reading))
    return {
      problem: `expected ${reading.expected}, got ${describe(typed.trim())}${reading.got.startsWith(describe(text)) ? reading.got.slice(describe(text).length) : ""}`,
    };
  return {
    text,
    value: reading.value,
    ask:
      (isSure(commas, reading.value, likely) ? null : commas.ask) ??
      unlikelyUnit(text, dimension, unit, units, bare) ??
      unlikelySize(reading.value, dimension, units, likely),
  };
}

/** A comma that could part thousands is the decimal sign where only that gives a figure as such things have. */
function isSure({ ask }: { readonly ask: string | null }, value: number, likely: TypedField["likely"]): boolean {
  return ask !== null && likely !== undefined && value >= likely[0] && value <= likely[1] && value * 1000 > likely[1];
}

/** Spellings of a field book that a site file does not hold. */
export function plainSpelling(typed: string): string {
  return withoutFractionSigns(typed.trim().replace(/\s+/g, " "))
    .replace(/(?:''|’’|′′)/g, '"')
    .replace(/−|–/g, "-")
    .replace(/\bsq\.? ?f(?:ee)?t\.?\b\.?/gi, "sq ft")
    .replace(/(\d) ?(?:sf|sqf)\b/gi, "$1 sq ft")
    .replace(/(\d) ?(?:qm|sqm|sq\.? ?m)\b/gi, "$1 m^2")
    .replace(/(\d) ?lf\b/gi, "$1 ft")
    .replace(/\b(ft|in)\.(?= |$|\d)/gi, "$1")
    .replace(/(\d) ?(IN|FT|M|MM|CM|YD)\b/g, (_, digit: string, unit: string) => `${digit} ${unit.toLowerCase()}`);
}

/** A comma is the decimal sign, or parts thousands: three digits after it leave that open outside the United States. */
function withoutCommas(text: string, units: UnitSystem): { readonly text: string; readonly ask: string | null } {
  if (/^[-+]?\d{1,3}(?:,\d{3})+\.\d/.test(text) || /^[-+]?\d{1,3}(?:,\d{3}){2,}/.test(text))
    return { text: text.replaceAll(",", ""), ask: null };
  const three = /^([-+]?)([1-9]\d{0,2}),(\d{3})(?!\d)(.*)$/.exec(text);
  if (three !== null) {
    const [, sign = "", thousands = "", rest = "", unit = ""] = three;
    const [whole, decimal] = [`${sign}${thousands}${rest}${unit}`, `${sign}${thousands}.${rest}${unit}`];
    return units === "us"
      ? { text: whole, ask: null }
      : { text: decimal, ask: `“${text}” is read as ${decimal}. If ${whole} is meant, type it without the comma.` };
  }
  return { text: text.replace(/(\d),(\d)/g, "$1.$2").replace(/(^|[^\d]),(\d)/g, "$10.$2"), ask: null };
}

function unlikelyUnit(text: string, dimension: Dimension, unit: string, units: UnitSystem, bare: boolean): string | null {
  if (bare || (dimension !== "length" && dimension !== "area")) return null;
  const isCustomary = dimension === "length" ? customaryLength(text) : /ft|in|yd|acre|['′’"″”]/.test(text);
  if (isCustomary === (units === "us")) return null;
  const { value } = readQuantity(text, dimension) as { readonly value: number };
  const other = dimension === "length" ? lengthText(value, units) : areaText(value, units);
  return `${text} is ${other}: is that the unit you mean, where others are in ${unit}?`;
}

function unlikelySize(value: number, dimension: Dimension, units: UnitSystem, likely: TypedField["likely"]): string | null {
  if (likely === undefined || (value >= likely[0] && value <= likely[1])) return null;
  const words =
    dimension === "length"
      ? likely[1] < 1.5
        ? depthText
        : lengthText
      : dimension === "area"
        ? areaText
        : dimension === "speed"
          ? intensityText
          : null;
  if (words === null) return null;
  return `${words(value, units)} is unusual here, where ${words(likely[0], units)} to ${words(likely[1], units)} is common: is the unit right?`;
}

/** Readings of a watch and of a stopwatch, one after the other. */
export type TypedTimes = { readonly times: readonly number[] } | { readonly problem: string };

/**
 * Times as a watch gives them, from the first one on [s]: clock times (`8:15`, `14.20`, `2:05 pm`, over noon and midnight), or what has
 * passed (`1h40`, `90 min`, `1:40` among such). All of a list are of one kind.
 *
 * @returns  rising, the first 0 where they are clock times; or a problem in words
 * @example typedTimes(["11:50", "12:20", "1:05"]).times; // => [0, 1800, 4500]
 */
export function typedTimes(typed: readonly string[]): TypedTimes {
  const texts = typed.map((each) => plainSpelling(each).toLowerCase());
  const clocks = texts.map(clockOf);
  const passed = texts.map(passedOf);
  const isClock = clocks.every((each) => each !== null) && !texts.some((each) => /h|min/.test(each.replace(/[ap]m$/, "")));
  const read = isClock ? onwards(clocks) : passed;
  const wrong = read.findIndex((each, i) => each === null || (i > 0 && !(each > read[i - 1]!)));
  if (wrong < 0) return { times: read as number[] };
  const after = wrong > 0 && read[wrong] !== null ? `, after ${typed[wrong - 1]!.trim()}` : "";
  return {
    problem: `expected a clock time such as 8:15, or what has passed such as 1h40 or 25 min, all of one kind and rising, got ${describe(typed[wrong]!.trim())}${after}`,
  };
}

interface Clock {
  readonly minutes: number;
  /** whether it says which half of the day it is, or could be of one only */
  readonly half: "am" | "pm" | null;
}

function clockOf(text: string): Clock | null {
  const match = /^(\d{1,2})[:.](\d{2})(?: ?(am|pm))?$/.exec(text);
  if (match === null) return null;
  const [hour, minute] = [Number(match[1]), Number(match[2])];
  if (hour > 23 || minute > 59 || (match[3] !== undefined && (hour < 1 || hour > 12))) return null;
  const half = match[3] as "am" | "pm" | undefined;
  return { minutes: (half === undefined ? hour : (hour % 12) + (half === "pm" ? 12 : 0)) * 60 + minute, half: half ?? null };
}

/** Each the next time that the watch shows it: a dial of twelve hours goes on over noon, one of 24 over midnight. */
function onwards(clocks: readonly Clock[]): number[] {
  const isTwelve = clocks.every(({ minutes, half }) => half === null && minutes < 13 * 60 && minutes >= 60);
  let last = clocks[0]!.minutes;
  return clocks.map(({ minutes, half }) => {
    const turn = isTwelve && half === null ? 12 * 60 : 24 * 60;
    let now = minutes;
    while (now < last) now += turn;
    last = now;
    return (now - clocks[0]!.minutes) * 60;
  });
}

function passedOf(text: string): number | null {
  const both = /^(?:(\d{1,3}) ?(?:h|hr|hrs|hours?|:) ?)(\d{1,2})(?: ?(?:m|min|mins|minutes?))?$/.exec(text);
  if (both !== null) return Number(both[1]) * 3600 + Number(both[2]) * 60;
  const reading = readQuantity(/^\d+(?:[.,]\d+)?$/.test(text) ? `${text.replace(",", ".")} min` : text, "time");
  return "value" in reading ? reading.value : null;
}

/**
 * How fast the soil takes water, in either of the trade's ways: a rate (`0.5 in/hr`, `12 mm/h`), or minutes for an inch (`30 min/in`, `30
 * mpi`).
 *
 * @returns  a rate as the file's text with its value [m/s]; or minutes per inch, which are the fall in a hole and no conductivity
 * @example typedSoilRate("30 min/in"); // => { minutesPerInch: 30 }
 */
export function typedSoilRate(
  typed: string,
  units: UnitSystem,
): { readonly minutesPerInch: number } | { readonly text: string; readonly value: number } | { readonly problem: string } {
  const plain = withoutCommas(plainSpelling(typed), units).text;
  const minutes = minutesPerInch(plain);
  if (minutes === "several") return { problem: `expected one figure, the slowest fill, got ${describe(typed.trim())}; type the readings of each fill instead` };
  if (minutes !== null) return { minutesPerInch: minutes };
  const read = typedQuantity(plain.replace(/\biph\b/i, "in/hr"), { dimension: "speed", unit: units === "us" ? "in/hr" : "mm/h", units });
  return "problem" in read ? read : { text: read.text, value: read.value };
}

/**
 * Minutes for an inch as the trade writes them, `30 min/in` or `30 mpi`.
 *
 * @returns  the figure; "several" for a span such as `18-35 min/in`; null where the text is nothing of the kind
 * @example minutesPerInch("30 min/in"); // => 30
 */
export function minutesPerInch(text: string): number | "several" | null {
  const inch = /^(\d+(?:\.\d+)?|\.\d+)(?: ?- ?(\d+(?:\.\d+)?))? ?(?:min(?:utes|s)? ?(?:\/|per|an) ?(?:in|inch)|mpi)$/i.exec(text.trim());
  if (inch === null) return null;
  return inch[2] === undefined ? Number(inch[1]) : "several";
}
