import { separatorOf, type Separator } from "../rain/record/csvCells.ts";
import { unitInBrackets } from "../rain/record/unitInBrackets.ts";
import type { Problem } from "../text/problem.ts";

/** How a dip says where the water stands. */
export type DipColumn = "depth" | "down" | "level";

/** A table of dips as texts with units, each with the line it came from. */
export interface DipTable {
  readonly column: DipColumn;
  readonly rows: readonly { readonly line: number; readonly time: string; readonly water: string }[];
}

/**
 * The rows of a table of dips in text or CSV, parted by tabs, semicolons or commas. A first line names the columns, `time` and
 * one of `depth`, `down` and `level`, with the unit where the figures below have none: `time (min), depth (in)`. Without
 * such a line the columns are time and depth. Other named columns are remarks and not read; so are empty lines and what
 * begins with `#`.
 *
 * @param where     the place of the text, for a problem
 * @param problems  gets what is wrong with the table as such; figures are not read here
 */
export function dipTable(text: string, where: string, problems: Problem[]): DipTable {
  const lines = text.replace(/^\ufeff/, "").split(/\r?\n/).map((line, i) => ({ line: i + 1, text: line.trim() }))
    .filter((line) => line.text !== "" && !line.text.startsWith("#"));
  const first = lines[0];
  if (first === undefined) {
    problems.push({ where, expected: "a line for each dip", got: "none" });
    return { column: "depth", rows: [] };
  }
  const separator = separatorOf(first.text);
  const heads = cellsOf(first.text, separator).map(head);
  const headed = heads.some(({ word }) => word === "time");
  const columns = headed ? columnsOf(heads, `${where} line ${first.line}`, problems) : BARE;
  if (columns === null) return { column: "depth", rows: [] };
  const { time, water, column } = columns;
  const rows = lines.slice(headed ? 1 : 0).map((line) => {
    const cells = cellsOf(line.text, separator);
    const cell = ({ at, unit }: Place): string => withUnit(cells[at] ?? "", unit);
    return { line: line.line, time: cell(time), water: cell(water) };
  });
  return { column, rows };
}

/** A quote begins a quoted cell only where the cell does: after a figure it is the mark of inches. */
function cellsOf(line: string, separator: Separator): string[] {
  const cells: string[] = [];
  for (let rest: string | null = line; rest !== null;) {
    const quoted = QUOTED.exec(rest);
    const after: string = quoted === null ? rest : rest.slice(quoted[0].length);
    const end = after.indexOf(separator);
    cells.push(quoted === null ? (end < 0 ? after : after.slice(0, end)).trim() : quoted[1]!.replace(/""/g, '"'));
    rest = end < 0 ? null : after.slice(end + 1);
  }
  return cells;
}

// Plain runs and doubled quotes in turn, so that a cell without its closing quote is gone over once; a tab round it may part cells.
const QUOTED = /^ *"([^"]*(?:""[^"]*)*)" */;

interface Head {
  readonly word: string;
  readonly unit: string;
}

interface Place {
  readonly at: number;
  readonly unit: string;
}

interface Columns {
  readonly time: Place;
  readonly water: Place;
  readonly column: DipColumn;
}

const BARE: Columns = { time: { at: 0, unit: "" }, water: { at: 1, unit: "" }, column: "depth" };

const WATER: readonly DipColumn[] = ["depth", "down", "level"];

/** `Depth (in)`, `depth [in]` and `depth_in` are the word `depth` and the unit `in`. */
function head(cell: string): Head {
  const bracketed = unitInBrackets(cell);
  const found = bracketed !== null && /^\w+$/.test(bracketed.word) ? bracketed : unitAfterLine(cell);
  return { word: (found?.word ?? cell).toLowerCase(), unit: found?.unit ?? "" };
}

/** `depth_in` */
function unitAfterLine(cell: string): Head | null {
  const [word = "", unit = "", ...rest] = cell.split("_", 3);
  return rest.length === 0 && /^[a-z]+$/i.test(word) && /^[a-z]+$/i.test(unit) ? { word, unit } : null;
}

function columnsOf(heads: readonly Head[], where: string, problems: Problem[]): Columns | null {
  const found = WATER.filter((column) => heads.some(({ word }) => word === column));
  if (found.length !== 1) {
    const got = found.length === 0 ? `columns ${heads.map(({ word }) => `"${word}"`).join(", ")}` : found.join(" and ");
    problems.push({ where, expected: "one column of depth, down or level beside time", got });
    return null;
  }
  const place = (wanted: string): Place => {
    const at = heads.findIndex(({ word }) => word === wanted);
    return { at, unit: heads[at]!.unit };
  };
  return { time: place("time"), water: place(found[0]!), column: found[0]! };
}

/** A figure that has its own unit keeps it; letters and the marks of feet and inches say so. */
function withUnit(cell: string, unit: string): string {
  return unit === "" || /[a-z'"′″’”]/i.test(cell) ? cell : `${cell} ${unit}`;
}
