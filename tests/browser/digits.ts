import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { runOf } from "../../lib/yard/firstAnswers.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { newKernel } from "../../lib/simulate/kernel.ts";
import { kernelInScript } from "../../lib/simulate/kernelScript.ts";
import { begin, driving, marched, marchOn, type Outset, setOut } from "../../lib/simulate/march.ts";

// What runs in Node and, bundled, in a page.

export { stepperWords } from "../../lib/simulate/kernel.ts";

/** Every number of every step of a run, then its sums, peaks and firings; the stepper found here, or its script. */
function stepsOf(outset: Outset, kind: "wasm" | "script"): number[] {
  const kernel = kind === "wasm" ? newKernel() : newKernel(kernelInScript!);
  const line = driving(outset);
  const digits: number[] = [];
  begin(kernel, outset, line);
  marchOn(kernel, line, 0, line.corners.length - 1, ({ numbers }) => { for (const number of numbers) digits.push(number); });
  const { sums, firings, tops, end } = marched(kernel);
  for (const { volume, time } of tops) digits.push(volume, time);
  for (const { start, end: until, volume, peakFlow } of firings) digits.push(start, until ?? -1, volume, peakFlow);
  return [...digits, ...sums.forth, ...sums.back, ...sums.entered, ...end];
}

/** The same from the text of a site file and what runs in, so that every table of the works is made where it runs. */
export function stepsFrom(
  site: unknown, load: Readonly<Record<string, { readonly time: ArrayLike<number>; readonly flow: ArrayLike<number> }>>, until: number,
  kind: "wasm" | "script",
): number[] {
  const inflows = Object.fromEntries(Object.entries(load).map(([body, line]) => [body, hydrograph(line)]));
  return stepsOf(setOut(readSite(site), inflows, { until }), kind);
}

/** Numbers of a site file's run in one of its storms: the pit's level every ten minutes of two days, and the ledger. */
export function runDigits(text: string, storm: string): number[] {
  const run = runOf(readSite(text), storm);
  const times = Array.from({ length: 288 }, (_, i) => 600 * i);
  return [...run.levels("chamberBank", times), ...Object.values(run.ledger).filter((value): value is number => typeof value === "number")];
}
