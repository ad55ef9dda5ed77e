import { coverage, type Coverage } from "./coverage.ts";
import { csvCells, separatorOf, type Separator } from "./csvCells.ts";
import { eachLine } from "./eachLine.ts";
import { hyetograph, type Hyetograph } from "./hyetograph.ts";
import { lineReport, type LineNote, type LineReport } from "./lineReport.ts";
import { recordColumns } from "./recordColumns.ts";
import { recordOptions, type RecordOptions } from "./recordOptions.ts";
import { RECORD_TAKERS, type RecordWork } from "./recordTakers.ts";
import { timeStamp } from "./timeStamp.ts";
import { unusableRecord } from "./unusableRecord.ts";

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
  /** what the reader took for granted, in plain words */
  readonly notes: readonly string[];
}

/**
 * Reads a record of rain from CSV of any size, once and in order; only the wet intervals are kept.
 *
 * The header names a time column, `interval start`, `interval end`, `reading time` or `tip time`, and a column
 * `rain [mm]`, `total rain [in]` or `intensity [mm/h]`, the unit in brackets; columns of other names, stamps that the
 * header leaves open and other habits are said in the options. Times: see `timeStamp`; with a zone they are brought to UTC,
 * without one they are the clock's, and a file may not mix the two. Lines that start with # are comments.
 *
 * No line is changed or left out silently: one without a value leaves a gap; one below 0, beyond belief (`largest`), without a
 * readable time or in conflict with another is refused; a repeated one is dropped; one out of order is put in its place
 * (not for a counter, whose order is its meaning). A counter that falls leaves a gap. Bucket tips are counted in intervals
 * of the clock, and silence between tips is dry.
 *
 * @param source   pieces of text: a stream of a file (node.js), or a list such as `[text]`
 * @param options  see `RecordOptions`
 * @throws InputError  when the options or the header leave something open, or no line can be used
 */
export async function readRain(
  source: AsyncIterable<string> | Iterable<string>,
  options: RecordOptions = {},
): Promise<RainRecord> {
  const settings = recordOptions(options);
  const report = lineReport();
  const sheet = coverage();
  let separator: Separator = ",";
  let take: LineTaker | null = null;
  await eachLine(source, (line, number) => {
    if (line.trim() === "" || line.startsWith("#")) return;
    if (take === null) {
      separator = settings.separator ?? separatorOf(line);
      const columns = recordColumns(csvCells(line, separator), settings.columns);
      take = lineTaker({ columns, settings, sheet, report, notes: [] });
    } else take.line(csvCells(line, separator), number);
  });
  // The assignment inside the callback is out of the compiler's sight.
  const taker = take as LineTaker | null;
  if (taker === null) throw unusableRecord("a header and lines of rain", "no line");
  taker.end();
  if (sheet.spans().length === 0) {
    const first = report.refused[0];
    throw unusableRecord("a line that can be used", first === undefined ? "none" : `none; line ${first.line}: ${first.why}`);
  }
  return assembled(sheet, taker, report);
}

interface LineTaker {
  readonly line: (cells: readonly string[], number: number) => void;
  readonly end: () => void;
  readonly interval: () => number | null;
  readonly hasZone: () => boolean;
  readonly notes: string[];
}

function lineTaker(work: RecordWork): LineTaker {
  const { columns, settings, report, notes } = work;
  if (columns.rainColumn < 0 && settings.tip === null) {
    throw unusableRecord('the option tip, such as "0.2 mm", or a column of rain', "neither");
  }
  let zone: boolean | null = null;
  const use = RECORD_TAKERS[columns.kind](work);
  return {
    notes,
    interval: use.interval,
    hasZone: () => zone === true,
    end: use.end,
    line(cells, number) {
      const text = cells[columns.timeColumn] ?? "";
      const stamp = timeStamp(text, settings.dateOrder);
      if (stamp === null) return report.refuse(number, "no time that can be read", text);
      if (zone !== null && stamp.hasZone !== zone) {
        return report.refuse(number, stamp.hasZone ? "a zone where the first line has none" : "no zone where the first line has one", text);
      }
      zone ??= stamp.hasZone;
      const value = columns.rainColumn < 0 ? settings.tip : cellValue(cells[columns.rainColumn] ?? "", number, work);
      use.take(stamp.time, value, number);
    },
  };
}

/** The number of a cell in [m] or [m/s]; null, and said in the report, where there is none that can be. */
function cellValue(cell: string, number: number, { columns, settings, report }: RecordWork): number | null {
  // Before it is read as a number: some gauges write -999.
  const isMissing = settings.missing.has(cell.toLowerCase());
  const written = settings.decimalComma ? cell.replace(",", ".") : cell;
  const value = NUMBER.test(written) ? Number(written) : NaN;
  if (isMissing) report.refuse(number, "no value", cell);
  else if (Number.isNaN(value)) report.refuse(number, "no number", cell);
  else if (value < 0) report.refuse(number, "below 0", cell);
  else return value * columns.unit;
  return null;
}

const NUMBER = /^[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d{1,3})?$/;

function assembled(sheet: Coverage, taker: LineTaker, report: LineReport): RainRecord {
  const spans = sheet.spans();
  const origin = spans[0]!.start;
  const last = spans[spans.length - 1]!.end;
  const wet = sheet.wet();
  const time = [0];
  const depth: number[] = [];
  const until = (edge: number, fallen: number): void => {
    if (!(edge - origin > time[time.length - 1]!)) return;
    time.push(edge - origin);
    depth.push(fallen);
  };
  for (const { start, end, depth: fallen } of wet) {
    until(start, 0);
    until(end, fallen);
  }
  until(last, 0);
  const gaps = spans.slice(1).map((span, i) => ({ from: spans[i]!.end - origin, to: span.start - origin }));
  return {
    rain: hyetograph({ time, depth }),
    start: `${new Date(origin * 1000).toISOString().slice(0, 19)}${taker.hasZone() ? "Z" : ""}`,
    interval: taker.interval(),
    linesRead: report.linesRead,
    repaired: report.repaired,
    refused: report.refused,
    counts: report.counts,
    gaps,
    notes: taker.notes,
  };
}
