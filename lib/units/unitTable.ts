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
 * The definitions are those of mathjs (a test compares every one), which is not loaded here: that takes some 0.7 s in
 * each new process, and a browser could not resolve it. The acre is 43 560 square feet; mathjs rounds it to 4046.86 m2.
 *
 * @param text  the unit alone, `sq ft` of `1500 sq ft`
 * @returns     the unit, or null where the text names none
 */
export function unitNamed(text: string): Unit | null {
  const plain = plainUnit(text);
  if (plain !== null) return plain;
  const slash = text.indexOf("/");
  if (slash < 0 || slash !== text.lastIndexOf("/")) return null;
  const over = plainUnit(text.slice(0, slash).trim());
  const under = plainUnit(text.slice(slash + 1).trim());
  return over === null || under === null ? null : quotient(over, under);
}

/**
 * The spellings of the table that are one word, of all kinds or of one.
 *
 * @example unitSpellings("mass"); // => ["kg", "g", "lb", "lbs", "lbm"]
 */
export function unitSpellings(kind?: Kind): string[] {
  return [...named].filter(([, unit]) => kind === undefined || unit.kind === kind).map(([spelling]) => spelling);
}

const SPELLINGS: readonly (readonly [kind: Kind, numerator: number, denominator: number, spellings: string])[] = [
  ["length", 1, 1, "m meter meters metre metres"],
  ["length", 1, 1000, "mm millimeter millimeters millimetre millimetres"],
  ["length", 1, 100, "cm centimeter centimeters centimetre centimetres"],
  ["length", 3048, 10000, "ft foot feet ' ′ ’"],
  ["length", 254, 10000, 'in inch inches " ″ ”'],
  ["length", 9144, 10000, "yd yard yards"],
  ["area", 43560 * 3048 ** 2, 10000 ** 2, "acre acres"],
  ["area", 10000, 1, "ha hectare hectares"],
  ["area", 3048 ** 2, 10000 ** 2, "sqft"],
  ["volume", 1, 1000, "L l liter liters litre litres"],
  ["volume", 231 * 254 ** 3, 10000 ** 3, "gal gallon gallons"],
  ["volume", 3048 ** 3, 10000 ** 3, "cuft"],
  ["volume", 9144 ** 3, 10000 ** 3, "cuyd"],
  ["time", 1, 1, "s sec secs second seconds"],
  ["time", 60, 1, "min mins minute minutes"],
  ["time", 3600, 1, "h hr hrs hour hours"],
  ["time", 86400, 1, "day days d"],
  ["time", 7 * 86400, 1, "week weeks"],
  ["time", 31557600, 1, "year years yr"], // of 365.25 days
  ["flow", 3048 ** 3, 10000 ** 3, "cfs"],
  ["flow", 231 * 254 ** 3, 60 * 10000 ** 3, "gpm"],
  ["mass", 1, 1, "kg"],
  ["mass", 1, 1000, "g"],
  ["mass", 45359237, 100000000, "lb lbs lbm"],
];

const TEMPERATURES: readonly (readonly [offset: number, numerator: number, denominator: number, spellings: string])[] = [
  [0, 1, 1, "degC °C C celsius"],
  [-32, 5, 9, "degF °F F fahrenheit"],
];

const named: ReadonlyMap<string, Unit> = new Map([
  ...SPELLINGS.flatMap(([kind, numerator, denominator, spellings]) =>
    spellings.split(" ").map((spelling): [string, Unit] => [spelling, { kind, numerator, denominator, offset: 0 }])),
  ...TEMPERATURES.flatMap(([offset, numerator, denominator, spellings]) =>
    spellings.split(" ").map((spelling): [string, Unit] => [spelling, { kind: "temperature", numerator, denominator, offset }])),
]);

const POWER_BEFORE = /^(sq|square|cu|cubic)[ .]+(.+)$/;
const POWER_AFTER = /^(.+?)(?:\^?([23])|([²³]))$/;

function plainUnit(text: string): Unit | null {
  const unit = named.get(text);
  if (unit !== undefined) return unit;
  const before = POWER_BEFORE.exec(text);
  if (before !== null) return power(named.get(before[2]!), before[1]!.startsWith("sq") ? 2 : 3);
  const after = POWER_AFTER.exec(text);
  if (after === null) return null;
  return power(named.get(after[1]!), after[2] === "2" || after[3] === "²" ? 2 : 3);
}

function power(side: Unit | undefined, exponent: 2 | 3): Unit | null {
  if (side?.kind !== "length") return null;
  return {
    kind: exponent === 2 ? "area" : "volume",
    numerator: side.numerator ** exponent,
    denominator: side.denominator ** exponent,
    offset: 0,
  };
}

function quotient(over: Unit, under: Unit): Unit | null {
  const kind = QUOTIENTS[`${over.kind}/${under.kind}`];
  if (kind === undefined) return null;
  return {
    kind,
    numerator: over.numerator * under.denominator,
    denominator: over.denominator * under.numerator,
    offset: 0,
  };
}

const QUOTIENTS: Readonly<Partial<Record<string, Kind>>> = {
  "length/time": "speed",
  "volume/time": "flow",
  "mass/volume": "density",
  "area/length": "areaPerLength",
  "time/length": "timePerLength",
};
