import { mkdir, readFile, rename, rm, stat, writeFile } from "node:fs/promises";
import { basename, dirname, join } from "node:path";

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
    throw new UserFault(`${path}: expected a file, got ${faultWords(error)}`);
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
    throw new UserFault(`${path}: expected a place to write the report, got ${faultWords(error)}`);
  }
}

/** Something a person can put right; its message says what, and needs no stack. */
export class UserFault extends Error {
  constructor(message: string) {
    super(message);
    this.name = "UserFault";
  }
}

const FAULTS: Readonly<Record<string, string>> = {
  ENOENT: "nothing of that name",
  EISDIR: "a directory",
  ENOTDIR: "a path that runs through a file",
  EEXIST: "a path that runs through a file",
  EACCES: "one that may not be opened",
  EPERM: "one that may not be opened",
  ENOSPC: "a full disk",
  EROFS: "a disk that cannot be written",
  ENAMETOOLONG: "a name that is too long",
};

function faultWords(error: unknown): string {
  const code = error instanceof Error && "code" in error ? String(error.code) : "";
  return FAULTS[code] ?? (error instanceof Error ? error.message : String(error));
}
