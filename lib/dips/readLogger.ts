import { firstAfter } from "../numerics/firstAfter.ts";
import { csvCells, separatorOf } from "../rain/record/csvCells.ts";
import { timeStamp, type DateOrder } from "../rain/record/timeStamp.ts";
import { unitInBrackets } from "../rain/record/unitInBrackets.ts";
import { describe } from "../text/describe.ts";
import type { Problem } from "../text/problem.ts";
import { readQuantity } from "../text/quantity.ts";
import { GRAVITY } from "../works/gravity.ts";

/** A series that a logger wrote. */
export interface LoggerSeries {
  /** seconds since 1970 by the logger's own clock, rising */
  readonly time: Float64Array;
  /** as `kind` says: water over the sensor or its level [m], or a pressure [Pa] */
  readonly value: Float64Array;
  readonly kind: "depth" | "level" | "pressure";
  readonly hasZone: boolean;
  /** what was left out or put right, in sentences */
  readonly notes: readonly string[];
}

/**
 * Reads a logger's CSV: a column of time and one of `depth` (water over the sensor), `level` (in the site's datum) or `pressure`, its unit
 * in brackets: `time, depth [cm]`. Any interval; lines before the header that name no time are passed over. A line without a value leaves
 * a gap. Where the clock was put back, the readings that repeat a stretch are left out and told.
 *
 * @param where     the place of the text, for a problem
 * @param problems  gets what makes the text useless as a whole
 */
export function readLogger(text: string, where: string, problems: Problem[], dateOrder: DateOrder = "year-month-day"): LoggerSeries | null {
  const lines = text.replace(/^\ufeff/, "").split(/\r?\n/).map((each, i) => ({ line: i + 1, text: each.slice(0, LONGEST_LINE) }))
    .filter((each) => each.text.trim() !== "" && !each.text.startsWith("#"));
  const headAt = lines.slice(0, MOST_PREAMBLE).findIndex((each) => /\b(?:time|date)/i.test(each.text));
  if (headAt < 0) {
    problems.push({ where, expected: "a header with a column of time, and one of depth, level or pressure", got: describe(lines[0]?.text) });
    return null;
  }
  const separator = separatorOf(lines[headAt]!.text);
  const heads = csvCells(lines[headAt]!.text, separator).map((cell) => unitInBrackets(cell) ?? { word: cell, unit: "" });
  const timeAt = heads.findIndex(({ word }) => /time|date/i.test(word));
  const valueAt = heads.findIndex(({ word }, i) => i !== timeAt && /depth|level|pressure|water/i.test(word));
  if (valueAt < 0) {
    problems.push({ where: `${where} line ${lines[headAt]!.line}`, expected: "a column of depth, level or pressure with its unit, such as \"depth [cm]\"", got: describe(lines[headAt]!.text) });
    return null;
  }
  const { word, unit } = heads[valueAt]!;
  const kind = /pressure/i.test(word) ? "pressure" : /level/i.test(word) ? "level" : "depth";
  const length = readQuantity(`1 ${unit}`, "length");
  const size = kind === "pressure" ? (PASCALS[unit.toLowerCase()] ?? NaN) : "value" in length ? length.value : NaN;
  if (Number.isNaN(size)) {
    problems.push({ where: `${where} line ${lines[headAt]!.line}`, expected: kind === "pressure" ? `a unit of pressure, one of ${Object.keys(PASCALS).join(", ")}` : "a unit of length in brackets, such as \"[cm]\"", got: describe(unit) });
    return null;
  }
  const [time, value]: [number[], number[]] = [[], []];
  let [last, zone, repeated, unread, firstUnread, back] = [-Infinity, false, 0, 0, 0, 0];
  for (const each of lines.slice(headAt + 1)) {
    const cells = csvCells(each.text, separator);
    const stamp = timeStamp(cells[timeAt] ?? "", dateOrder);
    const written = (cells[valueAt] ?? "").replace(separator === "," ? /^$/ : ",", ".");
    const number = written === "" ? NaN : Number(written);
    if (stamp === null || (Number.isNaN(number) && !/^(?:|-|na|nan|missing)$/i.test(written))) {
      if (unread++ === 0) firstUnread = each.line;
      continue;
    }
    if (stamp.time <= last) {
      if (repeated++ === 0) back = each.line;
      continue;
    }
    [last, zone] = [stamp.time, zone || stamp.hasZone];
    if (Number.isNaN(number)) continue;
    time.push(stamp.time);
    value.push(number * size);
  }
  if (time.length < FEWEST) {
    problems.push({ where, expected: `${FEWEST} readings or more`, got: `${time.length} that can be used${unread === 0 ? "" : `; ${unread} lines cannot be read, the first line ${firstUnread}`}` });
    return null;
  }
  return {
    time: Float64Array.from(time), value: Float64Array.from(value), kind, hasZone: zone,
    notes: [
      ...(unread === 0 ? [] : [`${unread === 1 ? "One line was" : `${unread} lines were`} not read, the first line ${firstUnread}.`]),
      ...(repeated === 0 ? [] : [`The logger's clock went back at line ${back}: ${repeated === 1 ? "one reading that repeats" : `${repeated} readings that repeat`} a stretch ${repeated === 1 ? "is" : "are"} left out.`]),
    ],
  };
}

const LONGEST_LINE = 1000;
const MOST_PREAMBLE = 60;
const FEWEST = 48;

/** [Pa] */
const PASCALS: Readonly<Record<string, number>> = { pa: 1, hpa: 100, mbar: 100, kpa: 1000, bar: 1e5, psi: 6894.757293168,
  cmh2o: 98.0665, mh2o: 9806.65 };

/** Water at some 10 degC [kg/m3]. */
const WATER = 999.7;

/**
 * Water over the sensor [m]: of a pressure the air's is taken off, by a barometer beside it, straight between its readings; a vented
 * sensor feels none.
 */
export function overSensor({ time, value, kind }: LoggerSeries, barometer: LoggerSeries | null): Float64Array {
  if (kind !== "pressure") return value;
  return value.map((pressure, i) => (pressure - (barometer === null ? 0 : straight(barometer, time[i]!))) / (WATER * GRAVITY));
}

function straight({ time, value }: LoggerSeries, at: number): number {
  const i = firstAfter(time, at);
  if (i === 0) return value[0]!;
  if (i === time.length) return value[i - 1]!;
  const share = (at - time[i - 1]!) / (time[i]! - time[i - 1]!);
  return value[i - 1]! + share * (value[i]! - value[i - 1]!);
}
