import { worldsGreatest } from "../storms/worldsGreatest.ts";
import { optionReader } from "../../text/optionReader.ts";
import type { Separator } from "./csvCells.ts";
import type { ColumnChoice, RecordKind } from "./recordColumns.ts";
import { DATE_ORDERS, type DateOrder } from "./timeStamp.ts";

/** What a record's header does not say. Quantities are text with a unit. */
export interface RecordOptions {
  /** name of the time column, if it is not a word known here */
  readonly time?: string;
  /** name of the column of the time of day, where date and time stand apart */
  readonly clock?: string;
  /** name of the rain column, if it is not a word known here */
  readonly rain?: string;
  /** of the rain column, where the header has none */
  readonly unit?: string;
  /** what the rain column holds, where its name does not say so; default "interval" */
  readonly kind?: RecordKind;
  /** which end of its interval a stamp marks */
  readonly stamp?: "start" | "end";
  /** length of the intervals; default the distance that most of the first 24 lines have, for tips "5 min" */
  readonly interval?: string;
  /** depth of one tip, where there is no rain column */
  readonly tip?: string;
  /** whether a counter restarts from 0 at times, as one of the day's rain; default false: one that falls leaves a gap */
  readonly restarts?: boolean;
  /**
   * highest mean intensity that is believed; default the envelope of the world's rain, 421.6 mm (D / 1 h)^0.475 in a
   * duration D (WMO Guide to Hydrological Practices, from memory)
   */
  readonly largest?: string;
  /** default "year-month-day" */
  readonly dateOrder?: DateOrder;
  /** words that stand for no value, beside empty, "NA", "NaN", "-" and "missing" */
  readonly missing?: readonly string[];
  /** "0,2" is a fifth; default false, and where semicolons part the cells what the first number with a sign shows */
  readonly decimalComma?: boolean;
  /** default by the header */
  readonly separator?: Separator;
}

/** The same, checked and in SI. */
export interface CheckedRecordOptions {
  readonly columns: ColumnChoice;
  readonly interval: number | null;
  readonly tip: number | null;
  readonly restarts: boolean;
  /** most that is believed [m] in a duration [s] */
  readonly largest: (duration: number) => number;
  readonly dateOrder: DateOrder;
  readonly missing: ReadonlySet<string>;
  /** null where nobody said it */
  readonly decimalComma: boolean | null;
  readonly separator: Separator | null;
}

/**
 * @param where  how the options are called in an error
 * @throws InputError  with all problems
 */
export function recordOptions(options: RecordOptions, where = "readRain"): CheckedRecordOptions {
  const read = optionReader(where, options, "The rain record cannot be read:");
  const text = (key: "time" | "clock" | "rain" | "unit"): string | null => {
    const value = read.raw(key);
    if (value !== undefined && typeof value !== "string") read.problem(key, "text");
    return typeof value === "string" ? value : null;
  };
  const checked = {
    columns: {
      time: text("time"),
      clock: text("clock"),
      rain: text("rain"),
      unit: text("unit"),
      kind: read.has("kind") ? read.word("kind", ["interval", "total", "intensity", "tip"]) : null,
      stamp: read.has("stamp") ? read.word("stamp", ["start", "end"]) : null,
    },
    interval: read.has("interval") ? read.quantity("interval", "time", { above: 0 }) : null,
    tip: read.has("tip") ? read.quantity("tip", "length", { above: 0 }) : null,
    restarts: read.flag("restarts", false),
    largest: read.has("largest") ? steady(read.quantity("largest", "speed", { above: 0 })) : worldsGreatest,
    dateOrder: read.word("dateOrder", DATE_ORDERS, "year-month-day"),
    missing: new Set(["", "na", "nan", "-", "missing"]),
    decimalComma: read.has("decimalComma") ? read.flag("decimalComma", false) : null,
    separator: read.has("separator") ? read.word("separator", [",", ";", "\t"]) : null,
  };
  if (read.has("missing")) {
    read.list("missing", (word, where) => {
      if (typeof word === "string") checked.missing.add(word.toLowerCase());
      else read.problem(where.slice(read.where.length + 1), "text", String(word));
    });
  }
  read.done();
  return checked;
}

function steady(intensity: number): (duration: number) => number {
  return (duration) => intensity * duration;
}
