import { existsSync, readFileSync } from "node:fs";

/** The library's version, `0.1.0`. */
export function libraryVersion(): string {
  const { version } = JSON.parse(readFileSync(new URL("../../package.json", import.meta.url), "utf8")) as { version: string };
  return version;
}

/** What the last bits of a row depend on besides its study: the library, its build, the runtime and the machine's kind. */
export function thisBuild(): string {
  // lib and dist lie side by side; what runs from lib before any build has none
  const build = new URL("../../dist/build.txt", import.meta.url);
  return `soakstep ${libraryVersion()} ${existsSync(build) ? readFileSync(build, "utf8").trim() : "unbuilt"}, node ${process.version} ${process.arch}`;
}
