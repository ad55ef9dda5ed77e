import { constants, existsSync, mkdirSync, type Stats } from "node:fs";
import { access, stat } from "node:fs/promises";
import { dirname, resolve } from "node:path";

/** What a system calls the faults of a file, in words for the `got` side of an error. */
const FAULTS: Readonly<Record<string, string>> = {
  ENOENT: "nothing of that name",
  EISDIR: "a directory",
  ENOTDIR: "a path that runs through a file",
  EEXIST: "a path that runs through a file",
  EACCES: "one that may not be opened",
  EPERM: "one that may not be opened",
  ENOSPC: "a full disk",
  EDQUOT: "a full disk",
  EFBIG: "a file larger than the system allows",
  EPIPE: "a reader that has gone",
  ELOOP: "a link that leads to itself",
  EMFILE: "more open files than the system allows",
  EIO: "a disk that fails",
  EROFS: "a disk that cannot be written",
  ENAMETOOLONG: "a name that is too long",
};

/**
 * What is wrong with a file that could not be read or written.
 *
 * @param error  as Node threw it
 * @example fileFault(Object.assign(new Error("open"), { code: "EISDIR" })); // => "a directory"
 */
export function fileFault(error: unknown): string {
  const code = error instanceof Error && "code" in error ? String(error.code) : "";
  return FAULTS[code] ?? (error instanceof Error ? error.message : String(error));
}

/** Whether it is the disk that is full, for `Problem.code`. */
export function fileCode(error: unknown): "full" | "file" {
  return fileFault(error) === FAULTS["ENOSPC"] ? "full" : "file";
}

/** What a path leads to that is no ordinary file, and may never end or never begin: a device for `/dev/zero`, a pipe. Null for a file. */
export function specialFault(stats: Pick<Stats, "isFile" | "isDirectory" | "isFIFO" | "isSocket">): string | null {
  if (stats.isFile()) return null;
  if (stats.isDirectory()) return "a directory";
  return stats.isFIFO() || stats.isSocket() ? "a pipe" : "a device";
}

/** Why a file cannot be read, for the `got` side of an error; null where it can. What may never end is not opened. */
export async function unreadable(file: string | URL): Promise<string | null> {
  try {
    const special = specialFault(await stat(file));
    if (special !== null) return special;
    await access(file, constants.R_OK);
    return null;
  } catch (error) {
    return fileFault(error);
  }
}

/**
 * Makes a folder with all above it.
 *
 * @throws Error  as Node throws it, with the code of what is really wrong
 */
export function makeFolder(folder: string): void {
  try {
    mkdirSync(folder, { recursive: true });
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "ENOENT") throw error;
    // so Node calls a disk that can only be read; one folder by itself is refused by its right name
    let missing = resolve(folder);
    while (!existsSync(dirname(missing))) missing = dirname(missing);
    mkdirSync(missing);
    throw error;
  }
}
