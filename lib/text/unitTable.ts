/** A year of the calendar's average, 365.25 days [s]. */
export const YEAR = 31_557_600;


/**
 * Whole years in a time [s]. Up to a day may be missing, so that one, two or three years of 365 days are as many.
 *
 * @example wholeYears(365 * 86400); // => 1
 */
export function wholeYears(time: number): number {
  return Math.floor((time + 86_400) / YEAR);
}

/** What a text quantity measures; each is held inside in its SI unit. */
export type Dimension = "length" | "area" | "volume" | "flow" | "speed" | "time" | "temperature" | "density" | "areaPerLength";

/** What a unit measures: a dimension of the library, a piece of one (mass), or a rate without one (minutes per inch). */
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
 * Sizes are those of the definitions of the units, held against mathjs in `tests/units`; no other spelling is read.
 *
 * @param text  the unit alone, `sq ft` of `1500 sq ft`
 * @returns     the unit, or null where the text names none
 */
export function unitNamed(text: string): Unit | null {
  const written = plainUnit(text) ?? quotient(text);
  return written === null ? null : sized(written);
}

/**
 * The spellings of the table that are one word, of all kinds or of one.
 *
 * @example unitSpellings("mass"); // => ["kg", "g", "lb", "lbs", "lbm"]
 */
export function unitSpellings(kind?: Kind): string[] {
  return [...named].filter(([, unit]) => kind === undefined || unit.kind === kind).map(([spelling]) => spelling);
}

/** A unit as the exact ratio of whole numbers, however large. */
interface Exact {
  readonly kind: Kind;
  readonly over: bigint;
  readonly under: bigint;
  readonly offset: number;
}

const METRE = 10_000n;
const [FOOT, INCH, YARD] = [3048n, 254n, 9144n];
const [GALLON, CUBIC_METRE] = [231n * INCH ** 3n, METRE ** 3n];

/**
 * Sizes in SI by definition, from memory: the international yard and pound of 1959, the US gallon of 231 cubic inches, the acre of 43 560
 * square feet, the Julian year.
 */
const SPELLINGS: readonly (readonly [spellings: string, kind: Kind, over: bigint, under: bigint, offset?: number])[] = [
  ["m meter meters metre metres", "length", 1n, 1n],
  ["mm millimeter millimeters millimetre millimetres", "length", 1n, 1000n],
  ["cm centimeter centimeters centimetre centimetres", "length", 1n, 100n],
  ["ft foot feet ' ′ ’", "length", FOOT, METRE],
  ['in inch inches " ″ ”', "length", INCH, METRE],
  ["yd yard yards", "length", YARD, METRE],
  ["acre acres", "area", 43_560n * FOOT ** 2n, METRE ** 2n],
  ["ha hectare hectares", "area", 10_000n, 1n],
  ["sqft sf", "area", FOOT ** 2n, METRE ** 2n],
  ["L l liter liters litre litres", "volume", 1n, 1000n],
  ["gal gallon gallons", "volume", GALLON, CUBIC_METRE],
  ["cuft", "volume", FOOT ** 3n, CUBIC_METRE],
  ["cuyd", "volume", YARD ** 3n, CUBIC_METRE],
  ["s sec secs second seconds", "time", 1n, 1n],
  ["min mins minute minutes", "time", 60n, 1n],
  ["h hr hrs hour hours", "time", 3600n, 1n],
  ["day days d", "time", 86_400n, 1n],
  ["week weeks", "time", 604_800n, 1n],
  ["year years yr", "time", 31_557_600n, 1n],
  ["cfs", "flow", FOOT ** 3n, CUBIC_METRE],
  ["gpm", "flow", GALLON, 60n * CUBIC_METRE],
  ["kg", "mass", 1n, 1n],
  ["g", "mass", 1n, 1000n],
  ["lb lbs lbm", "mass", 45_359_237n, 100_000_000n],
  ["degC °C C celsius", "temperature", 1n, 1n],
  ["degF °F F fahrenheit", "temperature", 5n, 9n, -32],
];

const named: ReadonlyMap<string, Exact> = new Map(SPELLINGS.flatMap(([spellings, kind, over, under, offset = 0]) =>
  spellings.split(" ").map((spelling) => [spelling, { kind, over, under, offset }] as const)));

/** In lowest terms, so that the numbers are the least they can be. */
function sized({ kind, over, under, offset }: Exact): Unit {
  let [common, rest] = [over, under];
  while (rest > 0n) [common, rest] = [rest, common % rest];
  return { kind, numerator: Number(over / common), denominator: Number(under / common), offset };
}

const POWER_BEFORE = /^(sq|square|cu|cubic)[ .]+(.+)$/;
const POWER_AFTER = /^(.+?)(?:\^?([23])|([²³]))$/;

function plainUnit(text: string): Exact | null {
  const unit = named.get(text);
  if (unit !== undefined) return unit;
  const before = POWER_BEFORE.exec(text);
  if (before !== null) return power(before[2]!, before[1]!.startsWith("sq") ? 2 : 3);
  const after = POWER_AFTER.exec(text);
  return after === null ? null : power(after[1]!, after[2] === "2" || after[3] === "²" ? 2 : 3);
}

function power(text: string, exponent: 2 | 3): Exact | null {
  const side = named.get(text);
  if (side?.kind !== "length") return null;
  const times = BigInt(exponent);
  return { kind: exponent === 2 ? "area" : "volume", over: side.over ** times, under: side.under ** times, offset: 0 };
}

function quotient(text: string): Exact | null {
  const [over, under, ...more] = text.split("/").map((side) => plainUnit(side.trim()));
  if (!over || !under || more.length > 0) return null;
  const kind = QUOTIENTS[`${over.kind}/${under.kind}`];
  return kind === undefined ? null : { kind, over: over.over * under.under, under: over.under * under.over, offset: 0 };
}

const QUOTIENTS: Readonly<Partial<Record<string, Kind>>> = {
  "length/time": "speed",
  "volume/time": "flow",
  "mass/volume": "density",
  "area/length": "areaPerLength",
  "time/length": "timePerLength",
};

/**
 * Whether a length is written in feet, inches or yards: the last unit of a text that `quantity` has read as a length.
 *
 * @example customaryLength("5 ft 6 in"); // => true
 */
export function customaryLength(text: string): boolean {
  return /(?:ft|foot|feet|in|inch|inches|yd|yards?|['′’"″”])$/.test(text.trimEnd());
}
