import { existsSync, readFileSync } from "node:fs";
import { fileURLToPath, pathToFileURL } from "node:url";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { lessonAnswers, lessonRun } from "../../lib/study/lesson.ts";
import { openPage, startBrowser, type OpenedPage } from "./openPage.ts";

// The pages of `npm start` and `npm start -- lesson` under hands of every kind, held against the build that made them.
const out = fileURLToPath(new URL("../../out/", import.meta.url));
const lane = `${out}copperbeech-lane.html`;
const lesson = `${out}lesson.html`;

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

test.each([lane, lesson])("%s on paper has no button to press, and no picture missing or cut", async (path) => {
  const opened = await openPage(browser, path, 700);
  const { page } = opened;
  await page.emulateMedia({ media: "print" });
  await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
  expect(await page.locator("button:visible, .hint:visible, input:visible").allTextContents()).toEqual(path === lane ? ["2-year day", "lid free"] : []);
  // what is changed from the file is told where its answers are printed
  if (path === lane) expect(await page.locator("#changed-words").isVisible()).toBe(true);
  const pictures = await page.locator(".picture").evaluateAll((places) => places.filter((place) => place.getClientRects().length > 0).map((place) => {
    const drawings = [...place.querySelectorAll(".drawn svg, .drawing svg")].filter((svg) => svg.getClientRects().length > 0);
    return { drawings: drawings.length, widest: Math.max(...drawings.map((svg) => svg.getBoundingClientRect().width)) };
  }));
  expect(pictures.length).toBeGreaterThan(1);
  // about what A4 and Letter leave between their margins
  for (const { drawings, widest } of pictures) expect([drawings, widest <= 700]).toEqual([1, true]);
  await closed(opened);
});

test.each([360, 768, 1400])("at %i px a page never moves under the hand, and its axes stand still while it pulls", async (width) => {
  for (const path of [lane, `${out}sedge-hollow.html`]) {
    const opened = await openPage(browser, path, width);
    const { page } = opened;
    for (const [key, picture, right, down] of [
      ["rain", "level", 0, 60], ["groundwater", "section", 0, -90], ["soil1", "section", 0, -60], ["hour", "level", 60, 0], ["rain", "level", 0, -120],
      ["trench", "section", 24, 0], ["trench", "section", -24, 0],
    ] as const) {
      const { x, y } = await knob(page, key);
      const top = (): Promise<number> => page.locator(`#${picture}`).evaluate((place) => place.getBoundingClientRect().top);
      const before = await top();
      const axis = (): Promise<string[]> => page.locator("#level .drawing text[data-tick]").allTextContents();
      const ticks = await axis();
      const height = await page.locator("#section .drawing svg").getAttribute("height");
      await page.mouse.move(x, y);
      await page.mouse.down();
      for (let i = 1; i <= 8; i++) {
        await page.mouse.move(x + (right * i) / 8, y + (down * i) / 8);
        await page.evaluate(() => new Promise((resolve) => { requestAnimationFrame(() => { requestAnimationFrame(resolve); }); }));
        expect(Math.abs(await top() - before), `${path}: ${key}`).toBeLessThan(1);
        if (key !== "hour") expect(await axis()).toEqual(ticks);
        expect(await page.locator("#section .drawing svg").getAttribute("height")).toBe(height);
      }
      // the trench's end stays under the hand, half a step of its length at most aside
      if (key === "trench") expect(Math.abs((await knob(page, key)).x - x - right), path).toBeLessThan(4);
      await page.mouse.up();
      await page.waitForTimeout(500);
    }
    await closed(opened);
  }
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

test("on a phone no knob's words lie on another's, nor beside the page", async () => {
  for (const path of [lane, `${out}sedge-hollow.html`, `${out}linden-row.html`, `${out}hazelbank-lower-bench.html`, lesson]) {
    const opened = await openPage(browser, path, 360);
    const boxes = await opened.page.locator(".handle .words").evaluateAll((all) => all.map((each) => {
      const { left, right, top, bottom } = each.getBoundingClientRect();
      return { said: each.textContent, left, right, top, bottom };
    }).filter(({ said }) => said !== ""));
    expect(boxes.length).toBeGreaterThan(1);
    for (const [i, a] of boxes.entries()) {
      expect(a.left >= 0 && a.right <= 360, `${path}: ${a.said}`).toBe(true);
      for (const b of boxes.slice(i + 1)) {
        expect(a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom, `${path}: ${a.said}, ${b.said}`).toBe(false);
      }
    }
    await closed(opened);
  }
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

  test("is saved as SVG and PNG, as it stands", async () => {
    const opened = await openPage(browser, lesson, width);
    const { page } = opened;
    await page.locator("#code").fill("F224");
    await page.locator("details.saves summary").click();
    for (const [name, words] of [["slope", "groundwater at the pit 1"], ["depth", "groundwater"]] as const) {
      const saved = async (kind: string): Promise<Buffer> => {
        const [download] = await Promise.all([page.waitForEvent("download"), page.locator(`#save-${name}-${kind}`).click()]);
        expect(download.suggestedFilename()).toBe(`${name}.${kind}`);
        return readFileSync(await download.path());
      };
      const svg = (await saved("svg")).toString("utf8");
      expect(await page.evaluate((source) => new DOMParser().parseFromString(source, "image/svg+xml").documentElement.nodeName, svg)).toBe("svg");
      expect(svg).toContain(words);
      // twice 960 px wide, in the header of a PNG (ISO/IEC 15948, 11.2.2)
      const png = await saved("png");
      expect([png.subarray(1, 4).toString("latin1"), png.readUInt32BE(16)]).toEqual(["PNG", 1920]);
    }
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
    await expect.poll(() => page.locator("#groundwater").getAttribute("aria-checked")).toBe("true");
    expect(await page.locator("#run-on").getAttribute("aria-checked")).toBe("false");
    // what is no code is said
    await page.locator("#code").fill("A4");
    await page.locator("#code").blur();
    expect(await page.locator("#code-words").textContent()).toContain("A code has a letter from A to K");
    await closed(opened);
  });
});
