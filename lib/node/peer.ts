import { createRequire } from "node:module";
import { UserFault } from "./userFault.ts";

const require = createRequire(import.meta.url);

/**
 * A package that is no part of this one and is loaded when it is asked for.
 *
 * @param name      of the package
 * @param purpose   what it is asked for, "the queue"
 * @param packages  all that have to be installed for it
 * @throws UserFault  where it is not installed
 */
export function peer(name: string, purpose: string, packages: readonly string[] = [name]): unknown {
  try {
    return require(name);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "MODULE_NOT_FOUND") throw error;
    throw new UserFault(
      `${purpose}: expected the package ${name} beside soakstep (npm install ${packages.join(" ")}), got none`,
      "missing",
    );
  }
}
