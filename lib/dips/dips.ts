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

/** Dips with what else stands on their page; times on the page's own axis [s]. */
export interface DipsPage extends Dips {
  readonly from: TimesFrom;
  readonly opened: number | null;
  readonly shut: number | null;
  /** of the hose [m3/s] */
  readonly flow: number | null;
}

/**
 * Reads the keys `dips` and `markLevel` of an options object. What is wrong goes to the reader, all of it; what could not be
 * read is NaN until its `done` throws.
 *
 * @param floor   of the pit, from which depths are measured [m]
 * @param ground  no water stands above it [m]
 */
export function readDips(read: OptionReader, floor: number, ground: number): DipsPage {
  const page = pageOf(read);
  const { rows, column } = page;
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
  const { from, opened, shut, flow } = page;
  return { time, level: level.map((water) => Math.max(floor, water)), from, opened, shut, flow };
}

/** A tape that touches the floor may read so much past it [m]. */
const SLACK = 0.01;

/** 50 years: as long as anybody looks at a pit [s]. */
const LONGEST = 1.6e9;
const LENGTH: Rule = { least: 0, most: 100 };

interface Row {
  readonly column: DipColumn;
  readonly time: number;
  readonly water: number;
  problem(key: string, expected: string): void;
}

interface Page extends Omit<DipsPage, "time" | "level"> {
  readonly rows: readonly Row[];
  readonly column: DipColumn;
  readonly mark: number | null;
}

function pageOf(read: OptionReader): Page {
  const given = read.raw("dips");
  return typeof given === "string" ? notebookPage(read, given) : listedPage(read);
}

function listedPage(read: OptionReader): Page {
  const given = read.children("dips").map((row) => {
    const columns = (["depth", "down", "level"] as const).filter((key) => row.has(key));
    if (columns.length > 1) row.problem(columns[1]!, `no ${columns[1]} beside a ${columns[0]}`);
    const column = columns[0] ?? "depth";
    const text = row.raw("time");
    const written = typeof text === "string" ? writtenTime(text, "", false) : null;
    if (written === null) row.problem("time", 'a time such as "20 min", "1h40" or "8:15 AM"');
    return {
      column, written, water: row.quantity(column, "length", column === "level" ? {} : LENGTH),
      problem: (key: string, expected: string): void => row.problem(key, expected),
    };
  });
  const { axis, kind, faults } = onOneAxis(given.map(({ written }) => written));
  faults.forEach(({ at, expected }) => given[at]!.problem("time", expected));
  return {
    rows: given.map((row, i) => ({ ...row, time: axis[i]! })), from: kind === "clock" ? "clock" : "first",
    column: given.some(({ column }) => column === "down") ? "down" : "depth", opened: null, shut: null, flow: null, mark: null,
  };
}

function notebookPage(read: OptionReader, text: string): Page {
  const where = `${read.where}.dips`;
  const problems: Problem[] = [];
  const page = readNotebook(text, where, problems);
  problems.forEach((problem) => read.problem(problem.where.slice(read.where.length + 1), problem.expected, problem.got));
  return {
    ...page,
    rows: page.rows.map(({ line, time, water, cells }) => ({
      column: page.column, time, water,
      problem: (key, expected) => read.problem(`dips line ${line}, ${key}`, expected, describe(cells[key === "time" ? 0 : 1])),
    })),
  };
}
