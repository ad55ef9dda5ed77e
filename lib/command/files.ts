import { mkdir, rename, rm, stat, writeFile } from "node:fs/promises";
import { basename, dirname, join } from "node:path";
import { fileFault } from "../node/fileFault.ts";
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
  if ("got" in read) throw new UserFault(`${path}: expected a file, got ${read.got}`);
  return read.text;
}

/**
 * Writes a file whole or not at all: beside its place first, and into its place only when all of it is on disk.
 *
 * @throws UserFault  in words, when it cannot be written
 */
export async function writeWhole(path: string, text: string): Promise<void> {
  const beside = join(dirname(path), `.${basename(path)}.${process.pid}.part`);
  try {
    await mkdir(dirname(path), { recursive: true });
    await writeFile(beside, text, { flush: true });
    await rename(beside, path);
  } catch (error) {
    await rm(beside, { force: true }).catch(() => undefined);
    throw new UserFault(`${path}: expected a place to write the report, got ${fileFault(error)}`);
  }
}
