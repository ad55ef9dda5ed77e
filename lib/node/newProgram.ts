import { readFileSync } from "node:fs";

/** The program of the page of a new yard, as the build bundles it: its stepper WebAssembly, or script. */
export function newProgram(isWasm: boolean): string {
  return readFileSync(new URL(`../../dist/newPage/${isWasm ? "page" : "scriptPage"}.js`, import.meta.url), "utf8");
}
