import { coverage, type Coverage } from "../coverage.ts";
import { dryBetween } from "../dryBetween.ts";
import type { Hyetograph } from "../hyetograph.ts";
import { csvCells, type Separator, separatorOf } from "./csvCells.ts";
import { type LineNote, lineReport } from "./lineReport.ts";
import { lineTaker, type LineTaker } from "./lineTaker.ts";
import { namesTime, recordColumns } from "./recordColumns.ts";
import { recordOptions, type RecordOptions } from "./recordOptions.ts";
import { unusableRecord } from "./unusableRecord.ts";

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
