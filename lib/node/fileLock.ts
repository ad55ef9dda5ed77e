import { closeSync, openSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { hostname } from "node:os";
import { UserFault } from "./userFault.ts";

/** A file that one process alone may write, until it lets go. */
export interface FileLock {
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
