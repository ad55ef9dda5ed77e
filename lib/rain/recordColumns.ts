import { describe } from "../units/describe.ts";
import { nearest } from "../units/nearest.ts";
import { InputError, type Problem } from "../units/problem.ts";
import { readQuantity } from "../units/quantity.ts";

/** What a line of a record says about rain. */
export type RecordKind =
  /** rain in an interval, its stamp at the interval's start or end */
  | "interval"
  /** a counter of all rain so far, read at an instant */
  | "total"
  /** mean intensity in an interval */
  | "intensity"
  /** the tip of a bucket at an instant */
  | "tip";

/** Where a record's columns stand and what they mean. */
export interface RecordColumns {
  readonly kind: RecordKind;
  readonly stamp: "start" | "end";
  readonly timeColumn: number;
  /** -1 where a tip stands for a fixed depth */
  readonly rainColumn: number;
  /** turns the column's numbers into [m] or [m/s] */
  readonly unit: number;
}

/** What the header does not say and the caller does. */
export interface ColumnChoice {
  readonly time: string | null;
  readonly rain: string | null;
  readonly unit: string | null;
  readonly kind: RecordKind | null;
  readonly stamp: "start" | "end" | null;
}

/** Header words for time; `date` and `time` alone do not say what instant they mark. */
const TIME_WORDS: Readonly<Record<string, { readonly kind?: RecordKind; readonly stamp?: "start" | "end" }>> = {
  "interval start": { stamp: "start" },
  "interval end": { stamp: "end" },
  "reading time": { kind: "total" },
  "tip time": { kind: "tip" },
};

/** Header words for rain. */
const RAIN_WORDS: Readonly<Record<string, RecordKind>> = { rain: "interval", "total rain": "total", intensity: "intensity" };

/**
 * Finds out what the columns of a record are, from its header and what the caller adds to it.
 *
 * Header words: `interval start`, `interval end`, `reading time`, `tip time` for the time, `rain [mm]`, `total rain [in]`,
 * `intensity [mm/h]` for the rain, underscores and any case allowed, the unit in brackets or after an underscore. Columns
 * of other names are found by `time` and `rain` of the choice. Nothing is guessed: what stays open is a problem.
 *
 * @throws InputError  with all that stays open
 */
export function recordColumns(header: readonly string[], choice: ColumnChoice): RecordColumns {
  const problems: Problem[] = [];
  const names = header.map((cell) => ({ ...splitUnit(cell), whole: cell }));
  const timeColumn = columnOf("time", choice.time, names, Object.keys(TIME_WORDS), problems);
  const timeWord = TIME_WORDS[names[timeColumn]?.word ?? ""] ?? {};
  const needsRain = choice.rain !== null || !(choice.kind === "tip" || timeWord.kind === "tip") || names.some(({ word }) => word in RAIN_WORDS);
  const rainColumn = needsRain ? columnOf("rain", choice.rain, names, Object.keys(RAIN_WORDS), problems) : -1;
  const rainWord = RAIN_WORDS[names[rainColumn]?.word ?? ""];
  const kind = choice.kind ?? timeWord.kind ?? rainWord ?? "interval";
  const stamp = choice.stamp ?? timeWord.stamp;
  if (stamp === undefined && (kind === "interval" || kind === "intensity") && timeColumn >= 0) {
    const got = `"${header[timeColumn]}"`;
    problems.push({ where: "header", expected: 'a column "interval start" or "interval end", or the option stamp', got });
  }
  const written = choice.unit ?? names[rainColumn]?.unit ?? null;
  const dimension = kind === "intensity" ? "speed" : "length";
  const unit = rainColumn < 0 ? { value: 1 } : readQuantity(`1 ${written ?? ""}`, dimension);
  if (!("value" in unit) && rainColumn >= 0) {
    const expected = kind === "intensity" ? "a unit of intensity, as in intensity [mm/h]" : "a unit of depth, as in rain [mm]";
    problems.push({ where: "header", expected, got: `"${header[rainColumn]}"${written === null ? "" : ` with the unit "${written}"`}` });
  }
  if (problems.length > 0) throw new InputError("The rain record cannot be read:", problems);
  return { kind, stamp: stamp ?? "end", timeColumn, rainColumn, unit: "value" in unit ? unit.value : NaN };
}

interface Heading {
  readonly word: string;
  readonly unit: string | null;
  readonly whole: string;
}

/** `Rain [mm]`, `rain_mm` and `rain (mm)` are the word `rain` and the unit `mm`. */
function splitUnit(cell: string): { word: string; unit: string | null } {
  const match = /^(.*?)\s*[[(]\s*([^\])]*?)\s*[\])]$/.exec(cell) ?? /^(.*?)[_ ](mm|cm|m|in|inch|mm\/h|mm\/hr|in\/h|in\/hr)$/i.exec(cell);
  const word = (match?.[1] ?? cell).trim().toLowerCase().replace(/[_\s]+/g, " ");
  return { word, unit: match?.[2] ?? null };
}

function columnOf(
  what: "time" | "rain",
  chosen: string | null,
  names: readonly Heading[],
  known: readonly string[],
  problems: Problem[],
): number {
  const words = names.map(({ word }) => word);
  if (chosen !== null) {
    const at = names.findIndex(({ word, whole }) => whole === chosen || word === chosen.toLowerCase());
    if (at < 0) {
      const meant = nearest(chosen, names.map(({ whole }) => whole));
      const expected = `a column of the header${meant === null ? "" : ` (did you mean "${meant}"?)`}`;
      problems.push({ where: what, expected, got: describe(chosen) });
    }
    return at;
  }
  const found = known.filter((word) => words.includes(word));
  if (found.length === 1) return words.indexOf(found[0]!);
  const list = known.map((word) => `"${word}"`).join(", ");
  const got = found.length === 0 ? describe(names.map(({ whole }) => whole).join(", ")) : `${found.length} of them`;
  problems.push({ where: "header", expected: `one column ${list}, or the option ${what}`, got });
  return -1;
}
