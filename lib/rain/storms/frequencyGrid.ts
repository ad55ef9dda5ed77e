import { csvCells, separatorOf } from "../record/csvCells.ts";
import { InputError, type Problem } from "../../text/problem.ts";
import type { FrequencyTables } from "./frequencyCsv.ts";
import type { RainfallTable } from "./tableDepth.ts";

/** Durations of the grid's tables, a file each [min]. */
const DURATIONS = [
  5, 10, 15, 20, 30, 45, 60, 90, 120, 180, 240, 360, 540, 720, 1080, 1440, 2880, 4320, 5760, 7200, 8640, 10080,
] as const;

/** A table of the grid: one duration, a line for each cell. */
export interface GridFile {
  /** "StatRR_KOSTRA-DWD-2020_D00060.csv": the source and the minutes */
  readonly name: string;
  readonly text: string;
}

/**
 * The names that `*` may stand for in that of the grid's tables: the minutes of a duration, in four or in five digits.
 *
 * @example gridNames("rain/D*.csv")[1]; // => ["rain/D0010.csv", "rain/D00010.csv"]
 */
export function gridNames(name: string): string[][] {
  return DURATIONS.map((minutes) => [4, 5].map((digits) => name.replace("*", String(minutes).padStart(digits, "0"))));
}

/**
 * What a table of the grid says of one cell: its first line and the cell's own, as they stand there. That much of a file of 16 000 cells
 * goes with a paper.
 */
export function gridCellText(text: string, cell: number): string {
  const lines = text.replace(/^\uFEFF/, "").split(/\r?\n/);
  return `${[lines[0]!, ...lines.slice(1).filter((line) => Number(/^\d+/.exec(line)?.[0] ?? NaN) === cell)].join("\n")}\n`;
}

/**
 * The table of rain of one cell of the German weather service's open grid, out of its CSV tables as published: one file a duration, a line
 * for each cell, a column for each return period.
 *
 *   INDEX_RC;HN_001A;HN_002A;…;HN_100A
 *   49011;15.7;21.0;…;49.8
 *
 * Depths in millimetres, decimal points or commas. Where columns UC_001A … give what the depths are uncertain by, in percent, the ends of
 * that band are tables too. A depth that comes once a year is one of all that pass, not of yearly maxima: the series is a partial-duration
 * one.
 *
 * @param files  two durations or more
 * @param cell   its index INDEX_RC: row and column of the grid
 * @throws InputError  with all that is not there
 * @source  open data of the Deutscher Wetterdienst, to be used by anybody who names that source (its terms of use, by the ordinance
 *          GeoNutzV; later editions CC BY 4.0, as stored copies of 2026 say); the form as in stored copies of the 2010R tables, the
 *          columns UC_… and five digits of minutes as in a stored description of the 2020 ones
 */
export function frequencyGrid(files: readonly GridFile[], cell: number): FrequencyTables {
  const problems: Problem[] = [];
  if (!(Number.isInteger(cell) && cell >= 0)) problems.push({ where: "cell", expected: "the INDEX_RC of a cell, a whole number", got: String(cell), code: "value" });
  const rows = problems.length > 0 ? [] : files.flatMap((file) => rowOf(file, cell, problems));
  if (rows.length < 2 && problems.length === 0) problems.push({ where: "files", expected: "tables of two durations or more", got: String(rows.length), code: "missing" });
  rows.sort((a, b) => a.minutes - b.minutes);
  const years = rows[0]?.years ?? [];
  for (const row of rows) {
    const [expected, got] = [years.join(", "), row.years.join(", ")];
    if (got !== expected) problems.push({ where: row.name, expected: `the return periods ${expected}`, got, code: "value" });
  }
  if (problems.length > 0) throw new InputError("The grid of rain cannot be read:", problems);
  const tableOf = (depth: (row: GridRow, i: number) => number): RainfallTable => ({
    unit: "mm", series: "partial-duration", source: `Deutscher Wetterdienst, ${editionOf(files[0]!.name)}`, place: `cell ${cell} of its grid`,
    returnPeriods: years.map((each) => `${each} year`),
    rows: Object.fromEntries(rows.map((row) => [`${row.minutes} min`, years.map((_, i) => depth(row, i))])),
  });
  const hasBand = rows.every(({ percents }) => percents.length === years.length);
  const end = (side: 1 | -1): RainfallTable | null => (
    hasBand ? tableOf(({ depths, percents }, i) => depths[i]! * (1 + (side * percents[i]!) / 100)) : null);
  return { table: tableOf(({ depths }, i) => depths[i]!), upper: end(1), lower: end(-1) };
}

interface GridRow {
  readonly name: string;
  readonly minutes: number;
  readonly years: readonly number[];
  /** [mm] */
  readonly depths: readonly number[];
  /** none, or one for each depth */
  readonly percents: readonly number[];
}

function rowOf({ name, text }: GridFile, cell: number, problems: Problem[]): GridRow[] {
  const minutes = Number(/_D(\d{4,5})\.\w+$/i.exec(name)?.[1] ?? NaN);
  if (!(minutes > 0)) problems.push({ where: name, expected: "a name that ends in the minutes, such as _D00060.csv", got: name, code: "syntax" });
  const [head, ...lines] = gridCellText(text, cell).trimEnd().split("\n");
  const separator = separatorOf(head!);
  const names = csvCells(head!, separator);
  const columns = (letters: string): { readonly at: number; readonly years: number }[] => names.flatMap((each, at) => {
    const years = new RegExp(`^${letters}_0*(\\d+)A_?$`, "i").exec(each)?.[1];
    return years === undefined ? [] : [{ at, years: Number(years) }];
  });
  const [depthColumns, percentColumns] = [columns("HN"), columns("UC")];
  if (names[0]?.toUpperCase() !== "INDEX_RC" || depthColumns.length === 0) {
    problems.push({ where: `${name}, line 1`, expected: "INDEX_RC and columns of depths such as HN_010A", got: head === "" ? "nothing" : head!.slice(0, 60), code: "syntax" });
    return [];
  }
  if (lines.length !== 1) {
    problems.push({ where: name, expected: `one line of cell ${cell}`, got: String(lines.length), code: "missing" });
    return [];
  }
  const cells = csvCells(lines[0]!, separator).map((each) => Number(each.replace(",", ".")));
  const [depths, percents] = [depthColumns, percentColumns].map((list) => list.map(({ at }) => cells[at] ?? NaN));
  const bad = depths!.findIndex((depth) => !(depth > 0));
  if (bad >= 0) {
    const got = depths![bad]! < 0 ? `${depths![bad]!}, as cells outside the country have it` : String(depths![bad]!);
    problems.push({ where: `${name}, cell ${cell}, ${names[depthColumns[bad]!.at]!}`, expected: "a depth in mm", got, code: "value" });
  }
  const isBand = percents!.length === depths!.length && percents!.every((each) => each >= 0 && each < 100);
  return [{ name, minutes, years: depthColumns.map(({ years }) => years), depths: depths!, percents: isBand ? percents! : [] }];
}

/** "KOSTRA-DWD-2020" of its file's name. */
function editionOf(name: string): string {
  return /([^/\\_]+)_D\d{4,5}\.\w+$/i.exec(name)?.[1] ?? "its grid of rain";
}
