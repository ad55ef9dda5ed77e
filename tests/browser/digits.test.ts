import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { fileURLToPath } from "node:url";
import { rolldown } from "rolldown";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { demo } from "../site/siteFiles.ts";
import { referenceRuns } from "../simulate/referenceRuns.ts";
import { openPage, startBrowser } from "./openPage.ts";
import * as digits from "./digits.ts";

// The stepper in three engines: Node's WebAssembly, Chromium's, and in both the script that stands in where WebAssembly is forbidden.
// From the same file of the same works not a digit may differ: arithmetic and roots of doubles are the same everywhere, and powers,
// logarithms and arcs, in which engines differ, are the kernel's own and those of `lib/numerics/powers.ts`.

const runs = ["reference-runs.json", "reference-runs-options.json"].flatMap(referenceRuns);
const rains = ["copperbeech-lane", "linden-row", "hazelbank-lower-bench"].map((name) => demo(name));
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

test.each(["wasm", "script"] as const)("Chromium runs the stepper as %s to Node's last digit", async (kind) => {
  const path = `${folder}/page.html`;
  writeFileSync(path, `<!doctype html><html><head><meta charset="utf-8"><script>${program}</script></head></html>`);
  const { page, errors } = await openPage(browser, path, 800, 0);
  expect(await page.evaluate("digits.stepperWords()")).toBe("stepper in WebAssembly");
  for (const { id, text, load, until } of runs) {
    const lines = Object.fromEntries(Object.entries(load).map(([body, { time, flow }]) => [body, { time: [...time], flow: [...flow] }]));
    const there = await page.evaluate(
      ([site, inflows, end, as]) => (window as unknown as { digits: typeof digits }).digits.stepsFrom(site, inflows, end, as),
      [text, lines, until, kind] as const,
    );
    const here = digits.stepsFrom(text, load, until, "wasm");
    expect(here.length, id).toBeGreaterThan(500);
    expect(there, id).toEqual(here);
  }
  expect(errors).toEqual([]);
  await page.context().close();
});

test("rain, runoff, patterns and tables of depths too: a demo's storms from its file", async () => {
  const { page, errors } = await openPage(browser, `${folder}/page.html`, 800, 0);
  for (const file of rains) {
    const storms = (file["storms"] as { readonly name: string; readonly file?: string }[]).filter((storm) => storm.file === undefined);
    const text = JSON.stringify({ ...file, storms });
    for (const { name } of storms) {
      const there = await page.evaluate(
        ([site, storm]) => (window as unknown as { digits: typeof digits }).digits.runDigits(site!, storm!), [text, name]);
      expect(there, name).toEqual(digits.runDigits(text, name));
    }
  }
  expect(errors).toEqual([]);
  await page.context().close();
});
