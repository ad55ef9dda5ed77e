import { describe } from "../../text/describe.ts";
import type { Coverage } from "../coverage.ts";
import { intervalRow } from "./intervalRow.ts";
import type { LineReport } from "./lineReport.ts";
import type { RecordColumns, RecordKind } from "./recordColumns.ts";
import type { CheckedRecordOptions } from "./recordOptions.ts";
import { type DateOrder, otherOrders, timeStamp, type TimeStamp } from "./timeStamp.ts";
import { unusableRecord } from "./unusableRecord.ts";

/**
 * Rain, or its mean intensity, in intervals of one length. Where nobody says how long they are, the first lines wait until
 * their distances tell.
 */
function intervalTaker({ columns, settings, sheet, report, notes }: RecordWork): ValueTaker {
  let interval = settings.interval;
  const waiting: Line[] = [];
  const place = ({ time, value, number }: Line, length: number): void => {
    const depth = columns.kind === "intensity" ? value * length : value;
    if (depth > settings.largest(length)) return refuseTooMuch(report, number, depth);
    const start = columns.stamp === "start" ? time : time - length;
    const placed = sheet.add(start, start + length, depth);
    if (placed === "conflict") report.refuse(number, WHY.taken, "");
    else if (placed === "again") report.repair(number, WHY.twice);
    else {
      report.read();
      if (placed === "inserted") report.repair(number, WHY.late);
    }
  };
  const settle = (): void => {
    const length = commonDistance(waiting);
    if (length === null) throw unusableRecord(`the option "interval": "1 h" or the like, as no two lines tell how long the intervals are`, "nothing");
    interval = length;
    notes.push(`Each value counts for ${length / 60} min: most of the first ${waiting.length} lines are that far apart.`);
    waiting.forEach((line) => place(line, length));
  };
  return {
    interval: () => interval,
    take({ time }, value, number) {
      if (interval !== null) return place({ time, value, number }, interval);
      waiting.push({ time, value, number });
      if (waiting.length === FIRST_LINES) settle();
    },
    end() {
      if (interval === null && waiting.length > 0) settle();
    },
  };
}

/** Lines that wait for the length of the intervals to be known. */
const FIRST_LINES = 24;

/** The distance that most neighbours have, of equally common ones the shortest; null where no two times differ. */
function commonDistance(lines: readonly Line[]): number | null {
  const counts = new Map<number, number>();
  for (let i = 1; i < lines.length; i++) {
    // To the millisecond, as sums of days and fractions of a second differ by rounding.
    const distance = Math.round(Math.abs(lines[i]!.time - lines[i - 1]!.time) * 1000) / 1000;
    if (distance > 0) counts.set(distance, (counts.get(distance) ?? 0) + 1);
  }
  const rising = [...counts].sort(([a], [b]) => a - b);
  return rising.reduce<readonly [number | null, number]>((best, one) => (one[1] > best[1] ? one : best), [null, 0])[0];
}

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

/**
 * A counter of all rain so far, read at instants.
 *
 * A reading that falls, or leaps beyond belief, is held in doubt until the next one: if that agrees with the last sure
 * reading, the doubtful one was wrong; if it agrees with the doubtful one, the counter was reset; if it agrees with both, nobody can
 * tell, and the stretch is a gap; if with neither, the doubtful one is refused and the new one is in doubt.
 */
function counterTaker({ settings, sheet, report, notes }: RecordWork): ValueTaker {
  let sure: Line | null = null;
  let doubtful: Line | null = null;
  if (settings.restarts) notes.push("The counter restarts from 0 at times; what fell between its last reading and that is not known.");

  const follows = (from: Line, to: Line): boolean =>
    to.value >= from.value && to.value - from.value <= settings.largest(to.time - from.time);
  const accept = (from: Line | null, to: Line): void => {
    if (from !== null) sheet.add(from.time, to.time, to.value - from.value);
    sure = to;
    doubtful = null;
    report.read();
  };
  const refuse = ({ number, value }: Line, before: Line): void =>
    value < before.value ? report.refuse(number, "a counter that falls", "") : refuseTooMuch(report, number, value - before.value);

  return {
    interval: () => null,
    end() {
      if (doubtful !== null) refuse(doubtful, sure!);
    },
    take({ time }, value, number) {
      const reading = { time, value, number };
      const last: Line | null = doubtful ?? sure;
      if (last !== null && time <= last.time) {
        if (time < last.time) return report.refuse(number, "out of order in a counter", "");
        return value === last.value ? report.repair(number, WHY.twice) : report.refuse(number, WHY.taken, "");
      }
      if (sure === null) return accept(null, reading);
      const before = settings.restarts && value < sure.value ? { ...sure, value: 0 } : sure;
      if (doubtful === null) return follows(before, reading) ? accept(before, reading) : void (doubtful = reading);
      const [wasWrong, wasReset] = [follows(before, reading), follows(doubtful, reading)];
      if (wasWrong || !wasReset) refuse(doubtful, sure);
      if (!wasWrong && !wasReset) doubtful = reading;
      else if (!wasReset) accept(before, reading);
      else if (!wasWrong) {
        report.repair(doubtful.number, "a counter that was reset: what fell before this line is not known");
        report.read();
        accept(doubtful, reading);
      } else {
        report.repair(number, "a counter that was reset or misread: what fell before this line is not known");
        accept(null, reading);
      }
    },
  };
}

/** Tips of a bucket at instants, summed up in intervals of the clock; from the first to the last, silence is dry. */
function tipTaker({ settings, sheet, report, notes }: RecordWork): ValueTaker {
  const interval = settings.interval ?? 300;
  const most = settings.largest(interval);
  /** each tip as an interval of no length */
  const said = intervalRow();
  /** time of the line before, where that counted */
  let last = NaN;
  let [first, end] = [Infinity, -Infinity];
  let sharesMinute = false;
  notes.push(`Tips are counted in intervals of ${interval / 60} min of the clock; silence between them is taken as dry.`);
  return {
    interval: () => interval,
    take({ time, hasSeconds }, value, number) {
      said.seek(time);
      const isSaid = said.before()?.start === time;
      // One second cannot hold two tips. One minute can, but their lines follow one another.
      if (isSaid && (hasSeconds || time !== last)) {
        last = NaN;
        return report.repair(number, WHY.twice);
      }
      const start = Math.floor(time / interval) * interval;
      const sum = sheet.pour(start, start + interval, value, most);
      if (sum > most) return refuseTooMuch(report, number, sum);
      if (said.next() !== null) report.repair(number, WHY.late);
      sharesMinute ||= isSaid;
      said.insert(time, time, value);
      [first, end] = [Math.min(first, start), Math.max(end, start + interval)];
      last = time;
      report.read();
    },
    end() {
      if (end > first) sheet.add(first, end, 0);
      if (sharesMinute) notes.push("Some tips are stamped to the minute and share one; each of them counts.");
    },
  };
}

/** Takes the times and values of a record's lines, as they come, and makes rain of them: one for each kind of record. */
interface ValueTaker {
  /** value [m], for intensities [m/s] */
  readonly take: (stamp: TimeStamp, value: number, number: number) => void;
  readonly end: () => void;
  /** length of the intervals [s]; null if missing */
  readonly interval: () => number | null;
}

/** What it works with. */
interface RecordWork {
  readonly columns: RecordColumns;
  readonly settings: CheckedRecordOptions;
  readonly sheet: Coverage;
  readonly report: LineReport;
  /** a place for what it takes for granted */
  readonly notes: string[];
}

/** A line that had a time and a value. */
interface Line {
  readonly time: number;
  readonly value: number;
  readonly number: number;
}

/** Reasons that several kinds of record give. */
const WHY = {
  taken: "a time that another line has too",
  twice: "said twice, dropped",
  late: "out of order, put in its place",
} as const;

/** Refuses a line whose depth [m] is beyond belief. */
function refuseTooMuch(report: LineReport, number: number, depth: number): void {
  const got = `${Number((depth * 1000).toPrecision(6))} mm`;
  report.refuse(number, "more than can be believed", got, got);
}
