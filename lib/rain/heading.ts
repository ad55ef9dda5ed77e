import type { RecordKind } from "./recordColumns.ts";

/** The heading of a record's column: its word in lower case, the unit in it, and all of it as it stands. */
export interface Heading {
  readonly word: string;
  readonly unit: string | null;
  readonly whole: string;
}

/**
 * `Rain [mm]`, `rain_mm` and `rain (mm)` are the word `rain` and the unit `mm`.
 *
 * @example headingOf("Total_Rain (in)"); // => { word: "total rain", unit: "in", whole: "Total_Rain (in)" }
 */
export function headingOf(cell: string): Heading {
  const match = /^(.*?)\s*[[(]\s*([^\])]*?)\s*[\])]$/.exec(cell) ?? /^(.*?)[_ ](mm|cm|m|in|inch|mm\/h|mm\/hr|in\/h|in\/hr)$/i.exec(cell);
  const word = (match?.[1] ?? cell).trim().toLowerCase().replace(/[_\s]+/g, " ");
  return { word, unit: match?.[2] ?? null, whole: cell };
}

interface TimeWord {
  readonly kind?: RecordKind;
  readonly stamp?: "start" | "end";
}

/** Header words for time; `date` and `time` alone do not say what instant they mark. */
export const TIME_WORDS: ReadonlyMap<string, TimeWord> = new Map([
  ["interval start", { stamp: "start" }],
  ["interval end", { stamp: "end" }],
  ["reading time", { kind: "total" }],
  ["tip time", { kind: "tip" }],
]);

/** Header words for rain, and what they hold. */
export const RAIN_WORDS: ReadonlyMap<string, RecordKind> = new Map([["rain", "interval"], ["total rain", "total"], ["intensity", "intensity"]]);
