import type { Coverage } from "../coverage.ts";
import type { LineReport } from "./lineReport.ts";
import type { RecordColumns } from "./recordColumns.ts";
import type { CheckedRecordOptions } from "./recordOptions.ts";
import type { TimeStamp } from "./timeStamp.ts";

/** Takes the times and values of a record's lines, as they come, and makes rain of them: one for each kind of record. */
export interface ValueTaker {
  /** value [m], for intensities [m/s] */
  readonly take: (stamp: TimeStamp, value: number, number: number) => void;
  readonly end: () => void;
  /** length of the intervals [s]; null where there are none */
  readonly interval: () => number | null;
}

/** What it works with. */
export interface RecordWork {
  readonly columns: RecordColumns;
  readonly settings: CheckedRecordOptions;
  readonly sheet: Coverage;
  readonly report: LineReport;
  /** a place for what it takes for granted */
  readonly notes: string[];
}

/** A line that had a time and a value. */
export interface Line {
  readonly time: number;
  readonly value: number;
  readonly number: number;
}

/** Reasons that several kinds of record give. */
export const WHY = {
  taken: "a time that another line has too",
  twice: "said twice, dropped",
  late: "out of order, put in its place",
} as const;

/** Refuses a line whose depth [m] is beyond belief. */
export function refuseTooMuch(report: LineReport, number: number, depth: number): void {
  const got = `${Number((depth * 1000).toPrecision(6))} mm`;
  report.refuse(number, "more than can be believed", got, got);
}
