import { createHash } from "node:crypto";
import { closeSync, existsSync, ftruncateSync, mkdirSync, openSync, readFileSync, renameSync, writeFileSync, writeSync } from "node:fs";
import { dirname } from "node:path";
import { parse } from "csv-parse/sync";
import { stringify } from "csv-stringify/sync";
import type { Column } from "../study/cases.ts";
import type { RowStore, Rows } from "../study/runStudy.ts";
import { casesOf, type Study } from "../study/study.ts";
import { UserFault } from "./userFault.ts";

/**
 * Opens the CSV file that the rows of a study stream into, a line a case, as soon as they are made and so in no certain order;
 * the case's number comes first. Beside it lies `<path>.study` with the fingerprint of the study, so that an interrupted study goes
 * on where it was and rows of another one are never taken for its own. A number is written so that it reads back to the last bit;
 * an empty cell is an answer that the case does not have. A last line cut short by a crash is dropped.
 *
 * @throws UserFault  when there are rows of another study at that place, or it cannot be written
 */
export function studyFile(path: string, study: Study): RowStore {
  const { columns, count } = casesOf(study);
  const heads = ["case", ...columns.map(headOf)];
  const fingerprint = fingerprintOf(study);
  const note = `${path}.study`;
  const isThere = existsSync(path);
  if (isThere) checkFingerprint(path, note, fingerprint);
  mkdirSync(dirname(path), { recursive: true });
  if (!isThere) {
    writeFileSync(note, `${fingerprint}\n`, { flush: true });
    writeFileSync(path, stringify([heads]), { flush: true });
  }
  const { made, length } = readRows(path, heads, count);
  const file = openSync(path, "r+");
  ftruncateSync(file, length);
  let end = length;

  return {
    made,
    add(rows) {
      const text = stringify(linesOf(rows, columns.length));
      writeSync(file, text, end);
      end += Buffer.byteLength(text);
    },
    finish({ values }) {
      const part = `${path}.part`;
      writeFileSync(part, stringify([heads]) + stringify(linesOf({ from: 0, values }, columns.length)), { flush: true });
      renameSync(part, path);
    },
    close() {
      closeSync(file);
    },
  };
}

/** `emitterVolume [m3]`, `stopped` */
function headOf({ name, unit }: Column): string {
  return unit === "" ? name : `${name} [${unit}]`;
}

function linesOf({ from, values }: Rows, width: number): string[][] {
  return Array.from({ length: values.length / width }, (_, i) => [
    String(from + i), ...Array.from(values.subarray(i * width, (i + 1) * width), (value) => (Number.isNaN(value) ? "" : String(value))),
  ]);
}

/** The rows of whole lines, and where those end. */
function readRows(path: string, heads: readonly string[], count: number): { readonly made: readonly Rows[]; readonly length: number } {
  const text = readFileSync(path, "utf8");
  const whole = text.slice(0, text.lastIndexOf("\n") + 1);
  const [first = [], ...lines]: string[][] = parse(whole, { relax_column_count: true });
  if (first.join() !== heads.join()) throw new UserFault(`${path}: expected the columns ${heads.join(", ")}, got ${first.join(", ") || "none"}`);
  const made = lines.map((cells, i): Rows => {
    const from = Number(cells[0]);
    const values = Float64Array.from(cells.slice(1), (cell) => (cell === "" ? NaN : Number(cell)));
    if (cells.length === heads.length && Number.isInteger(from) && from >= 0 && from < count) return { from, values };
    throw new UserFault(`${path}: line ${i + 2}: expected a case of this study with ${heads.length} cells, got ${JSON.stringify(cells.join())}`);
  });
  return { made, length: Buffer.byteLength(whole) };
}

/** Of everything a row depends on, in 64 letters. JSON has no word for the endless numbers of a site. */
export function fingerprintOf(study: Study): string {
  const words = JSON.stringify([study, casesOf(study).columns], (_, value: unknown) => {
    if (typeof value === "number" && !Number.isFinite(value)) return String(value);
    return value instanceof Float64Array ? Array.from(value) : value;
  });
  return createHash("sha256").update(words).digest("hex");
}

function checkFingerprint(path: string, note: string, fingerprint: string): void {
  const found = existsSync(note) ? readFileSync(note, "utf8").trim() : "none";
  if (found === fingerprint) return;
  throw new UserFault(`${path}: expected no file, or rows of this very study to go on with, got rows of another one; move it away, or name another file`);
}
