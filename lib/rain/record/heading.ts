import { unitInBrackets, type BracketedHeading } from "./unitInBrackets.ts";
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
  const found = unitInBrackets(cell) ?? unitAtEnd(cell);
  const word = (found?.word ?? cell).trim().toLowerCase().replace(/[_\s]+/g, " ");
  return { word, unit: found?.unit ?? null, whole: cell };
}

/** `rain_mm` and `rain mm`. */
function unitAtEnd(cell: string): BracketedHeading | null {
  const at = Math.max(cell.lastIndexOf("_"), cell.lastIndexOf(" "));
  const unit = cell.slice(at + 1);
  return at >= 0 && UNITS_AT_END.has(unit.toLowerCase()) ? { word: cell.slice(0, at), unit } : null;
}

const UNITS_AT_END: ReadonlySet<string> = new Set(["mm", "cm", "m", "in", "inch", "mm/h", "mm/hr", "in/h", "in/hr"]);

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
