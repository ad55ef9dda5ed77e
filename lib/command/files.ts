import { mkdir, readFile, rename, rm, stat, writeFile } from "node:fs/promises";
import { basename, dirname, join } from "node:path";
import { fileFault } from "../node/fileFault.ts";
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
 * @throws UserFault  in words, when it is not there, is a directory or cannot be read
 */
export async function readText(path: string): Promise<string> {
  try {
    return await readFile(path, "utf8");
  } catch (error) {
    throw new UserFault(`${path}: expected a file, got ${fileFault(error)}`);
  }
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
