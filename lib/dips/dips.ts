import type { Dimension } from "../text/unitTable.ts";
import { describe } from "../text/describe.ts";
import type { OptionReader, Rule } from "../text/optionReader.ts";
import type { Problem } from "../text/problem.ts";
import { dipTable, type DipColumn } from "./dipTable.ts";

/** One look at the water, in texts with units: a time, and the water by one of three ways. */
export interface Dip {
  /** since the hose was opened, or since any moment where there was no hose */
  readonly time: string;
  /** of water over the pit's floor */
  readonly depth?: string;
  /** or the tape: from a mark down to the water; `markLevel` says where the mark is */
  readonly down?: string;
  /** or the level of the water in the site's datum */
  readonly level?: string;
}

/** Dips as a list, or as the text of a table (see `dipTable`), with the level of the mark where the tape hangs from one. */
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

/**
 * Reads the keys `dips` and `markLevel` of an options object. What is wrong goes to the reader, all of it; what could not be
 * read is NaN until its `done` throws.
 *
 * @param floor   of the pit, from which depths are measured [m]
 * @param ground  no water stands above it [m]
 */
export function readDips(read: OptionReader, floor: number, ground: number): Dips {
  const rows = rowsOf(read);
  const anyDown = rows.some(({ column }) => column === "down");
  const mark = anyDown || read.has("markLevel") ? read.quantity("markLevel", "length") : NaN;
  const zero: Readonly<Record<DipColumn, (water: number) => number>> = {
    depth: (water) => floor + water, down: (water) => mark - water, level: (water) => water,
  };
  const time = Float64Array.from(rows, (row) => row.time);
  const level = Float64Array.from(rows, ({ column, water }) => zero[column](water));
  rows.forEach((row, i) => {
    const [below, above] = [level[i]! < floor - SLACK, level[i]! > ground + SLACK];
    if (below || above) row.problem(row.column, `water ${below ? "no deeper than the pit's floor" : "no higher than the ground"}`);
    if (i > 0 && time[i]! <= time[i - 1]!) row.problem("time", "a time after the one before it");
  });
  return { time, level: level.map((water) => Math.max(floor, water)) };
}

/** A tape that touches the floor may read so much past it [m]. */
const SLACK = 0.01;

/** 50 years: as long as anybody looks at a pit. */
const TIME: Rule = { least: 0, most: 1.6e9 };
const LENGTH: Rule = { least: 0, most: 100 };

interface Row {
  readonly column: DipColumn;
  readonly time: number;
  readonly water: number;
  problem(key: string, expected: string): void;
}

function rowsOf(read: OptionReader): Row[] {
  const given = read.raw("dips");
  return typeof given === "string" ? tableRows(read, given) : read.children("dips").map(listRow);
}

function listRow(row: OptionReader): Row {
  const columns = (["depth", "down", "level"] as const).filter((key) => row.has(key));
  if (columns.length > 1) row.problem(columns[1]!, `no ${columns[1]} beside a ${columns[0]}`);
  const column = columns[0] ?? "depth";
  return {
    column,
    time: row.quantity("time", "time", TIME),
    water: row.quantity(column, "length", column === "level" ? {} : LENGTH),
    problem: (key, expected) => row.problem(key, expected),
  };
}

function tableRows(read: OptionReader, text: string): Row[] {
  const where = `${read.where}.dips`;
  const problems: Problem[] = [];
  const { column, rows } = dipTable(text, where, problems);
  problems.forEach((problem) => read.problem(problem.where.slice(read.where.length + 1), problem.expected, problem.got));
  return rows.map(({ line, time, water }) => {
    const figure = (key: string, value: string, dimension: Dimension, rule: Rule): number =>
      read.check(`${where} line ${line}, ${key}`, value, dimension, rule);
    return {
      column,
      time: figure("time", time, "time", TIME),
      water: figure(column, water, "length", column === "level" ? {} : LENGTH),
      problem: (key, expected) => read.problem(`dips line ${line}, ${key}`, expected, describe(key === "time" ? time : water)),
    };
  });
}
