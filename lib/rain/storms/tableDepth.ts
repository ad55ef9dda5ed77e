import { exponential, logarithm } from "../../numerics/powers.ts";
import { greatestOf, leastOf } from "../../numerics/extremes.ts";
import { straightThrough } from "../../numerics/straightThrough.ts";
import { YEAR } from "../../text/unitTable.ts";
import { InputError } from "../../text/problem.ts";
import { readQuantity } from "../../text/quantity.ts";
import type { DepthDuration } from "./depthDuration.ts";
import type { OptionReader } from "../../text/optionReader.ts";

/** What a return period is of. */
export type RainfallSeries = "annual-maximum" | "partial-duration";

/**
 * An intensity-duration-frequency or depth-duration-frequency table, typed as it was published: the unit once, a row for
 * each duration, a column for each return period.
 *
 *   { unit: "in/hr", returnPeriods: ["2 year", "10 year"], rows: { "5 min": [5, 7], "10 min": [4, 5.6] } }
 */
export interface RainfallTable {
  /** of every number in the rows; a speed makes it a table of intensities, a length one of depths */
  readonly unit: string;
  readonly returnPeriods: readonly string[];
  /** by duration; numbers above 0, one for each return period */
  readonly rows: Readonly<Record<string, readonly number[]>>;
  /** what its return periods are of: the largest of each year, or all that pass; "annual-maximum" where missing */
  readonly series?: RainfallSeries;
  /** who published it, for where, and when it was read: shown beside all that is made of it */
  readonly source?: string;
  readonly place?: string;
  readonly date?: string;
  /** lets the first and last straight piece go on beyond the table; default false, which refuses */
  readonly extrapolate?: boolean;
}

/**
 * Depth by duration out of a table: straight lines in the logarithms of depth and duration, and between return periods in
 * the logarithms of depth and return period.
 *
 * @param table    reader on the table
 * @param options  reader on what asks for it; its `returnPeriod` may be missing where the table has only one
 * @source  log-log interpolation, common practice
 */
export function tableDepth(table: OptionReader, options: OptionReader): DepthDuration {
  const periods = table.list("returnPeriods", (value, where) => table.check(where, value, "time", { above: 0 }));
  const extrapolate = table.flag("extrapolate", false);
  table.word("series", ["annual-maximum", "partial-duration"], "annual-maximum");
  for (const key of ["source", "place", "date"]) if (table.has(key) && typeof table.raw(key) !== "string") table.problem(key, "text");
  const unit = table.raw("unit");
  const isIntensity = "value" in readQuantity(`1 ${String(unit)}`, "speed");
  const isDepth = "value" in readQuantity(`1 ${String(unit)}`, "length");
  if (!isIntensity && !isDepth) table.problem("unit", 'a unit of intensity such as "in/hr" or of depth such as "mm"');
  const rows = readRows(table, periods.length, isIntensity ? "speed" : "length", String(unit));
  refuseFalling(table, rows, periods);
  const onlyOne = periods.length === 1 && !options.has("returnPeriod");
  const period = onlyOne ? periods[0]! : options.quantity("returnPeriod", "time", { above: 0 });
  if (!extrapolate && Number.isFinite(period)) refuseOutside(options, period, periods);
  const durations = rows.map((row) => logarithm(row.duration));
  const depths = rows.map((row) => straightThrough(periods.map(logarithm), row.depths.map(logarithm), logarithm(period)));
  return (duration) => {
    const [shortest, longest] = [rows[0]!.duration, rows[rows.length - 1]!.duration];
    const isInside = duration >= shortest * (1 - 1e-12) && duration <= longest * (1 + 1e-12);
    if (!extrapolate && !isInside) throw outOfTable(table.where, duration, shortest, longest);
    return exponential(straightThrough(durations, depths, logarithm(duration)));
  };
}

interface Row {
  readonly name: string;
  readonly duration: number;
  /** [m], one for each return period */
  readonly depths: readonly number[];
}

function readRows(table: OptionReader, columns: number, dimension: "speed" | "length", unit: string): Row[] {
  const given = table.raw("rows");
  if (typeof given !== "object" || given === null || Array.isArray(given) || Object.keys(given).length === 0) {
    table.problem("rows", 'an object of rows by duration, { "5 min": [5, 7], ... }');
    return [];
  }
  const rows = Object.entries(given).map(([name, cells]): Row => {
    const where = `${table.where}.rows["${name}"]`;
    const duration = table.check(where, name, "time", { above: 0 });
    const list: unknown[] = Array.isArray(cells) ? cells : [];
    if (list.length !== columns) {
      table.problem(`rows["${name}"]`, `as many numbers as return periods (${columns})`, `${list.length}`);
    }
    const depths = list.map((cell, i) => {
      if (typeof cell !== "number" || !(cell > 0 && cell < Infinity)) {
        table.problem(`rows["${name}"][${i}]`, "a number above 0", String(cell));
        return NaN;
      }
      const value = table.check(`${where}[${i}]`, `${cell} ${unit}`, dimension);
      return dimension === "speed" ? value * duration : value;
    });
    return { name, duration, depths };
  });
  // A row whose duration could not be read has been refused, and has no place among the others.
  return rows.filter(({ duration }) => duration > 0).sort((a, b) => a.duration - b.duration);
}

/** More time and a rarer storm bring more rain; a slip of the pen mostly does not. */
function refuseFalling(table: OptionReader, rows: readonly Row[], periods: readonly number[]): void {
  for (let j = 1; j < periods.length; j++) {
    if (periods[j]! <= periods[j - 1]!) {
      table.problem(`returnPeriods[${j}]`, `longer than ${years(periods[j - 1]!)}`, years(periods[j]!));
    }
  }
  rows.forEach(({ name, duration, depths }, i) => {
    if (i > 0 && duration === rows[i - 1]!.duration) table.problem(`rows["${name}"]`, "each duration once", `also "${rows[i - 1]!.name}"`);
    depths.forEach((depth, j) => {
      const cell = `rows["${name}"][${j}]`;
      const shorter = rows[i - 1]?.depths[j];
      if (shorter !== undefined && depth < shorter) {
        table.problem(cell, `no less depth than in "${rows[i - 1]!.name}" (${millimetres(shorter)})`, millimetres(depth));
      }
      const commoner = depths[j - 1];
      if (commoner !== undefined && depth < commoner) {
        table.problem(cell, `no less than at the return period before (${millimetres(commoner)})`, millimetres(depth));
      }
    });
  });
}

function refuseOutside(options: OptionReader, period: number, periods: readonly number[]): void {
  const [first, last] = [leastOf(periods), greatestOf(periods)];
  if (period >= first * (1 - 1e-12) && period <= last * (1 + 1e-12)) return;
  options.problem("returnPeriod", `${years(first)} to ${years(last)}, or the table's extrapolate: true`);
}

function outOfTable(where: string, duration: number, shortest: number, longest: number): InputError {
  const expected = `a duration from ${minutes(shortest)} to ${minutes(longest)}, or extrapolate: true`;
  return new InputError("The rainfall table does not cover the storm:", [{ where, expected, got: minutes(duration) }]);
}

function years(time: number): string {
  return `${Number((time / YEAR).toPrecision(6))} year`;
}

function minutes(time: number): string {
  return `${Number((time / 60).toPrecision(6))} min`;
}

function millimetres(depth: number): string {
  return `${Number((depth * 1000).toPrecision(4))} mm`;
}
