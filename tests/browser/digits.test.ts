import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { fileURLToPath } from "node:url";
import { rolldown } from "rolldown";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { compiledBodies } from "../../lib/simulate/compiledWorks.ts";
import { type Outset, setOut } from "../../lib/simulate/march.ts";
import { referenceRuns } from "../simulate/referenceRuns.ts";
import { openPage, startBrowser } from "./openPage.ts";
import * as digits from "./digits.ts";

// The stepper in three engines: Node's WebAssembly, Chromium's, and in both the script that stands in where WebAssembly is forbidden.
// From the same tables of the same works not a digit may differ: arithmetic and roots of doubles are the same everywhere, and powers,
// logarithms and arcs are the kernel's own. The tables are Node's: engines differ in the last digit of `Math.acos` and of powers.

const runs = ["reference-runs.json", "reference-runs-options.json"].flatMap(referenceRuns);
const folder = mkdtempSync(`${tmpdir()}/soakstep-digits-`);
let browser: Browser;
let program: string;
beforeAll(async () => {
  const bundle = await rolldown({ input: fileURLToPath(new URL("digits.ts", import.meta.url)), platform: "browser" });
  const { output: [{ code }] } = await bundle.generate({ format: "iife", name: "digits" });
  program = code.replaceAll("</script", "<\\/script");
  browser = await startBrowser();
});
afterAll(async () => {
  await browser.close();
  rmSync(folder, { recursive: true });
});

/** An outset as data alone: of the geometry of its bodies the volumes that the kernel's tables take. */
function dataOf(outset: Outset): object {
  const asked = outset.network.bodies.map(() => [] as [level: number, volume: number][]);
  const bodies = outset.network.bodies.map((body, b) => ({
    ...body,
    volume(level: number) {
      const volume = body.volume(level);
      asked[b]!.push([level, volume]);
      return volume;
    },
  }));
  compiledBodies({ ...outset.network, bodies, passages: [...outset.network.passages] });
  const data = bodies.map(({ volume: _, start, ...body }, b) => ({ ...body, volumes: asked[b], startDry: start(-Infinity) }));
  return { ...outset, blocked: [...outset.blocked], network: { ...outset.network, bodies: data } };
}

/** As arrays, which go into a page whole: numbers that are none included. */
function plain(value: unknown): unknown {
  if (ArrayBuffer.isView(value)) return Array.from(value as Float64Array);
  if (Array.isArray(value)) return value.map(plain);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, plain(each)]));
}

test.each(["wasm", "script"] as const)("Chromium runs the stepper as %s to Node's last digit", async (kind) => {
  const path = `${folder}/page.html`;
  writeFileSync(path, `<!doctype html><html><head><meta charset="utf-8"><script>${program}</script></head></html>`);
  const { page, errors } = await openPage(browser, path, 800, 0);
  expect(await page.evaluate("digits.stepperWords()")).toBe("stepper in WebAssembly");
  for (const { id, site, load, until } of runs) {
    const outset = setOut(site, load, { until });
    const there = await page.evaluate(
      ([data, as]) => (window as unknown as { digits: typeof digits }).digits.stepsOfData(data as never, as),
      [plain(dataOf(outset)), kind] as const,
    );
    const here = digits.stepsOf(outset, "wasm");
    expect(here.length, id).toBeGreaterThan(500);
    expect(there, id).toEqual(here);
  }
  expect(errors).toEqual([]);
  await page.context().close();
});
