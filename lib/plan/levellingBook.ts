import { solvedFor } from "../numerics/linearEquations.ts";
import { depthText, type UnitSystem } from "../text/format.ts";
import { describe } from "../text/describe.ts";
import { optionReader, type OptionReader } from "../text/optionReader.ts";

/** A levelling book as it was written on site, every figure text with its unit. */
export interface WrittenBook {
  /** level of the point "benchmark" */
  readonly benchmark: string;
  /** other levels that are known for certain: `{ "second benchmark": "168.50 m" }` */
  readonly known?: Readonly<Record<string, string>>;
  /**
   * readings from each place of the instrument, as [point, reading] in the order they were taken. A set-up begins at a point that an
   * earlier
   * one has read; a point read again closes the book. A staff held upside down reads below 0.
   */
  readonly setUps: readonly (readonly (readonly [point: string, reading: string])[])[];
  /** what one reading may be off; a quarter of an inch where missing (6 mm, common practice) */
  readonly readingError?: string;
}

/** A point of the book. */
export interface BookPoint {
  readonly name: string;
  /** adjusted where the book closes, as read where it has nothing to close on or does not [m] */
  readonly level: number;
  /** by its first reading, down the book [m] */
  readonly asRead: number;
}

/** A point that was levelled twice, or is known: what the later reading says over the first level [m]. */
export interface BookClosure {
  readonly point: string;
  /** counted from 1 */
  readonly setUp: number;
  readonly off: number;
}

/** What comes of a levelling book. */
export interface LevellingBook {
  readonly points: readonly BookPoint[];
  /** level of the line of sight of each set-up, as read [m] */
  readonly heightsOfInstrument: readonly number[];
  /** every check that the book holds in itself; none: nothing was read twice */
  readonly closures: readonly BookClosure[];
  /** the largest of them, and what may be off; null if missing [m] */
  readonly closing: { readonly worst: BookClosure; readonly allowed: number; readonly isWithin: boolean } | null;
  /** standard deviation of one reading, from the closures; null without any [m] */
  readonly readingDeviation: number | null;
  /** the same in words */
  readonly note: string;
}

/**
 * Reduces a levelling book: the line of sight of each set-up from a point that is known already, every other level from it, and what the
 * points read twice say of it all.
 *
 *   height of instrument = level + reading,   level = height of instrument - reading
 *
 * Where it closes within what readings may be off, e sqrt(2 n) over n set-ups, it is adjusted by least squares with all readings
 * alike, which in a loop gives each set-up the same share of the closure. Where it does not, nothing is adjusted: somebody misread.
 *
 * @param book   text with units
 * @param units  of the note
 * @throws InputError  with all problems: a set-up that shares no point with those before it among them
 * @source  differential levelling, any text on surveying; equal shares a set-up: common practice
 * @example levellingBook({ benchmark: "50 m", setUps: [[["benchmark", "1.400 m"], ["A", "1.235 m"]]] }).points[1].level; // => 50.165
 */
export function levellingBook(book: WrittenBook, units: UnitSystem = "si"): LevellingBook {
  return reduced(readBook(book), units);
}

interface Sight {
  readonly point: string;
  readonly reading: number;
}

/** The book in SI. */
export interface ReadBook {
  readonly known: ReadonlyMap<string, number>;
  readonly setUps: readonly (readonly Sight[])[];
  readonly readingError: number;
}

/** The reduction of a book that is read already. */
export function reduced({ known, setUps, readingError }: ReadBook, units: UnitSystem): LevellingBook {
  const asRead = new Map(known);
  const closures: BookClosure[] = [];
  const heights = setUps.map((sights, s) => {
    const from = sights.findIndex(({ point }) => asRead.has(point));
    const height = asRead.get(sights[from]!.point)! + sights[from]!.reading;
    sights.forEach(({ point, reading }, i) => {
      const level = height - reading;
      const before = asRead.get(point);
      if (before === undefined) asRead.set(point, level);
      else if (i !== from) closures.push({ point, setUp: s + 1, off: level - before });
    });
    return height;
  });
  const worst = closures.reduce<BookClosure | null>(
    (most, each) => (most === null || Math.abs(each.off) > Math.abs(most.off) ? each : most),
    null,
  );
  const allowed = readingError * Math.sqrt(2 * setUps.length);
  const isWithin = worst !== null && Math.abs(worst.off) <= allowed;
  const adjusted = isWithin ? leastSquares(known, setUps, asRead, heights) : null;
  const points = [...asRead].map(([name, level]) => ({ name, asRead: level, level: adjusted?.levels.get(name) ?? level }));
  const closing = worst === null ? null : { worst, allowed, isWithin };
  return {
    points,
    heightsOfInstrument: heights,
    closures,
    closing,
    readingDeviation: adjusted?.deviation ?? null,
    note: noteOf(closing, setUps.length, units),
  };
}

/** Equal weights; the unknowns are the points that are not known and the line of sight of every set-up. */
function leastSquares(
  known: ReadonlyMap<string, number>,
  setUps: ReadBook["setUps"],
  asRead: ReadonlyMap<string, number>,
  heights: readonly number[],
): { readonly levels: ReadonlyMap<string, number>; readonly deviation: number | null } {
  const free = [...asRead.keys()].filter((name) => !known.has(name));
  const n = free.length + heights.length;
  // corrections to the levels as read: small numbers, solved for by the normal equations
  const normal = Array.from({ length: n }, () => new Array<number>(n).fill(0));
  const right = new Array<number>(n).fill(0);
  const rows = setUps.flatMap((sights, s) =>
    sights.map(({ point, reading }) => ({
      at: free.indexOf(point),
      height: free.length + s,
      off: reading - (heights[s]! - asRead.get(point)!),
    })),
  );
  for (const { at, height, off } of rows) {
    const factors = [[height, 1], ...(at < 0 ? [] : [[at, -1]])] as [number, number][];
    for (const [i, a] of factors) {
      for (const [j, b] of factors) normal[i]![j]! += a * b;
      right[i]! += a * off;
    }
  }
  const corrections = solvedFor(normal, right);
  const left = rows.map(({ at, height, off }) => off - corrections[height]! + (at < 0 ? 0 : corrections[at]!));
  const over = rows.length - n;
  return {
    levels: new Map(free.map((name, i) => [name, asRead.get(name)! + corrections[i]!])),
    deviation: over > 0 ? Math.sqrt(left.reduce((sum, each) => sum + each * each, 0) / over) : null,
  };
}

function noteOf(closing: LevellingBook["closing"], setUps: number, units: UnitSystem): string {
  const places = setUps === 1 ? "one set-up" : `${setUps} set-ups`;
  if (closing === null)
    return `Nothing was read twice, so the book cannot be checked: read the benchmark once more from the last set-up.`;
  const {
    worst: { point, off },
    allowed,
    isWithin,
  } = closing;
  const by = depthText(Math.abs(off), units);
  if (isWithin)
    return `The book closes: “${point}” read again is off by ${by}, and ${depthText(allowed, units)} is allowed over ${places}. The levels are adjusted.`;
  return `The book does not close: “${point}” read again comes out ${by} ${off > 0 ? "higher" : "lower"}, and ${depthText(allowed, units)} is allowed over ${places}.${slipWords(Math.abs(off), allowed, units)} Read again before anything is built on it.`;
}

/** A whole foot, or a whole decimetre, misread is the commonest slip (common practice). */
function slipWords(off: number, allowed: number, units: UnitSystem): string {
  const whole = units === "us" ? 0.3048 : 0.1;
  const times = Math.round(off / whole);
  if (times < 1 || times > 10 || Math.abs(off - times * whole) > allowed) return "";
  const one =
    units === "us"
      ? times === 1
        ? "a whole foot"
        : `${times} whole feet`
      : times === 10
        ? "a whole metre"
        : times === 1
          ? "a whole decimetre"
          : `${times} whole decimetres`;
  return ` That is ${one}: probably one reading was taken down wrong by it.`;
}

function readBook(book: WrittenBook): ReadBook {
  const read = optionReader("levellingBook", book, "The levelling book cannot be reduced:");
  const known = new Map([[BENCHMARK, read.quantity("benchmark", "length")]]);
  if (read.has("known")) {
    const others = read.child("known");
    for (const name of others.keys()) known.set(name, others.quantity(name, "length"));
  }
  const setUps = read.list("setUps", (value, where) => sightsOf(read, value, where));
  checkJoined(read, known, setUps);
  const readingError = read.quantity("readingError", "length", { least: 0, most: 1, missing: READING_ERROR });
  read.done();
  return { known, setUps, readingError };
}

/** The point that every book begins from. */
export const BENCHMARK = "benchmark";

/** A quarter of an inch; common practice [m]. */
export const READING_ERROR = 0.006;

function sightsOf(read: OptionReader, value: unknown, where: string): Sight[] {
  const key = where.slice(read.where.length + 1);
  if (!Array.isArray(value) || value.length < 2) {
    read.problem(key, "a list of two readings or more, each as [point, reading]", describe(value));
    return [];
  }
  return value.map((sight: unknown, i) => {
    const [point, reading] = Array.isArray(sight) ? (sight as unknown[]) : [];
    if (typeof point !== "string" || point.trim() === "")
      read.problem(`${key}[${i}]`, 'a point and its reading, ["lid", "5.12 ft"]', describe(sight));
    return { point: String(point), reading: read.check(`${where}[${i}][1]`, reading, "length", { least: -30, most: 30 }) };
  });
}

/** Each set-up begins from a point that is known by then. */
function checkJoined(read: OptionReader, known: ReadonlyMap<string, number>, setUps: ReadBook["setUps"]): void {
  const seen = new Set(known.keys());
  setUps.forEach((sights, s) => {
    const names = sights.map(({ point }) => point);
    if (names.length > 0 && !names.some((name) => seen.has(name))) {
      read.problem(`setUps[${s}]`, `a reading of a point that is known by then (${[...seen].join(", ")})`, names.join(", "));
    }
    names.forEach((name) => seen.add(name));
  });
}
