import { readNotebook, type DipColumn, type TimesFrom } from "../dips/notebook.ts";
import { onOneAxis, writtenTime } from "../dips/writtenTime.ts";
import { describe } from "../text/describe.ts";
import type { OptionReader, Rule } from "../text/optionReader.ts";
import type { Problem } from "../text/problem.ts";

/** One look at the water, in texts with units: a time, and the water by one of three ways. */
export interface Dip {
  /** `20 min` or `1h40` since the hose was opened, or since any moment where there was no hose; or by the clock, `8:15 AM` */
  readonly time: string;
  /** of water over the pit's floor */
  readonly depth?: string;
  /** or the tape: from a mark down to the water; `markLevel` says where the mark is */
  readonly down?: string;
  /** or the level of the water in the site's datum */
  readonly level?: string;
  /** where it was dipped; the pit where missing */
  readonly body?: string;
}

/**
 * Dips as a list, or as the text of a page of a notebook (see `readNotebook`), with the level of the mark where the tape hangs from one.
 */
export interface DipsGiven {
  readonly dips: readonly Dip[] | string;
  /** of the mark that `down` is measured from, in the site's datum */
  readonly markLevel?: string;
}

/** Dips as read: times rise [s], levels in the site's datum [m]. */
export interface Dips {
  readonly time: Float64Array;
  readonly level: Float64Array;
}

/** What stands on a page of dips besides them; times on the page's own axis [s]. */
export interface PageFacts {
  readonly from: TimesFrom;
  /** whether its clock shows by an hour of 24 or by its dates that it has no halves of the day */
  readonly shows24: boolean;
  readonly opened: number | null;
  readonly shut: number | null;
  /** of the hose [m3/s] */
  readonly flow: number | null;
}

/** Dips of the pit with what else stands on their page. */
export interface DipsPage extends Dips, PageFacts {}

/** A dip as it is written, on the page's own axis [s], the water [m] as its column has it. */
export interface DipRow {
  readonly column: DipColumn;
  readonly time: number;
  readonly water: number;
  /** as written, "" where it is not */
  readonly body: string;
  problem(key: string, expected: string): void;
}

/** All dips of a page, of whatever body. */
export interface DipRows extends PageFacts {
  readonly rows: readonly DipRow[];
  /** "down" where any dip hangs from a mark */
  readonly column: DipColumn;
  /** level of the mark [m] where the page tells it */
  readonly mark: number | null;
}

/**
 * Reads the keys `dips` and `markLevel` of an options object. What is wrong goes to the reader, all of it; what could not be
 * read is NaN until its `done` throws.
 *
 * @param floor   of the pit, from which depths are measured [m]
 * @param ground  no water stands above it [m]
 */
export function readDips(read: OptionReader, floor: number, ground: number): DipsPage {
  const page = readDipRows(read);
  const { rows, column } = page;
  rows.filter(({ body }) => !PIT.test(body)).forEach((row) => row.problem("body", 'a dip of the pit; of works that fail, beside "storm" or "hose", box and trench are dipped too'));
  const needsMark = column === "down" && page.mark === null;
  const mark = needsMark || read.has("markLevel") ? read.quantity("markLevel", "length") : (page.mark ?? NaN);
  const zero: Readonly<Record<DipColumn, (water: number) => number>> = {
    depth: (water) => floor + water, down: (water) => mark - water, level: (water) => water,
  };
  const time = Float64Array.from(rows, (row) => row.time);
  const level = Float64Array.from(rows, (row) => zero[row.column](row.water));
  rows.forEach((row, i) => {
    const [below, above] = [level[i]! < floor - SLACK, level[i]! > ground + SLACK];
    if (below || above) row.problem(row.column, `water ${below ? "no deeper than the pit's floor" : "no higher than the ground"}`);
    if (i > 0 && time[i]! <= time[i - 1]!) row.problem("time", "a time after the one before it");
    if (time[i]! - time[0]! > LONGEST) row.problem("time", "a time within 50 years of the first");
  });
  const { from, shows24, opened, shut, flow } = page;
  return { time, level: level.map((water) => Math.max(floor, water)), from, shows24, opened, shut, flow };
}

/** What a person calls the pit, or leaves out. */
export const PIT: RegExp = /^(?:the )?(?:pit|bank|chambers?|chamberBank)?$/i;

/** A tape that touches the floor may read so much past it [m]. */
const SLACK = 0.01;

/** 50 years: as long as anybody looks at a pit [s]. */
const LONGEST = 1.6e9;
const LENGTH: Rule = { least: 0, most: 100 };

/** Reads the key `dips`, a list or a page; what could not be read is NaN until the reader's `done` throws. */
export function readDipRows(read: OptionReader): DipRows {
  const given = read.raw("dips");
  return typeof given === "string" ? notebookPage(read, given) : listedPage(read);
}

function listedPage(read: OptionReader): DipRows {
  const given = read.children("dips").map((row) => {
    const columns = (["depth", "down", "level"] as const).filter((key) => row.has(key));
    if (columns.length > 1) row.problem(columns[1]!, `no ${columns[1]} beside a ${columns[0]}`);
    const column = columns[0] ?? "depth";
    const text = row.raw("time");
    const written = typeof text === "string" ? writtenTime(text, "", false) : null;
    if (written === null) row.problem("time", 'a time such as "20 min", "1h40" or "8:15 AM"');
    const where = row.raw("body");
    if (where !== undefined && typeof where !== "string") row.problem("body", "the name of a body, a text");
    return {
      column, written, body: typeof where === "string" ? where : "", water: row.quantity(column, "length", column === "level" ? {} : LENGTH),
      problem: (key: string, expected: string): void => row.problem(key, expected),
    };
  });
  const { axis, kind, shows24, faults } = onOneAxis(given.map(({ written }) => written));
  faults.forEach(({ at, expected }) => given[at]!.problem("time", expected));
  return {
    rows: given.map((row, i) => ({ ...row, time: axis[i]! })), from: kind === "clock" ? "clock" : "first", shows24,
    column: given.some(({ column }) => column === "down") ? "down" : "depth", opened: null, shut: null, flow: null, mark: null,
  };
}

function notebookPage(read: OptionReader, text: string): DipRows {
  const where = `${read.where}.dips`;
  const problems: Problem[] = [];
  const page = readNotebook(text, where, problems);
  problems.forEach((problem) => read.problem(problem.where.slice(read.where.length + 1), problem.expected, problem.got));
  return {
    ...page,
    rows: page.rows.map(({ line, time, water, body, cells }) => ({
      column: page.column, time, water, body,
      problem: (key, expected) => read.problem(`dips line ${line}, ${key}`, expected, describe(key === "body" ? body : cells[key === "time" ? 0 : 1])),
    })),
  };
}
