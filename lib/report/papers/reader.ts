import { bulkText, sheetText } from "../../text/format.ts";
import { areaText, depthText, displayUnits, flowText, intensityText, lengthText, levelText, threeFigures, volumeText, type UnitSystem } from "../../text/format.ts";
import { massText } from "../../text/format.ts";
import { sizeText } from "../../text/format.ts";
import { distanceText } from "../../text/distanceText.ts";
import { onStaff, staffText } from "../../text/staffText.ts";
import { heightText } from "../../text/words.ts";
import type { Site } from "../../site/site.ts";
import { regionTaken, type RegionCode } from "../../site/region.ts";
import { phrase, type Language, type PhraseKey } from "./phrases.ts";

/** What a phrase is filled in with: text that has its unit and its decimal mark already. */
export type Values = Readonly<Record<string, string | number>>;

/** Whoever reads a paper: a language, a system of units, a decimal mark. Every number and every sentence of a paper goes through here. */
export interface Reader {
  readonly language: Language;
  readonly units: UnitSystem;
  readonly say: (key: PhraseKey, values?: Values) => string;
  /** a number with its unit by one of the library's formats, with the reader's decimal mark */
  readonly number: (text: string) => string;
  readonly length: (m: number) => string;
  /** how far two things lie apart on the plan */
  readonly distance: (m: number) => string;
  /** a length to be taped: feet, inches and half inches; metres to the centimetre */
  readonly tape: (m: number) => string;
  /** the least that a tape tells apart [m] */
  readonly tapeStep: number;
  /** a level or a height on the staff: to an eighth of an inch, or a millimetre */
  readonly staff: (m: number) => string;
  readonly level: (m: number) => string;
  /** from one level to another as the staff shows both, so that it is the difference of what is printed: under a foot in inches alone */
  readonly between: (high: number, low: number) => string;
  /** a level for anyone with a staff in hand: as a file has it, and beside decimals of a foot in feet and inches */
  readonly levelStaff: (m: number) => string;
  readonly depth: (m: number) => string;
  readonly height: (m: number) => string;
  readonly size: (m: number) => string;
  /**
   * the inside diameter of a pipe as it is sold: the nominal size of the reader's units, beside that of the file where it is written in
   * others
   */
  readonly bore: (m: number) => string;
  readonly area: (m2: number) => string;
  readonly sheet: (m2: number) => string;
  readonly bulk: (m3: number) => string;
  readonly water: (m3: number) => string;
  readonly flow: (m3s: number) => string;
  readonly intensity: (ms: number) => string;
  readonly mass: (kg: number) => string;
  readonly figure: (number: number) => string;
  /** how long something lasts: minutes, hours, and days from two on */
  readonly lasting: (s: number) => string;
  /** a slope: inches on a level of 4 ft, or one in a number */
  readonly slope: (ratio: number) => string;
}

/** The levels that are held against a slope [m]: a level of 4 ft is the crew's; common practice. */
const FOUR_FEET = 1.2192;

/**
 * A reader of a site's papers.
 *
 * @param writtenIn  the system of the site's file, in which its pipes are sold
 * @param region     the country's code, whose decimal mark is written: Mexico a point, Spain a comma; that of the language where not given
 * @source  decimal marks: Unicode CLDR, by the engine's own tables (`Intl.NumberFormat`)
 */
export function readerOf(language: Language, units: UnitSystem, writtenIn: UnitSystem = units, region: RegionCode | null = null): Reader {
  const own = language.slice(0, 2);
  const comma = new Intl.NumberFormat(region === null || own === "en" ? language : `${own}-${region}`).format(1.5).startsWith("1,");
  const number = (text: string): string => (comma ? text.replace(/(\d)\.(\d)/g, "$1,$2") : text);
  const say = (key: PhraseKey, values: Values = {}): string => phrase(language, key).replace(/\{(\w+)\}/g, (_, name: string) => {
    const value = values[name];
    if (value === undefined) throw new Error(`${key}: expected a value for {${name}}, got nothing`);
    return String(value);
  });
  const in_ = (format: (value: number, system: UnitSystem) => string) => (value: number): string => number(format(value, units));
  return {
    language, units, say, number,
    length: in_(lengthText), distance: in_(distanceText),
    tape: (m) => number(units === "us" ? staffText(m, units, { fractions: 2 }) : `${m.toFixed(2)} m`),
    tapeStep: units === "us" ? 0.0127 : 0.01,
    staff: in_((m, system) => staffText(m, system)),
    between: (high, low) => number(staffText(onStaff(high, units) - onStaff(low, units), units).replace(/^(-?)0' (?:0 (?=\d))?/, "$1")),
    level: in_(levelText), levelStaff: in_((m, system) => (system === "us" ? `${levelText(m, system)} (${staffText(m, system)})` : staffText(m, system))), depth: in_(depthText), height: in_(heightText), size: (m) => number(units === "us" ? inchText(m) : sizeText(m, units)), area: in_(areaText), sheet: in_(sheetText),
    bulk: in_(bulkText), water: in_(volumeText), flow: in_(flowText), intensity: in_(intensityText),
    bore: (m) => number(writtenIn === units ? (units === "us" ? inchText(m) : sizeText(m, units)) : boreText(m, units, writtenIn)),
    mass: (kg) => number(massText(kg, units).replace(/short tons?/, say("unit.shortTon"))),
    figure: (value) => number(threeFigures(value)),
    lasting: (s) => {
      const minutes = Math.round(s / 60);
      if (s >= 48 * 3600) return say("unit.days", { n: number(threeFigures(Math.round(s / 8640) / 10)) });
      return minutes < 60 ? `${minutes} min` : minutes % 60 === 0 ? `${minutes / 60} h` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
    },
    slope: (ratio) => {
      if (!(ratio > 0)) return ratio < 0 ? "–" : say("unit.level");
      if (units === "si") return say("unit.oneIn", { n: String(Math.round(1 / ratio)) });
      const [four, sixteenth] = [ratio * FOUR_FEET, 0.0254 / 16];
      const fall = staffText(Math.max(four, sixteenth), units, { fractions: 16 }).replace(/^0' (?:0 )?/, "");
      return say("unit.inFour", { fall: four < sixteenth / 2 ? `< ${fall}` : fall });
    },
  };
}

/** A size in inches, with a fraction where it is one of sixteenths: `29 1/2 in`; else in decimals. */
function inchText(m: number): string {
  const sixteenths = Math.round((m * 160_000) / 254);
  if (sixteenths === 0 || Math.abs(sixteenths - (m * 160_000) / 254) > 1e-6) return sizeText(m, "us");
  const text = staffText((sixteenths % 192 * 254) / 160_000, "us", { fractions: 16 }).replace(/^0' |"$/g, "");
  const [, whole, fraction] = /^(\d+)(?: (\d+\/\d+))?$/.exec(text)!;
  const inches = 12 * Math.floor(sixteenths / 192) + Number(whole);
  return `${[...(inches > 0 || fraction === undefined ? [String(inches)] : []), ...(fraction === undefined ? [] : [fraction])].join(" ")} in`;
}

/** Nominal sizes of pipes that stand for one another, in inches and in millimetres; common practice. */
const NOMINAL: readonly (readonly [us: number, si: number])[] = [
  [3, 75], [4, 100], [5, 125], [6, 150], [8, 200], [10, 250], [12, 300], [15, 375], [18, 450], [24, 600],
];

/** `100 mm (4 in)` for a pipe of 4 in in a file in inches; a size that has no counterpart within a tenth is converted. */
function boreText(m: number, units: UnitSystem, writtenIn: UnitSystem): string {
  const [at, size] = writtenIn === "us" ? [0, 0.0254] as const : [1, 0.001] as const;
  const pair = NOMINAL.find((each) => Math.abs(m / size / each[at] - 1) <= 0.1 + 1e-9);
  const shown = pair === undefined ? sizeText(m, units) : units === "us" ? `${pair[0]} in` : `${pair[1]} mm`;
  return `${shown} (${sizeText(m, writtenIn)})`;
}

/** A count with what is counted: `1 load`, `2 loads`. */
export function counted(count: number, what: "load" | "roll" | "length" | "piece", { say }: Pick<Reader, "say">): string {
  return `${count} ${countedUnit(count, what, say)}`;
}

/** What is counted, as one or as several. */
export function countedUnit(count: number, what: "load" | "roll" | "length" | "piece", say: Reader["say"]): string {
  return say(count === 1 ? `unit.${what}` : `unit.${what}s`);
}

/** A length in the reader's display unit without the unit, for a table's column. */
export function bare(text: string): string {
  return text.replace(/ \S+$/, "");
}

/** The unit that a reader's levels stand in. */
export function levelUnit({ units }: Reader): string {
  return displayUnits(units).level.label;
}

/** The language a site's papers are in where nobody asks for one: that of its region, else by its units. */
export function languageOf(site: Pick<Site, "region" | "units" | "writtenIn">): Language {
  const { code } = regionTaken(site);
  if (["DE", "AT", "LI"].includes(code)) return "de";
  if (["ES", "MX", "AR", "CL", "CO", "PE"].includes(code)) return "es";
  return code === "US" || site.units === "us" ? "en-US" : "en-GB";
}
