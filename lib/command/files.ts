import { copyFile, rename, rm, stat, writeFile } from "node:fs/promises";
import { basename, dirname, join } from "node:path";
import { fileCode, fileFault, makeFolder } from "../node/fileFault.ts";
import { readTextFile } from "../node/textFile.ts";
import { UserFault } from "../node/userFault.ts";

/** Whether anything of that name is there. */
export async function exists(path: string): Promise<boolean> {
  try {
    await stat(path);
    return true;
  } catch {
    return false;
  }
}

/**
 * The text of a file.
 *
 * @throws UserFault  in words, when it is not there, is no ordinary file, is too large, is not in UTF-8 or cannot be read
 */
export async function readText(path: string): Promise<string> {
  const read = await readTextFile(path);
  if ("got" in read) throw new UserFault(`${path}: expected a file, got ${read.got}`, read.code);
  return read.text;
}

/** A file that is to be written. */
export interface Written {
  readonly path: string;
  readonly text: string;
}

/**
 * Writes files that belong together, all of them or none: beside their places first, and into these only when all are on disk. What
 * stood there before stays until then, and again where one of them cannot be put into its place.
 *
 * @throws UserFault  in words, when they cannot be written
 */
export async function writeTogether(files: readonly Written[]): Promise<void> {
  const moves = files.map(({ path, text }) => ({ path, text, part: beside(path, "part"), old: beside(path, "old") }));
  const done: (typeof moves)[number][] = [];
  for (const move of moves) {
    try {
      makeFolder(dirname(move.path));
      await writeFile(move.part, move.text, { flush: true });
    } catch (error) {
      await away(moves.map(({ part }) => part));
      throw unwritten(move.path, error);
    }
  }
  for (const move of moves) {
    try {
      // a copy of what stands there, so that its place is never empty
      if (await exists(move.path)) await copyFile(move.path, move.old);
      await rename(move.part, move.path);
      done.push(move);
    } catch (error) {
      for (const { path, old } of done) await (await exists(old) ? rename(old, path) : rm(path));
      await away(moves.flatMap(({ part, old }) => [part, old]));
      throw unwritten(move.path, error);
    }
  }
  await away(moves.map(({ old }) => old));
}

/**
 * Writes a file whole or not at all.
 *
 * @throws UserFault  in words, when it cannot be written
 */
export function writeWhole(path: string, text: string): Promise<void> {
  return writeTogether([{ path, text }]);
}

function beside(path: string, end: string): string {
  return join(dirname(path), `.${basename(path)}.${process.pid}.${end}`);
}

async function away(paths: readonly string[]): Promise<void> {
  for (const path of paths) await rm(path, { force: true }).catch(() => undefined);
}

function unwritten(path: string, error: unknown): UserFault {
  return new UserFault(`${path}: expected a place to write the report, got ${fileFault(error)}`, fileCode(error));
}
