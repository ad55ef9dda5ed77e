import { describe } from "../../text/describe.ts";
import { counterTaker } from "./counterTaker.ts";
import type { Coverage } from "../coverage.ts";
import { intervalTaker } from "./intervalTaker.ts";
import type { LineReport } from "./lineReport.ts";
import type { RecordColumns, RecordKind } from "./recordColumns.ts";
import type { CheckedRecordOptions } from "./recordOptions.ts";
import { otherOrders, timeStamp, type DateOrder } from "./timeStamp.ts";
import { tipTaker } from "./tipTaker.ts";
import { unusableRecord } from "./unusableRecord.ts";
import type { RecordWork, ValueTaker } from "./valueTaker.ts";

/** Takes the lines below a header, cell by cell, as they come. */
export interface LineTaker {
  readonly line: (cells: readonly string[], number: number) => void;
  readonly end: () => void;
  /** what came of them; of use after the end */
  readonly interval: () => number | null;
  readonly hasZone: () => boolean;
  readonly notes: readonly string[];
}

/**
 * Makes times and values of the cells, hands them to the taker of the record's kind, and refuses what is neither.
 *
 * @throws InputError  when there is neither a rain column nor the depth of a tip
 */
export function lineTaker(columns: RecordColumns, settings: CheckedRecordOptions, sheet: Coverage, report: LineReport): LineTaker {
  const { width, timeColumn, clockColumn, rainColumn } = columns;
  if (rainColumn === null && settings.tip === null) {
    throw unusableRecord('the option tip, such as "0.2 mm", or a column of rain', "neither");
  }
  const notes: string[] = [];
  const taker = TAKERS[columns.kind]({ columns, settings, sheet, report, notes });
  let zone: boolean | null = null;
  let decimalComma = settings.decimalComma;
  return {
    notes,
    interval: taker.interval,
    hasZone: () => zone === true,
    end: taker.end,
    line(cells, number) {
      // A decimal comma in a file that is parted by commas would otherwise be read as a whole number and a cell too many.
      if (cells.length > width && cells.slice(width).some((cell) => cell !== "")) {
        const got = `${cells.length} cells`;
        return report.refuse(number, "more cells than the header", got, got);
      }
      const date = cells[timeColumn] ?? "";
      const text = clockColumn === null ? date : `${date} ${cells[clockColumn] ?? ""}`;
      const stamp = timeStamp(text, settings.dateOrder);
      if (stamp === null) return report.refuse(number, "no time that can be read", text, timeSaid(text, settings.dateOrder));
      if (zone !== null && stamp.hasZone !== zone) {
        return report.refuse(number, stamp.hasZone ? "a zone where the first line has none" : "no zone where the first line has one", text);
      }
      zone ??= stamp.hasZone;
      const cell = rainColumn === null ? "" : (cells[rainColumn] ?? "");
      if (decimalComma === null) {
        decimalComma = usesComma(cell);
        if (decimalComma === true) notes.push(`The comma is the decimal sign, as in ${describe(cell)} of line ${number}.`);
      }
      const value = rainColumn === null ? settings.tip : cellValue(cell, number, columns.unit, decimalComma === true, settings, report);
      if (value !== null) taker.take(stamp, value, number);
    },
  };
}

const TAKERS: Readonly<Record<RecordKind, (work: RecordWork) => ValueTaker>> = {
  interval: intervalTaker,
  intensity: intervalTaker,
  total: counterTaker,
  tip: tipTaker,
};

/** A text that is no time, and the option that would make it one. */
function timeSaid(text: string, order: DateOrder): string | undefined {
  const others = otherOrders(text, order).map((other) => `"${other}"`);
  return others.length === 0 ? undefined : `${describe(text)}: give "dateOrder": ${others.join(" or ")}`;
}

/** Whether the decimal sign of a number is a comma; null where it has none. */
function usesComma(cell: string): boolean | null {
  const sign = /^[-+]?\d*([.,])\d+$/.exec(cell)?.[1];
  return sign === undefined ? null : sign === ",";
}

/** The value of a cell in SI; null if the cell is refused, which the report then says. */
function cellValue(
  cell: string, number: number, unit: number, decimalComma: boolean, settings: CheckedRecordOptions, report: LineReport,
): number | null {
  // Before it is read as a number: some gauges write -999.
  const isMissing = settings.missing.has(cell.toLowerCase());
  const value = isMissing ? NaN : numberOf(cell, decimalComma);
  if (isMissing) report.refuse(number, "no value", cell);
  else if (!Number.isFinite(value)) report.refuse(number, "no number", cell, numberSaid(cell, settings));
  else if (value < 0) report.refuse(number, "below 0", cell);
  else return value * unit;
  return null;
}

/** A cell that would be a number if its comma were a decimal sign. */
function numberSaid(cell: string, { decimalComma }: CheckedRecordOptions): string | undefined {
  return decimalComma === false && usesComma(cell) === true ? `${describe(cell)}: for a decimal comma give "decimalComma": true` : undefined;
}

/** NaN if the cell is no number. With a decimal comma a dot may be a thousands separator, so a cell with a dot is refused. */
function numberOf(cell: string, decimalComma: boolean): number {
  const written = decimalComma ? cell.replace(/[.,]/g, (sign) => (sign === "," ? "." : "?")) : cell;
  return NUMBER.test(written) ? Number(written) : NaN;
}

const NUMBER = /^[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d{1,3})?$/;
