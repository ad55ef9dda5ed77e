import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { relative } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, describe, expect, test } from "vitest";
import { strippedNotebook } from "../tools/stripNotebook.mjs";
import { cellFaults, type Notebook } from "./cellFaults.ts";
import { runNotebook } from "./runNotebook.ts";

const folder = fileURLToPath(new URL("../../notebooks/", import.meta.url));
const names = readdirSync(folder).filter((name) => name.endsWith(".ipynb")).sort();
const notebooks = names.map((name) => ({ name, path: folder + name, text: readFileSync(folder + name, "utf8") }));

test("there is a notebook to test", () => {
  expect(names.length).toBeGreaterThan(0);
});

describe.each(notebooks)("$name", ({ path, text }) => {
  test("is stripped as it is kept in git (node tests/tools/stripNotebook.mjs does it)", () => {
    expect(text).toBe(strippedNotebook(text));
  });

  test("opens with its question, in words", () => {
    expect((JSON.parse(text) as Notebook).cells[0]?.cell_type).toBe("markdown");
  });

  test("passes the strict compiler", () => {
    expect(cellFaults(path, JSON.parse(text) as Notebook)).toEqual([]);
  });

  test("runs from top to bottom without a word on stderr, and shows a plot", async () => {
    const run = await runNotebook(path);
    expect(run.stderr).toBe("");
    expect(run.status).toBe(0);
    expect(plots(run.displays.map(({ data }) => data["text/html"] ?? ""))).toBeGreaterThan(0);
  });
});

function plots(pages: readonly string[]): number {
  return pages.filter((page) => page.includes('class="soakstep-plot"')).length;
}

describe("the notebooks' own test", () => {
  const temporary = mkdtempSync(`${tmpdir()}/soakstep-`);
  afterAll(() => rmSync(temporary, { recursive: true }));

  /** A notebook of code cells on disk, in a folder of no project. */
  function planted(name: string, ...cells: string[]): { path: string; notebook: Notebook } {
    const path = `${temporary}/${name}.ipynb`;
    writeFileSync(path, strippedNotebook(JSON.stringify({ cells: cells.map((source) => ({ cell_type: "code", source })) })));
    return { path, notebook: JSON.parse(readFileSync(path, "utf8")) as Notebook };
  }

  test("passes cells that use one another, wait and print", async () => {
    const { path, notebook } = planted("good", "const depth = 2;", "await Promise.resolve(depth * 2)");
    expect(cellFaults(path, notebook)).toEqual([]);
    expect(await runNotebook(path)).toEqual({ status: 0, stderr: "", stdout: "4\n", displays: [] });
  });

  test.each([
    ["throws", "throw new RangeError('too deep');", 1, "RangeError: too deep"],
    ["has a type error", "const depth: number = 'deep';", 1, "Type 'string' is not assignable to type 'number'"],
    ["leaves a timer that throws", "setTimeout(() => { throw new Error('late'); }, 20);", 1, "Error: late"],
    ["leaves a promise that fails", "void Promise.reject(new Error('unseen'));", 1, "Error: unseen"],
    ["warns", "console.error('careful');", 0, "careful"],
  ])("sees a cell that %s", async (name, cell, status, message) => {
    const run = await runNotebook(planted(name, "const ready = 1;", cell, "console.log('after');").path);
    expect(run.stderr).toContain(message);
    expect(run.status).toBe(status);
  });

  test("runs no cell behind one that failed", async () => {
    const run = await runNotebook(planted("stop", "throw new Error('here');", "console.log('behind');").path);
    expect(run.stdout).toBe("");
    expect(run.stderr).toContain("cell 1 failed");
  });

  test.each([
    ["an index that may be missing", ["const depths = [1];", "const first: number = depths[0];"],
      "cell 2, line 1: Type 'number | undefined' is not assignable to type 'number'. Type 'undefined' is not assignable to type 'number'."],
    ["a parameter without a type", ["\nconst twice = (x) => 2 * x;"], "cell 1, line 2: Parameter 'x' implicitly has an 'any' type."],
    ["a file that is not there", ['import { depth } from "../dist/depths.js";'],
      "cell 1, line 1: Cannot find module '../dist/depths.js' or its corresponding type declarations."],
  ])("finds by the strict compiler %s", (name, cells, fault) => {
    const { path, notebook } = planted(name, ...cells);
    expect(cellFaults(path, notebook)).toEqual([fault]);
  });

  test("finds one name given in two cells", () => {
    const { path, notebook } = planted("twice", "const depth = 1;", "const depth = 2;");
    expect(cellFaults(path, notebook)).toEqual([
      "cell 1, line 1: Cannot redeclare block-scoped variable 'depth'.", "cell 2, line 1: Cannot redeclare block-scoped variable 'depth'.",
    ]);
  });

  test("shows the plotting library with the first figure alone, and no text of a figure as markup", async () => {
    const show = relative(temporary, fileURLToPath(new URL("../../dist/node/plotInNotebook.js", import.meta.url)));
    const figure = `{ data: [{ y: new Float64Array(2) }], layout: { title: "</script><b>" }, description: '"><b>' }`;
    const { path } = planted("hostile", `import { show } from ${JSON.stringify(show)};`, `show(${figure});`, `show(${figure});`);
    const { stderr, displays } = await runNotebook(path);
    expect(stderr).toBe("");
    expect(displays.map(({ cell }) => cell)).toEqual([2, 2, 3]);
    const [library, first, second] = displays.map(({ data }) => data["text/html"]!);
    expect(library).toContain("window.Plotly = Plotly");
    for (const page of [first!, second!]) {
      expect(page).toContain('"data":[{"y":[0,0]}],"layout":{"title":"\\u003c/script>\\u003cb>"}');
      expect(page).toContain('aria-label="&#34;&#62;&#60;b&#62;"');
      expect(page.match(/<\/?[a-z]+/g)).toEqual(["<div", "</div", "<script", "</script"]);
    }
  });

  test("strips outputs, counts, metadata and a trailing blank, and then changes nothing more", () => {
    const executed = JSON.stringify({
      nbformat: 4, nbformat_minor: 4, metadata: { kernelspec: { name: "other" }, widgets: {} },
      cells: [
        { cell_type: "code", execution_count: 7, metadata: { scrolled: true }, outputs: [{ output_type: "stream" }], source: "a\nb\n" },
        { id: "words", cell_type: "markdown", metadata: {}, source: ["# A\n", "b"] },
      ],
    });
    const text = strippedNotebook(executed);
    expect((JSON.parse(text) as { cells: unknown }).cells).toEqual([
      { cell_type: "code", execution_count: null, id: "cell-1", metadata: {}, outputs: [], source: ["a\n", "b"] },
      { cell_type: "markdown", id: "words", metadata: {}, source: ["# A\n", "b"] },
    ]);
    expect(text.indexOf('\n "cells"')).toBeLessThan(text.indexOf('\n "metadata"'));
    expect(strippedNotebook(text)).toBe(text);
  });
});
