import {
  closeSync, existsSync, fsyncSync, ftruncateSync, openSync, readFileSync, readSync, renameSync, rmSync, statSync, writeFileSync,
  writeSync,
} from "node:fs";
import { hostname } from "node:os";
import { dirname } from "node:path";
import { crc32 } from "node:zlib";
import { csvCells } from "../rain/record/csvCells.ts";
import type { Rows, RowStore } from "../study/runStudy.ts";
import { csvCell } from "../text/csvCell.ts";
import { fileCode, fileFault, makeFolder, specialFault } from "./fileFault.ts";
import { UserFault } from "./userFault.ts";

/** What a file of rows holds. */
export interface RowFileOptions {
  /** of the columns, in their order */
  readonly heads: readonly string[];
  /** rows there are in all */
  readonly count: number;
  /** of everything the rows depend on */
  readonly fingerprint: string;
  /** called before rows with another fingerprint are replaced; they are refused where it is missing */
  readonly onOther?: () => void;
}

/**
 * Opens a CSV file of numbered rows, a line each, in any order until all are there and then in theirs. The first cell is the row's
 * number and the last, `check`, a checksum of the line and the fingerprint: a line that was changed, or came from elsewhere, is refused.
 * A number is written so that it reads back to the last bit; an empty cell is a number that the row does not have. A last line without
 * its end, cut short by a crash, is dropped. `<path>.study` beside it holds the fingerprint and how many rows there are in all,
 * `<path>.lock` says who writes it.
 *
 * What it keeps in memory are 12 bytes a row: where its line is.
 *
 * @throws UserFault  when another process writes the file, or it holds other rows, or it cannot be read or written
 */
export function rowFile(path: string, options: RowFileOptions): RowStore {
  inWords(path, () => { makeFolder(dirname(path)); });
  const special = existsSync(path) ? specialFault(statSync(path)) : null;
  if (special !== null) throw new UserFault(`${path}: expected a place for the rows of a study, got ${special}`, "file");
  const lock = inWords(path, () => lockFile(path));
  try {
    return lockedFile(path, options, lock);
  } catch (error) {
    lock.release();
    throw error;
  }
}

function lockedFile(path: string, { heads, count, fingerprint, onOther }: RowFileOptions, lock: ReturnType<typeof lockFile>): RowStore {
  const first = `${["case", ...heads, "check"].map(csvCell).join(",")}\n`;
  const form: Form = { path, first, width: heads.length, count, seed: crc32(fingerprint) };
  const file = inWords(path, () => begun(path, first, fingerprint, count, onOther));
  try {
    const lines: Lines = { at: new Float64Array(count).fill(-1), length: new Uint32Array(count) };
    let end = inWords(path, () => {
      const read = readLines(file, form, lines);
      ftruncateSync(file, read);
      return read;
    });
    return {
      made: { [Symbol.iterator]: () => rowsOf(file, form, lines) },
      add(rows) {
        inWords(path, () => {
          lock.check();
          for (const [from, part] of parts(rows, form.width)) end = append(file, part, from, end, form, lines);
        });
      },
      finish() {
        inWords(path, () => {
          lock.check();
          if (isInOrder(lines)) fsyncSync(file);
          else writeInOrder(file, form, lines);
        });
      },
      close() {
        closeSync(file);
        lock.release();
      },
    };
  } catch (error) {
    closeSync(file);
    throw error;
  }
}

interface Form {
  readonly path: string;
  readonly first: string;
  /** numbers in a row */
  readonly width: number;
  readonly count: number;
  /** what the checksums of the lines begin with */
  readonly seed: number;
}

/** Where the line of each row begins, -1 where it is not there, and its bytes with the end of the line. */
interface Lines {
  readonly at: Float64Array;
  readonly length: Uint32Array;
}

/** The file, opened: a new one has its first line and its fingerprint. */
function begun(path: string, first: string, fingerprint: string, count: number, onOther?: () => void): number {
  const note = noteOf(path);
  const isNew = !existsSync(path) || isHardlyBegun(path, first);
  const kept = readNote(path)?.fingerprint ?? "none";
  // what has no note is no file of ours
  const isOther = !isNew && kept !== "none" && kept !== fingerprint && onOther !== undefined;
  if (isOther) onOther();
  if (isNew || isOther) {
    // rows that are gone before their note are a new file, the other way round they would pass for this study's
    writeFileSync(path, "", { flush: true });
    writeFileSync(note, `${fingerprint} ${count}\n`, { flush: true });
    writeFileSync(path, first, { flush: true });
  } else if (kept !== fingerprint) {
    const expected = "no file, or rows of this same study, made by this same build of soakstep on this same Node";
    throw new UserFault(`${path}: expected ${expected}, got rows of another; move it away, or name another file`, "rows");
  }
  return openSync(path, "r+");
}

function noteOf(path: string): string {
  return `${path}.study`;
}

/** What the note beside a file of rows says: the fingerprint, and how many rows the whole study has; null where there is no note. */
export function readNote(path: string): { readonly fingerprint: string; readonly count: number } | null {
  if (!existsSync(noteOf(path))) return null;
  const note = readFileSync(noteOf(path), "utf8").trim();
  const last = note.lastIndexOf(" ");
  return { fingerprint: note.slice(0, Math.max(0, last)), count: Number(note.slice(last + 1)) };
}

/** A crash may leave a file that is empty or holds a part of its first line. */
function isHardlyBegun(path: string, first: string): boolean {
  const { size } = statSync(path);
  return size < Buffer.byteLength(first) && first.startsWith(readFileSync(path, "utf8"));
}

/** Finds the line of each row and checks it, block by block. Returns where the last whole line ends. */
function readLines(file: number, form: Form, lines: Lines): number {
  const { path, first, count } = form;
  const longest = Math.max(Buffer.byteLength(first), longestLine(form));
  let block: Buffer = Buffer.alloc(0);
  let start = 0;
  let number = 0;
  for (;;) {
    const more = Buffer.allocUnsafe(BLOCK);
    const got = readSync(file, more, 0, BLOCK, start + block.length);
    block = Buffer.concat([block, more.subarray(0, got)]);
    let from = 0;
    for (let to = block.indexOf(NEW_LINE); to >= 0; to = block.indexOf(NEW_LINE, from)) {
      number++;
      const line = block.subarray(from, to);
      if (number === 1) checkFirst(line, form);
      else {
        const row = rowNumber(line, form);
        const fault = row === null || row >= count ? faultOf(line, form) : lines.at[row]! >= 0 ? ["each case once", `the case ${row} again`] as const : null;
        if (fault !== null) {
          throw new UserFault(`${path}: line ${number}: expected ${fault[0]}, got ${fault[1]}; without the line its case is made again`, "rows");
        }
        lines.at[row!] = start + from;
        lines.length[row!] = to + 1 - from;
      }
      from = to + 1;
    }
    start += from;
    block = block.subarray(from);
    if (block.length > longest) {
      throw new UserFault(`${path}: line ${number + 1}: expected a row of ${form.width} numbers, got more than ${longest} letters`, "rows");
    }
    if (got === 0) return start;
  }
}

const BLOCK = 1 << 20;
const NEW_LINE = 10;
const COMMA = 44;

/** A number takes up to 25 letters with its comma. */
function longestLine({ width }: Form): number {
  return 25 * (width + 2);
}

function checkFirst(line: Buffer, { path, first }: Form): void {
  if (`${line.toString("utf8")}\n` === first) return;
  throw new UserFault(`${path}: expected the columns ${columnsIn(first)}, got ${columnsIn(line.toString("utf8").slice(0, 2000)) || "none"}`, "rows");
}

function columnsIn(line: string): string {
  return csvCells(line.replace(/\n$/, ""), ",").join(", ");
}

/** The number of the row in a line whose checksum is right; null where it is not. */
function rowNumber(line: Buffer, { seed }: Form): number | null {
  const end = line.length - CHECK;
  if (end < 1 || line[end - 1] !== COMMA) return null;
  if (line.toString("latin1", end) !== checkOf(line.subarray(0, end - 1), seed)) return null;
  return Number(line.toString("latin1", 0, line.indexOf(COMMA)));
}

const CHECK = 8;

function checkOf(line: Buffer | string, seed: number): string {
  return crc32(line, seed).toString(16).padStart(CHECK, "0");
}

/** What is wrong with a line: expected and got. */
function faultOf(line: Buffer, { width, count }: Form): readonly [string, string] {
  const cells = line.toString("utf8").split(",");
  const [row = "", ...values] = cells.slice(0, -1);
  if (cells.length !== width + 2) return [`a row of this study with ${width + 2} cells`, `${cells.length} cells`];
  if (!/^(?:0|[1-9]\d{0,15})$/.test(row) || Number(row) >= count) return [`the number of a case, 0 to ${count - 1}`, JSON.stringify(row.slice(0, 60))];
  const wrong = values.find((cell) => cell !== "" && numberText(Number(cell)) !== cell);
  if (wrong !== undefined) return ["numbers as this file writes them", JSON.stringify(wrong.slice(0, 60))];
  return ["the line that was written", "one with another checksum"];
}

function* rowsOf(file: number, { width }: Form, lines: Lines): IterableIterator<Rows> {
  for (const { from, to, bytes } of stretchesOf(file, lines, (row) => lines.at[row]! >= 0)) {
    let at = 0;
    const values = new Float64Array((to - from) * width);
    for (let row = from; row < to; row++) {
      const cells = bytes.toString("latin1", at, at + lines.length[row]!).split(",");
      for (let i = 0; i < width; i++) values[(row - from) * width + i] = cells[i + 1] === "" ? NaN : Number(cells[i + 1]);
      at += lines.length[row]!;
    }
    yield { from, values };
  }
}

/** Stretches of rows whose lines follow one another, up to a block long, in the order of the rows. */
function* stretchesOf(
  file: number, { at, length }: Lines, isWanted: (row: number) => boolean,
): Generator<{ readonly from: number; readonly to: number; readonly bytes: Buffer }> {
  for (let from = 0; from < at.length;) {
    if (!isWanted(from)) {
      from++;
      continue;
    }
    let to = from + 1;
    let size = length[from]!;
    while (to < at.length && at[to] === at[from]! + size && size < BLOCK) size += length[to++]!;
    const bytes = Buffer.allocUnsafe(size);
    readSync(file, bytes, 0, size, at[from]!);
    yield { from, to, bytes };
    from = to;
  }
}

/** Rows in parts that are each a text of a megabyte or so. */
function* parts({ from, values }: Rows, width: number): Generator<readonly [number, Float64Array]> {
  const rows = Math.max(1, Math.floor(BLOCK / (10 * (width + 2))));
  for (let row = 0; row < values.length / width; row += rows) yield [from + row, values.subarray(row * width, (row + rows) * width)];
}

/** Writes rows at the end and returns the new one; what is not wholly written is no part of the file. */
function append(file: number, values: Float64Array, from: number, end: number, { width, seed }: Form, lines: Lines): number {
  const texts: string[] = [];
  for (let at = 0; at < values.length; at += width) {
    const cells = [String(from + at / width)];
    for (let i = at; i < at + width; i++) cells.push(Number.isNaN(values[i]) ? "" : numberText(values[i]!));
    const line = cells.join(",");
    texts.push(`${line},${checkOf(line, seed)}\n`);
  }
  writeAll(file, Buffer.from(texts.join(""), "latin1"), end);
  let next = end;
  texts.forEach((text, i) => {
    lines.at[from + i] = next;
    lines.length[from + i] = text.length;
    next += text.length;
  });
  return next;
}

/** Reads back to the last bit, the sign of zero too. */
function numberText(value: number): string {
  return Object.is(value, -0) ? "-0" : String(value);
}

/** A disk that is nearly full takes less than it is given. */
function writeAll(file: number, bytes: Buffer, at: number): void {
  for (let done = 0; done < bytes.length;) done += writeSync(file, bytes, done, bytes.length - done, at + done);
}

function isInOrder({ at }: Lines): boolean {
  for (let row = 1; row < at.length; row++) if (!(at[row]! > at[row - 1]!)) return false;
  return true;
}

/** Beside its place first: the rows are never in one file alone that is half written. */
function writeInOrder(file: number, { path, first }: Form, lines: Lines): void {
  const part = `${path}.part`;
  const sorted = openSync(part, "w");
  try {
    let at = Buffer.byteLength(first);
    writeAll(sorted, Buffer.from(first), 0);
    for (const { bytes } of stretchesOf(file, lines, () => true)) {
      writeAll(sorted, bytes, at);
      at += bytes.length;
    }
    fsyncSync(sorted);
    renameSync(part, path);
  } catch (error) {
    rmSync(part, { force: true });
    throw error;
  } finally {
    closeSync(sorted);
  }
}

function inWords<Result>(path: string, work: () => Result): Result {
  try {
    return work();
  } catch (error) {
    if (error instanceof UserFault || !(error instanceof Error && "code" in error)) throw error;
    throw new UserFault(`${path}: expected a place for the rows of a study, got ${fileFault(error)}; what was made before is kept`, fileCode(error));
  }
}

/** A file that one process alone may write, until it lets go. */
interface FileLock {
  /** @throws UserFault  when another process has taken the file over in the meantime */
  check(): void;
  release(): void;
}

/** Who holds a file. */
interface Holder {
  readonly pid: number;
  readonly host: string;
  /** tells two processes apart that had one number, one after the other; null where the system does not say */
  readonly born: string | null;
}

/**
 * Takes a file for this process alone: `<path>.lock` says who holds it. A lock whose process is gone from this host is taken over.
 *
 * @throws UserFault  when another process, or another place of this one, holds the file
 */
export function lockFile(path: string): FileLock {
  const lock = `${path}.lock`;
  const me: Holder = { pid: process.pid, host: hostname(), born: bornOf(process.pid) };
  const words = `${JSON.stringify(me)}\n`;
  for (let tries = 0; !isMade(lock, words); tries++) {
    const text = textOf(lock);
    const holder = text === null ? null : holderOf(text);
    if (text !== null && holder !== null && isGone(holder)) takeAway(lock, text);
    else if (text !== null && (holder !== null || tries >= MOST_TRIES)) throw held(path, lock, holder);
    // let go just now, or not yet written by a process that has just made it
    else pause();
  }
  return {
    check() {
      if (textOf(lock) !== words) throw held(path, lock, holderOf(textOf(lock) ?? ""));
    },
    release() {
      if (textOf(lock) === words) rmSync(lock, { force: true });
    },
  };
}

const MOST_TRIES = 20;

function isMade(lock: string, words: string): boolean {
  let file: number;
  try {
    file = openSync(lock, "wx");
  } catch (error) {
    if (codeOf(error) === "EEXIST") return false;
    throw error;
  }
  try {
    writeFileSync(file, words);
    return true;
  } catch (error) {
    // a full disk: an empty lock would be nobody's, and hold the file for good
    rmSync(lock, { force: true });
    throw error;
  } finally {
    closeSync(file);
  }
}

function textOf(lock: string): string | null {
  try {
    return readFileSync(lock, "utf8");
  } catch (error) {
    if (codeOf(error) === "ENOENT") return null;
    throw error;
  }
}

function holderOf(text: string): Holder | null {
  try {
    const { pid, host, born } = JSON.parse(text) as Holder;
    return Number.isInteger(pid) && pid > 0 && typeof host === "string" ? { pid, host, born } : null;
  } catch {
    return null;
  }
}

/** Another host's processes cannot be seen from here. */
function isGone({ pid, host, born }: Holder): boolean {
  if (host !== hostname()) return false;
  try {
    process.kill(pid, 0);
  } catch (error) {
    return codeOf(error) === "ESRCH";
  }
  return born !== null && born !== bornOf(pid);
}

/** When a process began, in ticks since the machine did: field 22 of proc(5) `stat`, counted behind the name in brackets. */
function bornOf(pid: number): string | null {
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, "utf8");
    return stat.slice(stat.lastIndexOf(")") + 2).split(" ")[19] ?? null;
  } catch {
    // no such process, or a system without this folder
    return null;
  }
}

/** Moves a stale lock away. What was moved may be the lock of a process that was faster: it is given back. */
function takeAway(lock: string, stale: string): void {
  const aside = `${lock}.${process.pid}`;
  try {
    renameSync(lock, aside);
  } catch (error) {
    if (codeOf(error) === "ENOENT") return;
    throw error;
  }
  const moved = readFileSync(aside, "utf8");
  if (moved !== stale) isMade(lock, moved);
  rmSync(aside);
}

function pause(): void {
  Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 10);
}

function held(path: string, lock: string, holder: Holder | null): UserFault {
  const who = holder === null ? "one that another process holds" : `one that the process ${holder.pid} on ${holder.host} holds`;
  return new UserFault(`${path}: expected a file that no other process writes, got ${who}; wait for it, or delete ${lock} if it is not running`, "held");
}

function codeOf(error: unknown): string {
  return error instanceof Error && "code" in error ? String(error.code) : "";
}
