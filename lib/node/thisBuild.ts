import { existsSync, readFileSync } from "node:fs";

/** The library's version, `0.1.0`. */
export function libraryVersion(): string {
  const { version } = JSON.parse(readFileSync(new URL("../../package.json", import.meta.url), "utf8")) as { version: string };
  return version;
}

/** The commit that this library was built from, as the build stamped it, with a + where files were changed since; else "unknown". */
export function libraryCommit(): string {
  return stamp("commit.txt") ?? "unknown";
}

/** A digest of the built programs; "unbuilt" for what runs from its sources before any build. */
export function libraryBuild(): string {
  return stamp("build.txt") ?? "unbuilt";
}

/** lib and dist lie side by side; what runs from lib before any build has none. */
function stamp(name: string): string | null {
  const file = new URL(`../../dist/${name}`, import.meta.url);
  return existsSync(file) ? readFileSync(file, "utf8").trim() : null;
}

/** What the last bits of a row depend on besides its study: the library, its build, the runtime and the machine's kind. */
export function thisBuild(): string {
  return `soakstep ${libraryVersion()} ${libraryBuild()}, node ${process.version} ${process.arch}`;
}
