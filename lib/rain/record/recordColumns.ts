import { describe } from "../../text/describe.ts";
import { nearest } from "../../text/nearest.ts";
import { InputError, type Problem } from "../../text/problem.ts";
import { readQuantity } from "../../text/quantity.ts";
import { type BracketedHeading, unitInBrackets } from "./unitInBrackets.ts";

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
  /** number of columns */
  readonly width: number;
  readonly timeColumn: number;
  /** of the time of day, where it stands apart from the date */
  readonly clockColumn: number | null;
  /** null where a tip stands for a fixed depth */
  readonly rainColumn: number | null;
  /** turns the column's numbers into [m] or [m/s] */
  readonly unit: number;
}

/** What the header does not say and the caller does. */
export interface ColumnChoice {
  readonly time: string | null;
  readonly clock: string | null;
  readonly rain: string | null;
  readonly unit: string | null;
  readonly kind: RecordKind | null;
  readonly stamp: "start" | "end" | null;
}

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
  const names = header.map(headingOf);
  if (isForeign(names, choice)) throw foreignHeader(names, choice);
  const timeColumn = columnOf("time", choice.time, names, [...TIME_WORDS.keys()], problems);
  const clockColumn = choice.clock === null ? null : columnOf("clock", choice.clock, names, [], problems);
  const timeWord = TIME_WORDS.get(names[timeColumn]?.word ?? "") ?? {};
  const isTip = choice.kind === "tip" || timeWord.kind === "tip";
  const hasRain = !isTip || choice.rain !== null || names.some(({ word }) => RAIN_WORDS.has(word));
  const rainColumn = hasRain ? columnOf("rain", choice.rain, names, [...RAIN_WORDS.keys()], problems) : null;
  const heading = rainColumn === null ? undefined : names[rainColumn];
  const kind = choice.kind ?? kindOf(names[timeColumn], heading, problems);
  const stamp = choice.stamp ?? timeWord.stamp;
  if (stamp === undefined && (kind === "interval" || kind === "intensity") && timeColumn >= 0) {
    const got = describe(header[timeColumn]);
    problems.push({ where: "header", expected: 'a column "interval start" or "interval end", or the option "stamp": "start" or "end"', got, code: "syntax" });
  }
  const unit = heading === undefined ? 1 : unitOf(heading, choice.unit, kind, problems);
  if (problems.length > 0) throw new InputError("The rain record cannot be read:", problems);
  return { kind, stamp: stamp ?? "end", width: header.length, timeColumn, clockColumn, rainColumn, unit };
}

/** Whether a line has a column of time and so is a header, whatever else is wrong with it. */
export function namesTime(cells: readonly string[], { time }: ColumnChoice): boolean {
  const isTime = ({ word, whole }: Heading): boolean => (
    time === null ? TIME_WORDS.has(word) : whole === time || word === time.toLowerCase()
  );
  return cells.map(headingOf).some(isTime);
}

/** What the time's and the rain's headings say together. A tip has rain of its own, a reading the total of all. */
function kindOf(time: Heading | undefined, rain: Heading | undefined, problems: Problem[]): RecordKind {
  const byTime = TIME_WORDS.get(time?.word ?? "")?.kind;
  const byRain = RAIN_WORDS.get(rain?.word ?? "");
  const [fitting, word] = byTime === "tip" ? ["interval", "rain"] : ["total", "total rain"];
  if (byTime !== undefined && byRain !== undefined && byRain !== fitting) {
    const got = `${describe(time?.whole)} and ${describe(rain?.whole)}`;
    problems.push({ where: "header", expected: `"${word}" beside "${time?.word}", or the option "kind"`, got, code: "syntax" });
  }
  return byTime ?? byRain ?? "interval";
}

function unitOf({ whole, unit }: Heading, chosen: string | null, kind: RecordKind, problems: Problem[]): number {
  const written = chosen ?? unit;
  const one = readQuantity(`1 ${written ?? ""}`, kind === "intensity" ? "speed" : "length");
  if ("value" in one) return one.value;
  const expected = kind === "intensity" ? 'a unit of intensity, as in intensity [mm/h], or the option "unit": "mm/h"' : 'a unit of depth, as in rain [mm], or the option "unit": "mm"';
  problems.push({ where: "header", expected, got: `${describe(whole)}${written === null ? "" : ` with the unit ${describe(written)}`}`, code: "syntax" });
  return NaN;
}

/** The number of the one column that is meant; -1, and a problem, if no column or several are meant. */
function columnOf(
  what: "time" | "clock" | "rain",
  chosen: string | null,
  names: readonly Heading[],
  known: readonly string[],
  problems: Problem[],
): number {
  const isMeant = ({ word, whole }: Heading): boolean =>
    chosen === null ? known.includes(word) : whole === chosen || word === chosen.toLowerCase();
  const found = names.flatMap((name, i) => (isMeant(name) ? [i] : []));
  if (found.length === 1) return found[0]!;
  const wholes = names.map(({ whole }) => whole);
  if (chosen === null) {
    const such = describe(names[found[0] ?? likelyColumn(what, names)]?.whole ?? "");
    const expected = `one column ${known.map((word) => `"${word}"`).join(", ")}, or the option "${what}", such as ${such}`;
    problems.push({ where: "header", expected, got: found.length === 0 ? describe(wholes.join(", ")) : `${found.length} of them`, code: "syntax" });
  } else {
    const meant = found.length === 0 ? nearest(chosen, wholes) : null;
    const expected = `one column of the header${meant === null ? "" : ` (did you mean "${meant}"?)`}`;
    problems.push({ where: what, expected, got: found.length === 0 ? describe(chosen) : `${found.length} of the name ${describe(chosen)}`, code: "syntax" });
  }
  return -1;
}

/** Whether a header has columns of others' words alone, of which the caller says nothing. */
function isForeign(names: readonly Heading[], { time, rain, kind }: ColumnChoice): boolean {
  const isKnown = names.some(({ word }) => TIME_WORDS.has(word) || RAIN_WORDS.has(word));
  return names.length > 1 && !isKnown && time === null && rain === null && kind !== "tip";
}

/** The error of such a header: all that it needs, with what its columns are likely to be. */
function foreignHeader(names: readonly Heading[], choice: ColumnChoice): InputError {
  const hasNumber = names.some(({ whole }) => /^[-+]?[\d.,]+$/.test(whole));
  const expected = hasNumber
    ? 'a header such as "interval end,rain [mm]" above the first line of rain'
    : `columns such as "interval end" and "rain [mm]", or options that say what they are, such as ${likelyOptions(names, choice)} (in a site file beside "file")`;
  const got = describe(names.map(({ whole }) => whole).join(", "));
  return new InputError("The rain record cannot be read:", [{ where: "header", expected, got }]);
}

function likelyOptions(names: readonly Heading[], { unit, stamp }: ColumnChoice): string {
  const rain = names[likelyColumn("rain", names)]!;
  const options: Readonly<Record<string, string>> = {
    time: names[likelyColumn("time", names)]!.whole,
    rain: rain.whole,
    ...(unit === null && rain.unit === null && { unit: "mm" }),
    ...(stamp === null && { stamp: "end" }),
  };
  return Object.entries(options).map(([key, value]) => `"${key}": ${describe(value)}`).join(", ");
}

/** The column that a person most likely means, only ever to be proposed: time mostly comes first, and rain says its name. */
function likelyColumn(what: "time" | "clock" | "rain", names: readonly Heading[]): number {
  if (what !== "rain") return Math.max(0, names.findIndex(({ word }) => !RAIN_WORDS.has(word)));
  const speaking = names.findIndex(({ word, unit }) => unit !== null || /rain|prec|prcp/.test(word));
  const time = likelyColumn("time", names);
  return speaking >= 0 ? speaking : Math.max(0, names.findIndex(({ word }, i) => i !== time && !TIME_WORDS.has(word)));
}

/** The heading of a record's column: its word in lower case, the unit in it, and all of it as it stands. */
interface Heading {
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
const TIME_WORDS: ReadonlyMap<string, TimeWord> = new Map([
  ["interval start", { stamp: "start" }],
  ["interval end", { stamp: "end" }],
  ["reading time", { kind: "total" }],
  ["tip time", { kind: "tip" }],
]);

/** Header words for rain, and what they hold. */
const RAIN_WORDS: ReadonlyMap<string, RecordKind> = new Map([["rain", "interval"], ["total rain", "total"], ["intensity", "intensity"]]);
