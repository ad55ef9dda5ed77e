import { realpath } from "node:fs/promises";
import { dirname, isAbsolute, relative, resolve } from "node:path";
import { unreadable } from "../node/fileFault.ts";
import { UserFault } from "../node/userFault.ts";
import { describe } from "../text/describe.ts";
import type { Problem } from "../text/problem.ts";

/** Finds a file that another file names: its path, or what is wrong with it. */
export type Beside = (name: string) => Promise<{ readonly path: string } | Required<Omit<Problem, "where">>>;

/**
 * Files that a file names are looked for beside it and below its folder. Elsewhere nothing is read for it, by whatever links a name leads
 * there, unless that is allowed: a site file may come from anybody, and what is in a file it names ends up on a page.
 */
export function besideFile(file: string, allowOutside: boolean): Beside {
  const folder = dirname(file);
  return async (name) => {
    const path = resolve(folder, name);
    if (!allowOutside && !(isBelow(resolve(folder), path) && isBelow(await real(folder), await real(path)))) {
      return { expected: "a file in the folder of the file that names it, or below, or the option --allow-outside", got: `${describe(name)}, outside`, code: "outside" };
    }
    const fault = await unreadable(path);
    return fault === null ? { path } : { expected: "a file that is looked for beside the file that names it", got: `${describe(name)}, ${fault}`, code: "file" };
  };
}

/**
 * The path of a file that the key `file` of another one names.
 *
 * @throws UserFault  where it is not there to be read, or not to be read for it
 */
export async function namedFile(path: string, name: string, beside: Beside): Promise<string> {
  const found = await beside(name);
  if ("path" in found) return found.path;
  throw new UserFault(`${path}: file: expected ${found.expected}, got ${found.got}`, found.code);
}

function isBelow(folder: string, path: string): boolean {
  const way = relative(folder, path);
  return way !== ".." && !/^\.\.[\\/]/.test(way) && !isAbsolute(way);
}

/** The path without links; of what is not there as it stands. */
async function real(path: string): Promise<string> {
  try {
    return await realpath(path);
  } catch {
    return path;
  }
}
