import { FRACTION_SIGNS } from "./fractionSigns.ts";
import { unitSpellings, type Dimension, type Kind } from "./unitTable.ts";

/**
 * A regular expression, as JSON Schema writes one, for the texts that `quantity` reads as this dimension. It is as strict
 * as the reader but for sizes: it lets `5 ft 14 in` and `1e99 m` pass, which the reader refuses.
 *
 * @example new RegExp(quantityPattern("length")).test("5 ft 6 in"); // => true
 */
export function quantityPattern(dimension: Dimension): string {
  const simple = `${NUMBER}\\s*${unitPattern(dimension)}`;
  if (dimension !== "length" && dimension !== "time") return `^\\s*[-+]?${simple}\\s*$`;
  const larger = `\\d{1,9}\\s*${anyOf(unitSpellings(dimension))}(?:\\s*|-)`;
  return `^\\s*[-+]?(?:${larger}(?=[\\d.${FRACTION_SIGNS}]))*${simple}\\s*$`;
}

const NUMBER = `(?:(?:\\d{1,6}(?:\\s*|-))?[${FRACTION_SIGNS}]|(?:\\d{1,6}[ -])?\\d{1,6}\\/0*[1-9]\\d{0,5}|(?:\\d+\\.?\\d*|\\.\\d+)(?:[eE][-+]?\\d{1,4})?)`;

const QUOTIENTS: Readonly<Partial<Record<Dimension, readonly [over: Kind, under: Kind]>>> = {
  speed: ["length", "time"],
  flow: ["volume", "time"],
  density: ["mass", "volume"],
  areaPerLength: ["area", "length"],
};

function unitPattern(kind: Kind): string {
  const length = anyOf(unitSpellings("length"));
  const ways = unitSpellings(kind).map(escaped);
  if (kind === "area") ways.push(`${length}(?:\\^?2|²)`, `(?:sq|square)[ .]+${length}`);
  if (kind === "volume") ways.push(`${length}(?:\\^?3|³)`, `(?:cu|cubic)[ .]+${length}`);
  const quotient = QUOTIENTS[kind as Dimension];
  if (quotient !== undefined) ways.push(`${unitPattern(quotient[0])}\\s*/\\s*${unitPattern(quotient[1])}`);
  return `(?:${ways.join("|")})`;
}

function anyOf(spellings: readonly string[]): string {
  return `(?:${spellings.map(escaped).join("|")})`;
}

/** The table's spellings hold letters, quotes and the degree sign only; should one need escaping, it is refused at load. */
function escaped(spelling: string): string {
  if (!/^[\p{L}°'′’"″”]+$/u.test(spelling)) throw new Error(`a spelling that would need escaping: ${spelling}`);
  return spelling;
}
