import { describe } from "../../text/describe.ts";
import { InputError } from "../../text/problem.ts";
import { coverage, type Coverage } from "../coverage.ts";
import { dryBetween } from "../dryBetween.ts";
import type { Hyetograph } from "../hyetograph.ts";
import { csvCells, type Separator, separatorOf } from "./csvCells.ts";
import { intervalRow } from "./intervalRow.ts";
import { type LineNote, lineReport, type LineReport } from "./lineReport.ts";
import { namesTime, recordColumns, type RecordColumns, type RecordKind } from "./recordColumns.ts";
import { type CheckedRecordOptions, recordOptions, type RecordOptions } from "./recordOptions.ts";
import { type DateOrder, otherOrders, timeStamp, type TimeStamp } from "./timeStamp.ts";

/** Longer than any line of a rain record [characters]; a file without line ends must not fill the memory. */
const LONGEST_LINE = 10_000;

/**
 * Hands on the lines of a text that comes in pieces, without their line ends; a byte order mark is dropped.
 *
 * @param source  pieces of any size, a line may run over several
 * @param take    is called with every line and its number from 1; a line past `LONGEST_LINE` comes cut one past it
 */
async function eachLine(
  source: AsyncIterable<string> | Iterable<string>,
  take: (line: string, number: number) => void,
): Promise<void> {
  let rest = "";
  let number = 0;
  const hand = (line: string): void => {
    number++;
    const text = (line.endsWith("\r") ? line.slice(0, -1) : line).slice(0, LONGEST_LINE + 1);
    take(number === 1 && text.startsWith("\ufeff") ? text.slice(1) : text, number);
  };
  for await (const piece of source) {
    let from = 0;
    for (let end = piece.indexOf("\n"); end >= 0; end = piece.indexOf("\n", from)) {
      hand(rest === "" ? piece.slice(from, end) : rest + piece.slice(from, end));
      rest = "";
      from = end + 1;
    }
    if (rest.length <= LONGEST_LINE) rest += piece.slice(from, from + LONGEST_LINE + 1);
  }
  if (rest !== "") hand(rest);
}

/** A record of rain, and all that was done to its lines. */
export interface RainRecord {
  /** from the first interval to the last; dry stretches are one interval each, gaps count as dry */
  readonly rain: Hyetograph;
  /** when the first interval starts, `2012-01-01T00:00:00`, with a Z where the stamps name a zone */
  readonly start: string;
  /** length of the intervals [s]; null for a counter, which is read when it is read */
  readonly interval: number | null;
  /** lines that count as rain or dry weather */
  readonly linesRead: number;
  /** lines that were used otherwise than written: put in their place, dropped as said twice, ... */
  readonly repaired: readonly LineNote[];
  /** lines that were not used, and why */
  readonly refused: readonly LineNote[];
  /** how many there were of each kind, also of those past the 10 000 that are listed */
  readonly counts: Readonly<Record<string, number>>;
  /** stretches without a line, from and to [s] after the start; no rain is assumed in them */
  readonly gaps: readonly { readonly from: number; readonly to: number }[];
  /** all of this in plain words, and what the reader took for granted */
  readonly notes: readonly string[];
}

/**
 * Reads a record of rain from CSV of any size, once and in order; only the wet intervals are kept.
 *
 * The header names a time column, `interval start`, `interval end`, `reading time` or `tip time`, and a column
 * `rain [mm]`, `total rain [in]` or `intensity [mm/h]`, the unit in brackets; columns of other names, stamps that the
 * header leaves open and other habits are said in the options. Times: see `timeStamp`; with a zone they are brought to UTC,
 * without one they are the clock's, and a file may not mix the two (a clock put forward for summer leaves a gap, and one put
 * back an hour that two lines claim). Lines that start with # are comments; up to 60 lines before the header, which is the first with a
 * column of time, are passed over and counted.
 *
 * No line is changed or left out silently: one without a value leaves a gap; one below 0, beyond belief (`largest`), without a
 * readable time, with more cells than the header or in conflict with another is refused; a repeated one is dropped; one out of
 * order is put in its place (not for a counter, whose order is its meaning). A counter that falls or leaps leaves a gap, unless
 * the next reading shows that only that one was wrong. Bucket tips are counted in intervals of the clock, and silence between
 * tips is dry.
 *
 * @param source   the text, or pieces of it: a list, a stream of a file (`readRainFile` of soakstep/node)
 * @param options  see `RecordOptions`
 * @throws InputError  when the options or the header leave something open, or no line can be used
 */
export async function readRain(
  source: string | AsyncIterable<string> | Iterable<string>,
  options: RecordOptions = {},
): Promise<RainRecord> {
  const settings = recordOptions(options);
  const report = lineReport();
  const sheet = coverage();
  let separator: Separator = ",";
  let taker = null as LineTaker | null;
  let first = null as string[] | null;
  let preamble = 0;
  await eachLine(typeof source === "string" ? [source] : source, (line, number) => {
    if (line.trim() === "" || line.startsWith("#")) return;
    if (line.length > LONGEST_LINE) report.refuse(number, `longer than ${LONGEST_LINE} characters`, line);
    else if (taker !== null) taker.line(csvCells(line, separator), number);
    else {
      if (line.includes("\0")) throw unusableRecord("text in UTF-8", "other bytes, as of UTF-16 or of a spreadsheet's own format");
      separator = settings.separator ?? separatorOf(line);
      const cells = csvCells(line, separator);
      first ??= cells;
      if (!namesTime(cells, settings.columns)) {
        // what is no header in all of a gauge's preamble is refused for its first line
        if (++preamble > LONGEST_PREAMBLE) recordColumns(first, settings.columns);
        return;
      }
      const columns = recordColumns(cells, settings.columns);
      // Where a comma parts the cells it is no decimal sign unless somebody says so.
      const decimalComma = settings.decimalComma ?? (separator === ";" ? null : false);
      taker = lineTaker(columns, { ...settings, decimalComma }, sheet, report);
    }
  });
  if (taker === null && first !== null) recordColumns(first, settings.columns);
  if (taker === null) throw unusableRecord("a header and lines of rain", "no line");
  taker.end();
  const { linesRead, repaired, refused, counts, sentences } = report.summary();
  if (sheet.spans.count === 0) throw unusableRecord("lines that can be used", ["none", ...sentences].join("; "));
  const { origin, rain, gaps } = consecutive(sheet);
  return {
    rain,
    start: `${new Date(origin * 1000).toISOString().slice(0, 19)}${taker.hasZone() ? "Z" : ""}`,
    interval: taker.interval(),
    linesRead,
    repaired,
    refused,
    counts,
    gaps,
    notes: [...preambleNotes(preamble), ...taker.notes, ...sentences, ...gapNotes(gaps)],
  };
}

/** Lines that a gauge's file may have before its header. */
const LONGEST_PREAMBLE = 60;

function preambleNotes(lines: number): string[] {
  return lines === 0 ? [] : [lines === 1 ? "One line before the header was passed over." : `${lines} lines before the header were passed over.`];
}

/** The sheet as one row of intervals from its first moment, the origin [s since 1970], to its last. */
function consecutive({ spans, wet }: Coverage): { origin: number; rain: Hyetograph; gaps: RainRecord["gaps"] } {
  const gaps: { from: number; to: number }[] = [];
  let [origin, end] = [NaN, NaN];
  spans.forEach((span) => {
    if (Number.isNaN(origin)) origin = span.start;
    else gaps.push({ from: end - origin, to: span.start - origin });
    end = span.end;
  });
  const rain = dryBetween(0, end - origin, (take) => wet.forEach((one) => take(one.start - origin, one.end - origin, one.depth)));
  return { origin, rain, gaps };
}

function gapNotes(gaps: RainRecord["gaps"]): string[] {
  if (gaps.length === 0) return [];
  const hours = gaps.reduce((sum, { from, to }) => sum + (to - from), 0) / 3600;
  const stretches = gaps.length === 1 ? "One stretch has" : `${gaps.length} stretches have`;
  return [`${stretches} no line, ${Number(hours.toPrecision(4))} h in all; no rain is assumed there.`];
}

/**
 * The moment at which a record of rain starts, on the clock it was written by [s since 1970].
 *
 * @param start  as `RainRecord.start`
 * @example momentOf("1970-01-02T00:00:00"); // => 86400
 */
export function momentOf(start: string): number {
  return Date.parse(hasZoneOf(start) ? start : `${start}Z`) / 1000;
}

/** Whether a record's start names a zone. */
export function hasZoneOf(start: string): boolean {
  return start.endsWith("Z");
}

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
interface LineTaker {
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
function lineTaker(columns: RecordColumns, settings: CheckedRecordOptions, sheet: Coverage, report: LineReport): LineTaker {
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

/** The error of a record that cannot be read as a whole. */
function unusableRecord(expected: string, got: string): InputError {
  return new InputError("The rain record cannot be read:", [{ where: "record", expected, got, code: "syntax" }]);
}
