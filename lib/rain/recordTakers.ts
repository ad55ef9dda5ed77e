import type { Coverage } from "./coverage.ts";
import type { LineReport } from "./lineReport.ts";
import type { RecordColumns, RecordKind } from "./recordColumns.ts";
import type { CheckedRecordOptions } from "./recordOptions.ts";
import { unusableRecord } from "./unusableRecord.ts";

/** What the reading of one record works with. */
export interface RecordWork {
  readonly columns: RecordColumns;
  readonly settings: CheckedRecordOptions;
  readonly sheet: Coverage;
  readonly report: LineReport;
  readonly notes: string[];
}

/** Takes the times and values of a record's lines, as they come. */
export interface ValueTaker {
  /** value null: a line that has a time and nothing else to believe */
  readonly take: (time: number, value: number | null, number: number) => void;
  readonly end: () => void;
  readonly interval: () => number | null;
}

type MakeTaker = (work: RecordWork) => ValueTaker;

/** How the lines of each kind of record become rain. */
export const RECORD_TAKERS: Readonly<Record<RecordKind, MakeTaker>> = {
  interval: intervals,
  intensity: intervals,
  total: counter,
  tip: tips,
};

function intervals({ columns, settings, sheet, report, notes }: RecordWork): ValueTaker {
  let interval = settings.interval;
  let waiting: { time: number; value: number | null; number: number } | null = null;
  const place = (time: number, value: number | null, number: number, length: number): void => {
    if (value === null) return;
    const depth = columns.kind === "intensity" ? value * length : value;
    if (depth > settings.largest(length)) return report.refuse(number, TOO_MUCH, millimetres(depth));
    const start = columns.stamp === "start" ? time : time - length;
    const placed = sheet.add(start, start + length, depth);
    if (placed === "conflict") report.refuse(number, "a time that another line has too", "");
    else if (placed === "again") report.repair(number, "said twice, dropped");
    else {
      report.read();
      if (placed === "inserted") report.repair(number, "out of order, put in its place");
    }
  };
  return {
    interval: () => interval,
    take(time, value, number) {
      if (interval !== null) return place(time, value, number, interval);
      if (waiting === null) {
        waiting = { time, value, number };
        return;
      }
      if (time === waiting.time) return report.refuse(number, "the first line's time again", "");
      interval = Math.abs(time - waiting.time);
      notes.push(`The intervals are taken as ${interval / 60} min long, as the first two lines are that far apart.`);
      place(waiting.time, waiting.value, waiting.number, interval);
      place(time, value, number, interval);
    },
    end() {
      if (interval === null && waiting !== null) throw unusableRecord("the option interval, as there is one line only", "nothing");
    },
  };
}

function counter({ settings, sheet, report }: RecordWork): ValueTaker {
  let last: { time: number; total: number } | null = null;
  return {
    interval: () => null,
    end: () => undefined,
    take(time, total, number) {
      if (total === null) return;
      if (last === null) last = { time, total };
      else if (time < last.time) return report.refuse(number, "out of order in a counter", "");
      else if (time === last.time) {
        if (total !== last.total) return report.refuse(number, "a time that another line has too", "");
        return report.repair(number, "said twice, dropped");
      } else if (total < last.total) {
        report.repair(number, "the counter fell: what fell before this line is not known");
        last = { time, total };
      } else if (total - last.total > settings.largest(time - last.time)) {
        return report.refuse(number, TOO_MUCH, millimetres(total - last.total));
      } else {
        sheet.add(last.time, time, total - last.total);
        last = { time, total };
      }
      report.read();
    },
  };
}

function tips({ settings, sheet, report, notes }: RecordWork): ValueTaker {
  const interval = settings.interval ?? 300;
  let last = -Infinity;
  let lastValue = NaN;
  let [first, end] = [Infinity, -Infinity];
  notes.push(`Tips are counted in intervals of ${interval / 60} min of the clock; silence between them is taken as dry.`);
  return {
    interval: () => interval,
    take(time, value, number) {
      if (value === null) return;
      if (time === last && value === lastValue) return report.repair(number, "said twice, dropped");
      if (value > settings.largest(interval)) return report.refuse(number, TOO_MUCH, millimetres(value));
      if (time < last) report.repair(number, "out of order, put in its place");
      const start = Math.floor(time / interval) * interval;
      sheet.pour(start, start + interval, value);
      [first, end] = [Math.min(first, start), Math.max(end, start + interval)];
      [last, lastValue] = [time, value];
      report.read();
    },
    end() {
      if (end > first) sheet.add(first, end, 0);
    },
  };
}

const TOO_MUCH = "more than can be believed";

function millimetres(depth: number): string {
  return `${Number((depth * 1000).toPrecision(6))} mm`;
}
