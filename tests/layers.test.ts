import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { type Imports, importsIn, layerBreaches, layers, privateParts } from "./tools/layerLaw.ts";

const lib = new URL("../lib/", import.meta.url);

/** The files given besides the smallest lawful lib: an index over one file a layer. */
function lawfulLibWith(planted: Record<string, string>): Imports {
  return importsIn(new Map(Object.entries({
    "index.ts": `export { depth } from "./rain/depth.ts";`,
    "node.ts": `import { readFile } from "node:fs/promises"; export { run } from "./simulate/run.ts";`,
    "text/metre.ts": `export const metre = 1;`,
    "rain/depth.ts": `import { metre } from "../text/metre.ts"; export const depth = metre;`,
    "simulate/run.ts": `import { depth } from "../rain/depth.ts"; import { step } from "./step.ts"; export const run = depth + step;`,
    "simulate/step.ts": `export const step = 1;`,
    ...planted,
  })));
}

describe("the layer law", () => {
  test("holds in lib", () => {
    const files = readdirSync(lib, { recursive: true, encoding: "utf8" }).filter((name) => name.endsWith(".ts") && !name.startsWith("kernel"));
    const imports = importsIn(new Map(files.map((name) => [name.replaceAll("\\", "/"), readFileSync(new URL(name, lib), "utf8")])));
    expect(imports.has("index.ts")).toBe(true);
    expect(layerBreaches(imports)).toEqual([]);
    expect(privateParts(imports).length / imports.size).toBeLessThan(0.08);
  });

  test("counts a file that one other file imports as that one's private part, but on a list", () => {
    expect(privateParts(lawfulLibWith({}))).toEqual(["simulate/step.ts", "text/metre.ts"]);
    expect(privateParts(lawfulLibWith({ "command/command.ts": `import "./runDay.ts";`, "command/runDay.ts": `export const day = 1;` })))
      .toEqual(["simulate/step.ts", "text/metre.ts"]);
  });

  test("names every folder once", () => {
    const names = layers.flat();
    expect(new Set(names).size).toBe(names.length);
  });

  test("passes a lawful lib, with imports downward and within a folder", () => {
    expect(layerBreaches(lawfulLibWith({}))).toEqual([]);
  });

  test.each<[string, Record<string, string>, string]>([
    ["an import upward",
      { "rain/wet.ts": `import { run } from "../simulate/run.ts";` },
      "rain/wet.ts: imports upward from simulate"],
    ["a type from above",
      { "rain/wet.ts": `import type { run } from "../simulate/run.ts";` },
      "rain/wet.ts: imports upward from simulate"],
    ["a type from a sibling",
      { "ground/soil.ts": `export type { depth } from "../rain/depth.ts";` },
      "ground/soil.ts: imports from its sibling rain"],
    ["a type from above, named where it is used",
      { "rain/wet.ts": `export const wet = (run: import("../simulate/run.ts").run): number => run;` },
      "rain/wet.ts: imports upward from simulate"],
    ["a re-export upward",
      { "rain/wet.ts": `export { run } from "../simulate/run.ts";` },
      "rain/wet.ts: imports upward from simulate"],
    ["an import() upward",
      { "rain/wet.ts": `export const run = await import("../simulate/run.ts");` },
      "rain/wet.ts: imports upward from simulate"],
    ["an import whose names alone are types, which still runs the file",
      { "rain/wet.ts": `import { type run } from "../simulate/run.ts";` },
      "rain/wet.ts: imports upward from simulate"],
    ["an import from a sibling",
      { "ground/soil.ts": `import { depth } from "../rain/depth.ts";` },
      "ground/soil.ts: imports from its sibling rain"],
    ["an import of the front door from inside",
      { "simulate/late.ts": `import { depth } from "../index.ts";` },
      "simulate/late.ts: imports index.ts, which stands above all layers"],
    ["an import from outside lib",
      { "rain/wet.ts": `import data from "../../data/storm.ts";` },
      "rain/wet.ts: imports ../../data/storm.ts, which is not a file of lib"],
    ["Node in the core",
      { "rain/file.ts": `import { readFileSync } from "node:fs";` },
      "rain/file.ts: imports node:fs from Node"],
    ["Node in the core, spelt without its prefix",
      { "report/page.ts": `import { join } from "path";` },
      "report/page.ts: imports path from Node"],
    ["a folder on no layer",
      { "utils/misc.ts": `export const misc = 1;` },
      "utils/misc.ts: its folder is on no layer"],
    ["a cycle within a folder",
      { "simulate/step.ts": `import { run } from "./run.ts"; export const step = run;` },
      "simulate/run.ts: is in a cycle simulate/run.ts -> simulate/step.ts -> simulate/run.ts"],
    ["a file that imports itself",
      { "text/metre.ts": `import { metre as one } from "./metre.ts"; export const metre = one;` },
      "text/metre.ts: is in a cycle text/metre.ts -> text/metre.ts"],
    ["Node reached from the index",
      { "index.ts": `export { save } from "./node/save.ts";`, "node/save.ts": `import { writeFile } from "node:fs"; export const save = writeFile;` },
      "index.ts: reaches node/save.ts, which may use Node"],
  ])("finds %s, and nothing else in that lib", (_, planted, breach) => {
    expect(layerBreaches(lawfulLibWith(planted))).toEqual([breach]);
  });

  test("lets types through in a ring of one room", () => {
    expect(layerBreaches(lawfulLibWith({ "simulate/step.ts": `import type { run } from "./run.ts"; export const step = 1;` }))).toEqual([]);
  });
});
