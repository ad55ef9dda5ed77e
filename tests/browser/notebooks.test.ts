import { existsSync, readdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { openPage, startBrowser } from "./openPage.ts";
import { screenshot } from "./screenshot.ts";

const folder = fileURLToPath(new URL("../../notebooks/", import.meta.url));
const pages = fileURLToPath(new URL("../../out/notebooks/", import.meta.url));
const names = readdirSync(folder).filter((name) => name.endsWith(".ipynb")).map((name) => name.replace(/\.ipynb$/, ""));

let browser: Browser;
beforeAll(async () => {
  browser = await startBrowser();
});
afterAll(() => browser.close());

test("there is a notebook to open", () => {
  expect(names.length).toBeGreaterThan(0);
});

describe.each(names)("the notebook %s, run and exported by Jupyter", (name) => {
  test("has a page (npm run notebooks makes it)", () => {
    expect(existsSync(`${pages}${name}.html`)).toBe(true);
  });

  test("opens without an error or a request, every plot drawn and nothing on stderr", async () => {
    const { page, errors, outsideRequests, plots } = await openPage(browser, `${pages}${name}.html`, 1400);
    await screenshot(page, `notebook-${name}`);
    // Jupyter's exit status is 0 when a timer or a promise of a cell fails: the page tells
    const stderr = await page.locator('[data-mime-type="application/vnd.jupyter.stderr"]').allInnerTexts();
    await page.context().close();
    expect(errors).toEqual([]);
    expect(outsideRequests).toEqual([]);
    expect(stderr).toEqual([]);
    expect(plots.places).toBeGreaterThan(0);
    expect(plots.drawn).toBe(plots.places);
  });
});
