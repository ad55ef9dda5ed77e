import { availableParallelism } from "node:os";
import { rowQuery, type RowAnswer } from "../node/rowQuery.ts";
import { csvCell } from "../text/csvCell.ts";
import { describe } from "../text/describe.ts";
import { visible } from "../text/words.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { mergeRows } from "../node/mergeRows.ts";
import { UserFault } from "../node/userFault.ts";
import { shownUrl } from "../node/redis.ts";
import { thisBuild } from "../node/thisBuild.ts";
import { workOn } from "../node/workOn.ts";
import { limitOf, type ManyOptions } from "./manyMachines.ts";

/** Rows of an answer that a terminal is shown. */
const SHOWN = 60;
/** Columns of a table that are printed. */
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

const SHARE = /\.share-\d+-of-\d+\.csv$/;

/**
 * Joins the shares of studies: those of one study become the file that one machine would have made, beside them. Several studies
 * are distinguished by their names.
 *
 * @param words  paths of shares, `<name>.share-2-of-8.csv`
 * @returns      the exit status: 1 where a study could not be joined; the others still are
 */
export function runMerge(words: readonly string[], _folder: string, console: Console): Promise<number> {
  const strange = words.find((word) => !SHARE.test(word));
  if (words.length === 0 || strange !== undefined) {
    console.err(
      `merge: expected shares of a study, such as out/street-runs.share-1-of-4.csv, got ${strange === undefined ? "nothing" : describe(strange)}\n`,
    );
    return Promise.resolve(1);
  }
  const studies = new Map<string, string[]>();
  for (const word of new Set(words)) {
    const whole = word.replace(SHARE, ".csv");
    studies.set(whole, [...(studies.get(whole) ?? []), word]);
  }
  let status = 0;
  for (const [into, paths] of studies) {
    try {
      const sizes = new Set(paths.map((path) => /-of-(\d+)\.csv$/.exec(path)![1]));
      if (sizes.size > 1)
        throw new UserFault(`merge: expected shares of one division, got some of ${[...sizes].join(" and some of ")}`, "rows");
      const rows = mergeRows(paths, into);
      console.out(`${rows} rows of ${paths.length} ${paths.length === 1 ? "share" : "shares"}\n${into}\n`);
    } catch (error) {
      status = 1;
      console.err(`${faultText(into, error)}\n`);
    }
  }
  return Promise.resolve(status);
}

/**
 * Makes rows that a queue asks for until it is stopped: Ctrl-C lets it finish what is under way.
 *
 * @returns  the exit status: 1 where the queue cannot be worked on
 */
export async function runWork(
  words: readonly string[],
  _folder: string,
  console: Console,
  asked: ManyOptions & { readonly stop: () => AbortSignal; readonly threads?: string | undefined },
): Promise<number> {
  if (words.length > 0 || asked.queue === undefined) {
    console.err(
      `work: expected the URL of a queue, soakstep work --queue redis://host:6379, got ${words.length === 0 ? "nothing" : words.map(describe).join(", ")}\n`,
    );
    return 1;
  }
  try {
    const threads = threadsOf(asked.threads);
    const signal = asked.stop();
    let rows = 0;
    let told = Date.now();
    const worker = await workOn(asked.queue, {
      threads,
      limit: limitOf(asked.rowLimit),
      onMade: (made) => {
        rows += made;
        if (Date.now() - told < TELLS_MS) return;
        told = Date.now();
        console.err(`… ${rows} rows made\n`);
      },
      onServer: (isThere) => {
        console.err(isThere ? "the queue's server is there again\n" : "the queue's server is away; waiting for it\n");
      },
    });
    console.out(
      `working on ${shownUrl(asked.queue)} with ${worker.threads} ${worker.threads === 1 ? "thread" : "threads"}, ${thisBuild()}; Ctrl-C stops after what is under way\n`,
    );
    await new Promise<void>((done) => {
      signal.addEventListener("abort", () => {
        done();
      });
    });
    await worker.close();
    console.out(`stopped, ${rows} rows made\n`);
    return 0;
  } catch (error) {
    console.err(`${faultText("work", error)}\n`);
    return 1;
  }
}

const TELLS_MS = 30_000;

function threadsOf(text: string | undefined): number {
  if (text === undefined) return availableParallelism();
  const threads = Number(text);
  if (Number.isInteger(threads) && threads >= 1 && threads <= 1024) return threads;
  throw new UserFault(`--threads: expected a whole number from 1 to 1024, got ${describe(text)}`);
}
