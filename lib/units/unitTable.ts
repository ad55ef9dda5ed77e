import { mathUnit } from "./mathUnit.ts";

/** What a text quantity measures; each is held inside in its SI unit. */
export type Dimension = "length" | "area" | "volume" | "flow" | "speed" | "time" | "temperature" | "density" | "areaPerLength";

/** What a unit measures: a dimension of the library, a piece of one (mass), or a rate that is none (minutes per inch). */
export type Kind = Dimension | "mass" | "timePerLength";

/**
 * A unit as the exact ratio that takes a number in it to SI: `si = (number + offset) * numerator / denominator`.
 * Two integers rather than one decimal, because n * 0.0254 is not the nearest number to n inches and n * 254 / 10000 is.
 */
export interface Unit {
  readonly kind: Kind;
  readonly numerator: number;
  readonly denominator: number;
  /** added to the number before the ratio; only temperatures have one */
  readonly offset: number;
}

/**
 * The unit a text names, in any of the trade's spellings: a name of the table below, a length squared or cubed
 * (`ft^2`, `ft2`, `sq ft`, `m³`, `cu yd`), or one of these over another (`in/hr`, `gal/min`, `cm^2/m`, `lb/ft^3`).
 *
 * Sizes and dimensions are mathjs's; which spellings the trade reads as which unit, and that no other is read, is ours.
 *
 * @param text  the unit alone, `sq ft` of `1500 sq ft`
 * @returns     the unit, or null where the text names none
 */
export function unitNamed(text: string): Unit | null {
  const written = plainUnit(text) ?? quotient(text);
  return written === null ? null : (written.unit ?? sized(written));
}

/**
 * The spellings of the table that are one word, of all kinds or of one.
 *
 * @example unitSpellings("mass"); // => ["kg", "g", "lb", "lbs", "lbm"]
 */
export function unitSpellings(kind?: Kind): string[] {
  return [...named].filter(([, unit]) => kind === undefined || unit.kind === kind).map(([spelling]) => spelling);
}

/** A unit in mathjs's words, and what it measures; those of the table with their size. */
interface Written {
  readonly kind: Kind;
  readonly mathjs: string;
  readonly unit?: Unit;
}

const SPELLINGS: readonly (readonly [mathjs: string, spellings: string])[] = [
  ["m", "m meter meters metre metres"],
  ["mm", "mm millimeter millimeters millimetre millimetres"],
  ["cm", "cm centimeter centimeters centimetre centimetres"],
  ["ft", "ft foot feet ' ′ ’"],
  ["in", 'in inch inches " ″ ”'],
  ["yd", "yd yard yards"],
  ["acre", "acre acres"],
  ["hectare", "ha hectare hectares"],
  ["sqft", "sqft"],
  ["L", "L l liter liters litre litres"],
  ["gal", "gal gallon gallons"],
  ["cuft", "cuft"],
  ["yd^3", "cuyd"],
  ["s", "s sec secs second seconds"],
  ["minute", "min mins minute minutes"],
  ["hour", "h hr hrs hour hours"],
  ["day", "day days d"],
  ["week", "week weeks"],
  ["year", "year years yr"], // of 365.25 days
  ["ft^3/s", "cfs"],
  ["gal/minute", "gpm"],
  ["kg", "kg"],
  ["g", "g"],
  ["lbm", "lb lbs lbm"],
  ["degC", "degC °C C celsius"],
  ["degF", "degF °F F fahrenheit"],
];

/** What a word of the table measures, by the SI unit mathjs gives it. */
const KINDS: Readonly<Record<string, Kind>> = {
  "m": "length",
  "m^2": "area",
  "m^3": "volume",
  "m^3 / s": "flow",
  "s": "time",
  "kg": "mass",
  "degC": "temperature",
};

const named: ReadonlyMap<string, Required<Written>> = new Map(SPELLINGS.flatMap(([mathjs, spellings]) => {
  const { si, ...size } = mathUnit(mathjs);
  const kind = KINDS[si]!;
  const written = { kind, mathjs, unit: { kind, ...size } };
  return spellings.split(" ").map((spelling) => [spelling, written] as const);
}));

function sized({ kind, mathjs }: Written): Unit {
  const { numerator, denominator, offset } = mathUnit(mathjs);
  return { kind, numerator, denominator, offset };
}

const POWER_BEFORE = /^(sq|square|cu|cubic)[ .]+(.+)$/;
const POWER_AFTER = /^(.+?)(?:\^?([23])|([²³]))$/;

function plainUnit(text: string): Written | null {
  const unit = named.get(text);
  if (unit !== undefined) return unit;
  const before = POWER_BEFORE.exec(text);
  if (before !== null) return power(before[2]!, before[1]!.startsWith("sq") ? 2 : 3);
  const after = POWER_AFTER.exec(text);
  return after === null ? null : power(after[1]!, after[2] === "2" || after[3] === "²" ? 2 : 3);
}

function power(text: string, exponent: 2 | 3): Written | null {
  const side = named.get(text);
  if (side?.kind !== "length") return null;
  return { kind: exponent === 2 ? "area" : "volume", mathjs: `${side.mathjs}^${exponent}` };
}

function quotient(text: string): Written | null {
  const [over, under, ...more] = text.split("/").map((side) => plainUnit(side.trim()));
  if (!over || !under || more.length > 0) return null;
  const kind = QUOTIENTS[`${over.kind}/${under.kind}`];
  return kind === undefined ? null : { kind, mathjs: `${over.mathjs}/${under.mathjs}` };
}

const QUOTIENTS: Readonly<Partial<Record<string, Kind>>> = {
  "length/time": "speed",
  "volume/time": "flow",
  "mass/volume": "density",
  "area/length": "areaPerLength",
  "time/length": "timePerLength",
};
