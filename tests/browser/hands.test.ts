import { existsSync, readFileSync } from "node:fs";
import { fileURLToPath, pathToFileURL } from "node:url";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { lessonAnswers, lessonRun } from "../../lib/study/lesson.ts";
import { openPage, startBrowser, type OpenedPage } from "./openPage.ts";
import { screenshot } from "./screenshot.ts";

// The pages of `npm start` and `npm start -- lesson` under hands of every kind, held against the build that made them.
const out = fileURLToPath(new URL("../../out/", import.meta.url));
const lane = `${out}copperbeech-lane.html`;
const lesson = `${out}lesson.html`;
const axe = readFileSync(fileURLToPath(import.meta.resolve("axe-core/axe.min.js")), "utf8");

let browser: Browser;
beforeAll(async () => {
  browser = await startBrowser();
});
afterAll(() => browser.close());

async function closed({ page, errors, outsideRequests }: OpenedPage): Promise<void> {
  await page.context().close();
  expect(errors).toEqual([]);
  expect(outsideRequests).toEqual([]);
}

/** The middle of a knob, on the screen. */
async function knob(page: Page, key: string): Promise<{ x: number; y: number }> {
  const grip = page.locator(`[data-key="${key}"] .grip`);
  await grip.scrollIntoViewIfNeeded();
  const { x, y, width, height } = (await grip.boundingBox())!;
  return { x: x + width / 2, y: y + height / 2 };
}

test("there are pages to open (npm start, and npm start -- lesson)", () => {
  expect([lane, lesson].filter((path) => !existsSync(path))).toEqual([]);
});

describe.each([lane, lesson])("%s", (path) => {
  test.each([360, 768, 1400])("has no serious finding of axe at %i px", async (width) => {
    const opened = await openPage(browser, path, width);
    await opened.page.evaluate(axe);
    const found = await opened.page.evaluate(async () => {
      const { axe: checks } = globalThis as unknown as {
        axe: { run: () => Promise<{ violations: { id: string; impact: string; nodes: { html: string; failureSummary: string }[] }[] }> };
      };
      const { violations } = await checks.run();
      return violations.filter(({ impact }) => impact === "serious" || impact === "critical")
        .map(({ id, nodes }) => `${id}: ${nodes.slice(0, 3).map(({ html, failureSummary }) => `${html.slice(0, 160)} ${failureSummary}`).join("; ")}`);
    });
    await screenshot(opened.page, `hands-${path.endsWith("lesson.html") ? "lesson" : "lane"}-${width}`);
    await closed(opened);
    expect(found).toEqual([]);
  });

  test("shows its drawings where no script runs", async () => {
    const context = await browser.newContext({ viewport: { width: 768, height: 900 }, javaScriptEnabled: false });
    const page = await context.newPage();
    await page.goto(pathToFileURL(path).href);
    const places = await page.locator(".picture").count();
    expect(places).toBeGreaterThan(0);
    for (let i = 0; i < places; i++) {
      const place = page.locator(".picture").nth(i);
      // what stands folded is drawn when it is opened
      if (await place.isVisible()) expect(await place.locator(".drawn svg:visible").count()).toBe(1);
    }
    await context.close();
  });
});

describe.each([360, 1400])("a site's page, %i px wide", (width) => {
  test("keeps the curve before as a thin line while a handle is held, and takes the pull back by key and forth again", async () => {
    const opened = await openPage(browser, lane, width);
    const { page } = opened;
    const answer = (): Promise<string | null> => page.locator("#answer").textContent();
    const before = await answer();
    const ghosts = page.locator('#level g[clip-path] path[stroke="#5d6872"][stroke-width="1.2"]');
    const { x, y } = await knob(page, "rain");
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x, y + 30, { steps: 5 });
    await expect.poll(() => ghosts.count()).toBe(1);
    await page.mouse.up();
    await expect.poll(() => ghosts.count()).toBe(0);
    await page.waitForURL((url) => url.hash.includes("rain="));
    const after = await answer();
    expect(after).not.toBe(before);
    await page.keyboard.press("Control+z");
    await expect.poll(answer).toBe(before);
    await page.keyboard.press("Control+y");
    await expect.poll(answer).toBe(after);
    await closed(opened);
  });

  test("runs through time when the hour is tapped, and stops at another tap", async () => {
    const opened = await openPage(browser, lane, width);
    const { page } = opened;
    const moment = (): Promise<string | null> => page.locator("#moment").textContent();
    const first = await moment();
    const at = await knob(page, "hour");
    await page.mouse.click(at.x, at.y);
    await expect.poll(() => page.locator("body.running").count()).toBe(1);
    await expect.poll(moment).not.toBe(first);
    await page.locator('[data-key="hour"]').focus();
    await page.keyboard.press("Space");
    await expect.poll(() => page.locator("body.running").count()).toBe(0);
    // it comes to rest at a hundredth of an hour
    await page.waitForTimeout(200);
    const stopped = await moment();
    await page.waitForTimeout(200);
    expect(await moment()).toBe(stopped);
    await closed(opened);
  });
});

test("a finger on a knob pulls, and anywhere else scrolls the page", async () => {
  const context = await browser.newContext({ viewport: { width: 360, height: 800 }, hasTouch: true, isMobile: true });
  const page = await context.newPage();
  await page.goto(pathToFileURL(lane).href);
  await page.waitForSelector(".handle");
  const session = await context.newCDPSession(page);
  const stroke = async (x: number, from: number, to: number): Promise<void> => {
    await session.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: [{ x, y: from }] });
    for (let i = 1; i <= 8; i++) {
      await session.send("Input.dispatchTouchEvent", { type: "touchMove", touchPoints: [{ x, y: from + ((to - from) * i) / 8 }] });
    }
    await session.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
  };
  const rain = page.locator('[data-key="rain"]');
  const at = await knob(page, "rain");
  const [value, scrolled] = [await rain.getAttribute("aria-valuenow"), await page.evaluate(() => scrollY)];
  await stroke(at.x, at.y, at.y + 40);
  await expect.poll(() => rain.getAttribute("aria-valuenow")).not.toBe(value);
  expect(await page.evaluate(() => scrollY)).toBe(scrolled);
  const pulled = await rain.getAttribute("aria-valuenow");
  await stroke(250, 500, 300);
  await expect.poll(() => page.evaluate(() => scrollY)).toBeGreaterThan(scrolled);
  expect(await rain.getAttribute("aria-valuenow")).toBe(pulled);
  await context.close();
});

describe.each([360, 768, 1400])("the lesson, %i px wide", (width) => {
  test("tells what the library does at a place that keys move to, with each cause alone", async () => {
    const opened = await openPage(browser, lesson, width);
    const { page } = opened;
    await page.locator('[data-key="place"]').focus();
    await page.keyboard.press("ArrowRight");
    await page.locator("#run-on").click();
    await expect.poll(() => page.url()).toMatch(/#B2\d\d$/);
    const causes = [[false, false], [true, false], [false, true], [true, true]] as const;
    const told = causes.map(([groundwater, runOn]) => {
      const state = { place: 1, groundwater, runOn };
      return lessonAnswers(lessonRun(state), state);
    });
    const cells = async (row: number): Promise<string[]> => page.locator("#four tbody tr").nth(row).locator("td").allTextContents();
    await expect.poll(() => cells(0)).toEqual(told.map(({ peak }) => peak.toFixed(2)));
    expect(await cells(1)).toEqual(told.map(({ day3 }) => day3.toFixed(2)));
    await closed(opened);
  });

  test("takes a guess drawn by hand before it runs, and a code from across the room", async () => {
    const opened = await openPage(browser, lesson, width);
    const { page } = opened;
    await page.getByRole("button", { name: "First question" }).click();
    const depth = page.locator("#depth .drawing");
    await depth.scrollIntoViewIfNeeded();
    const box = (await page.locator("#depth").boundingBox())!;
    await page.mouse.move(box.x + 70, box.y + box.height - 70);
    await page.mouse.down();
    await page.mouse.move(box.x + 0.6 * box.width, box.y + 60, { steps: 8 });
    await page.mouse.up();
    await page.getByRole("button", { name: "Run it" }).click();
    await expect.poll(() => page.locator("#asked").textContent()).toContain("The low place alone does nothing");
    await page.locator("#code").fill("A212");
    await expect.poll(() => page.locator("#run-on").getAttribute("aria-checked")).toBe("false");
    expect(await page.locator("#groundwater").getAttribute("aria-checked")).toBe("true");
    await closed(opened);
  });
});
