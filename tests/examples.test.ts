import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import * as hydrology from "../lib/hydrology.ts";
import * as index from "../lib/index.ts";
import { docExamples, exampleFault } from "./tools/docExample.ts";

const lib = new URL("../lib/", import.meta.url);
const examples = readdirSync(lib, { recursive: true, encoding: "utf8" })
  .filter((name) => name.endsWith(".ts"))
  .sort()
  .flatMap((file) => docExamples(readFileSync(new URL(file, lib), "utf8")).map((example) => ({ file, example })));

describe(`the ${examples.length} examples in docstrings`, () => {
  test("are there", () => {
    expect(examples.length).toBeGreaterThan(0);
  });

  test.each(examples.map(({ file, example }) => [`lib/${file}:${example.line} ${example.expression}`, file, example] as const))(
    "%s gives the value written beside it",
    async (_, file, example) => {
      // what the file itself exports too, so that a function inside the library may show how it is called
      const own = (await import(/* @vite-ignore */ new URL(file, lib).href)) as Record<string, unknown>;
      expect(exampleFault(example, { ...hydrology, ...index, ...own })).toBeNull();
    },
  );
});

describe("the examples' own test", () => {
  const half = (value: number): number => value / 2;
  const faultOf = (line: string): string | null => {
    const [example] = docExamples(`/**\n * Half.\n * @example ${line}\n * @source none\n */`);
    return exampleFault(example!, { half });
  };

  test.each([
    "half(3); // => 1.5",
    "half(4); // => 2",
    "half(-0.0123456); // => -0.00617",
    "half(2.469e-5); // => 1.23e-5",
    "[half(3), half(1)]; // => [1.5, 0.5]",
    "new Float64Array(2); // => [0, 0]",
    "({ depth: half(3), unit: \"m\" }); // => { depth: 1.5, unit: \"m\" }",
    "half(0) === 0; // => true",
    "half(\n *   3,\n * ); // => 1.5",
  ])("passes `%s`", (line) => {
    expect(faultOf(line)).toBeNull();
  });

  test.each([
    ["half(3); // => 1.6", "expected 1.6, got 1.5"],
    ["half(3); // => 2", "expected 2, got 1.5"],
    ["half(2.46e-5); // => 1.24e-5", "expected 1.24e-5, got 0.0000123"],
    ["half(3); // => -1.5", "expected -1.5, got 1.5"],
    ["[half(3)]; // => [1.5, 0.5]", "expected [1.5, 0.5], got [ 1.5 ]"],
    ["({ depth: 1, unit: 2 }); // => { depth: 1 }", "expected { depth: 1 }, got { depth: 1, unit: 2 }"],
    ["half(3) > 2; // => true", "expected true, got false"],
    ["half(NaN); // => 1", "expected 1, got NaN"],
    ["double(3); // => 6", "expected 6, got ReferenceError: double is not defined"],
    ["half(3); // => about 1.5", "expected a written value, got about 1.5"],
    ["half(3);", "expected `expression; // => value`, got no value"],
  ])("finds the fault of `%s`", (line, fault) => {
    expect(faultOf(line)).toBe(fault);
  });

  test("finds each of several examples and the line it stands on", () => {
    const source = "export const a = 1;\n/**\n * @example half(1); // => 0.5\n * @example half(2); // => 1\n */";
    expect(docExamples(source).map(({ line, expression, written }) => [line, expression, written]))
      .toEqual([[3, "half(1)", "0.5"], [4, "half(2)", "1"]]);
  });
});
