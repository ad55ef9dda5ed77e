import { expect, test } from "vitest";
import { newKernel, type Kernel } from "../../lib/simulate/kernel.ts";
import { kernelInScript } from "../../lib/simulate/kernelScript.ts";
import { begin, driving, marched, marchOn, setOut } from "../../lib/simulate/march.ts";
import { referenceRuns } from "../simulate/referenceRuns.ts";

// Where WebAssembly is forbidden the same kernel runs as script that wasm2js makes of it. Arithmetic of doubles is the same in both, and
// roots, powers and arcs are the kernel's own: not a digit may differ.

const files = ["reference-runs.json", "reference-runs-options.json"];

test.each(files.flatMap((file) => referenceRuns(file).map((run) => ({ ...run, name: run.id }))))("$name is the same to the last bit", ({ site, load, until }) => {
  const [wasm, script] = [newKernel(), newKernel(kernelInScript!)].map((kernel) => stepsOf(kernel, setOut(site, load, { until })));
  expect(wasm!.rows.length).toBeGreaterThan(100);
  expect(script).toEqual(wasm);
});

test("instances of the script have a memory each", () => {
  const [one, two] = referenceRuns(files[0]!).map(({ site, load }) => setOut(site, load, { until: "6 h" }));
  const alone = stepsOf(newKernel(kernelInScript!), one!);
  const [first, second] = [newKernel(kernelInScript!), newKernel(kernelInScript!)];
  const line = driving(one!);
  begin(first, one!, line);
  marchOn(first, line, 0, 3);
  stepsOf(second, two!);
  marchOn(first, line, 3, line.corners.length - 1);
  expect(marched(first)).toEqual(alone.marched);
});

function stepsOf(kernel: Kernel, outset: ReturnType<typeof setOut>) {
  const line = driving(outset);
  const rows: number[] = [];
  begin(kernel, outset, line);
  marchOn(kernel, line, 0, line.corners.length - 1, ({ numbers }) => { for (const number of numbers) rows.push(number); });
  return { rows, marched: marched(kernel) };
}
