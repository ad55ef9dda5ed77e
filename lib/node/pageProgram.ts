import { readFileSync } from "node:fs";
import { deflateRawSync } from "node:zlib";
import type { PageProgram } from "../report/programScripts.ts";

/**
 * The program of a page as the build bundled it, packed; lib and dist lie side by side.
 *
 * @param name    of the page: the site's or the lesson's
 * @param isWasm  whether its stepper is WebAssembly; else it is script, for browsers that forbid that
 */
export function pageProgram(name: "page" | "lesson", isWasm: boolean): PageProgram {
  const source = readFileSync(new URL(`../../dist/live/${isWasm ? (name === "page" ? name : "lessonPage") : `${name}Script`}.js`, import.meta.url), "utf8");
  const notices = /^\/\*![\s\S]*?\*\//.exec(source)?.[0] ?? "";
  if (notices === "") throw new Error(`pageProgram: expected the notices of its packages before the program of ${name}, got none`);
  return { packed: deflateRawSync(source.slice(notices.length), { level: 9 }).toString("base64"), notices, isWasm };
}

/** The program of the page of a new yard, as the build bundles it: its stepper WebAssembly, or script. */
export function newProgram(isWasm: boolean): string {
  return readFileSync(new URL(`../../dist/newPage/${isWasm ? "page" : "scriptPage"}.js`, import.meta.url), "utf8");
}
