import { rowQuery, type RowAnswer } from "../node/rowQuery.ts";
import { csvCell } from "../text/csvCell.ts";
import { describe } from "../text/describe.ts";
import { visible } from "../text/words.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";

/** Rows of an answer that a terminal is shown. */
const SHOWN = 60;
/** Columns of a table that are told. */
const TOLD = 40;
/** Widest cell of a table in a terminal. */
const WIDEST = 40;

/**
 * Answers a question in SQL about the rows that lie in the folder: a table in the terminal, or with `--csv` every row of the answer as CSV.
 *
 * @param words  the question; without one the tables that there are, and their columns
 * @returns      the exit status: 1 where there is no answer
 */
export async function runRows(
  words: readonly string[],
  folder: string,
  console: Console,
  { csv }: { readonly csv: boolean },
): Promise<number> {
  const [sql, from = folder, ...rest] = words;
  if (rest.length > 0) {
    console.err(`rows: expected a question in quotes, and perhaps a folder of rows, got ${words.map(describe).join(", ")}\n`);
    return 1;
  }
  try {
    const rows = await rowQuery(from);
    try {
      if (sql === undefined) {
        for (const { name, from: path } of rows.tables) {
          const { columns } = await rows.ask(`select * from "${name}" limit 0`);
          console.out(
            `${name} (${path})\n  ${columns.slice(0, TOLD).join(", ")}${columns.length > TOLD ? ` and ${columns.length - TOLD} more` : ""}\n`,
          );
        }
        return 0;
      }
      const answer = await rows.ask(sql);
      await (csv ? writeCsv(answer, console) : writeTable(answer, console));
      return 0;
    } finally {
      rows.close();
    }
  } catch (error) {
    console.err(`${faultText("rows", error)}\n`);
    return 1;
  }
}

async function writeCsv({ columns, blocks }: RowAnswer, console: Console): Promise<void> {
  const cell = (value: unknown): string => csvCell(wordOf(value));
  console.out(`${columns.map(cell).join(",")}\n`);
  for await (const block of blocks) console.out(`${block.map((row) => `${row.map(cell).join(",")}\n`).join("")}`);
}

async function writeTable({ columns, blocks }: RowAnswer, console: Console): Promise<void> {
  const shown: (readonly unknown[])[] = [];
  let count = 0;
  for await (const block of blocks) {
    for (const row of block.slice(0, Math.max(0, SHOWN - shown.length))) shown.push(row);
    count += block.length;
  }
  const cells = shown.map((row) => row.map((value) => shortened(shownNumber(value))));
  const heads = columns.map(shortened);
  const widths = heads.map((head, c) => cells.reduce((most, row) => Math.max(most, row[c]!.length), head.length));
  const isNumber = heads.map((_, c) => shown.every((row) => row[c] === null || typeof row[c] === "number" || typeof row[c] === "bigint"));
  const line = (row: readonly string[]): string =>
    row
      .map((text, c) => (isNumber[c] ? text.padStart(widths[c]!) : text.padEnd(widths[c]!)))
      .join("  ")
      .trimEnd();
  console.out(`${[line(heads), line(widths.map((width) => "-".repeat(width))), ...cells.map(line)].join("\n")}\n`);
  if (count > shown.length) console.out(`${shown.length} of ${count} rows; --csv writes all of them\n`);
}

/** Every digit of a number is in the CSV; a table shows seven. */
function shownNumber(value: unknown): string {
  return typeof value === "number" && !Number.isInteger(value) ? String(Number(value.toPrecision(7))) : wordOf(value);
}

function wordOf(value: unknown): string {
  if (value === null || value === undefined) return "";
  if (typeof value === "string" || typeof value === "number" || typeof value === "bigint" || typeof value === "boolean") return String(value);
  return value instanceof Date ? value.toISOString() : JSON.stringify(value, (_, part: unknown) => (typeof part === "bigint" ? String(part) : part));
}

function shortened(text: string): string {
  const seen = visible(text);
  return seen.length > WIDEST ? `${seen.slice(0, WIDEST - 1)}…` : seen;
}
