import { existsSync, readdirSync, statSync } from "node:fs";
import { fileURLToPath } from "node:url";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { openPage, startBrowser } from "./openPage.ts";
import { screenshot } from "./screenshot.ts";

const out = fileURLToPath(new URL("../../out/", import.meta.url));
const reports = existsSync(out) ? readdirSync(out).filter((name) => name.endsWith(".html")).sort() : [];

let browser: Browser;
beforeAll(async () => {
  browser = await startBrowser();
});
afterAll(() => browser.close());

test("there is a report to open (npm start makes them)", () => {
  expect(reports.length).toBeGreaterThan(0);
});

describe.each(reports)("the report %s", (name) => {
  test("weighs less than 800 kB, its program included", () => {
    expect(statSync(out + name).size).toBeLessThan(800e3);
  });

  test.each([1400, 360])("opens at %i px without an error or a request, every plot drawn, nothing wider than the screen", async (width) => {
    const { page, errors, outsideRequests, plots } = await openPage(browser, out + name, width);
    await screenshot(page, `${name.replace(/\.html$/, "")}-${width}`);
    const contentWidth = await page.evaluate(() => document.documentElement.scrollWidth);
    await page.context().close();
    expect(errors).toEqual([]);
    expect(outsideRequests).toEqual([]);
    // the description of the site file has no pictures, and a table of lots draws its map itself
    if (name !== "reference.html" && !name.endsWith("-lots.html")) expect(plots.places).toBeGreaterThan(0);
    expect(plots.drawn).toBe(plots.places);
    expect(contentWidth).toBeLessThanOrEqual(width);
  });
});
