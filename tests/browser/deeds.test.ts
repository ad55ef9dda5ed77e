import { existsSync, readFileSync } from "node:fs";
import { fileURLToPath, pathToFileURL } from "node:url";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { movingGif } from "../../lib/live/stormLoop.ts";
import { startBrowser } from "./openPage.ts";

// What a person does with a site's page, by mouse, finger and keys, at three widths; the page is the one of `npm start`.
const lane = fileURLToPath(new URL("../../out/copperbeech-lane.html", import.meta.url));
const KINDS = [[360, true], [768, true], [1400, false]] as const;

let browser: Browser;
beforeAll(async () => {
  browser = await startBrowser();
});
afterAll(() => browser.close());

test("there is a page to open (npm start)", () => {
  expect(existsSync(lane)).toBe(true);
});

interface Opened {
  readonly page: Page;
  readonly context: BrowserContext;
  /** uncaught, so far */
  readonly errors: readonly string[];
}

async function opened(width: number, hasTouch: boolean): Promise<Opened> {
  const context = await browser.newContext({ viewport: { width, height: 900 }, hasTouch, acceptDownloads: true });
  const page = await context.newPage();
  const errors: string[] = [];
  page.on("pageerror", (error) => errors.push(String(error)));
  await page.goto(pathToFileURL(lane).href);
  await page.waitForSelector(".handle");
  return { page, context, errors };
}

async function closed({ context, errors }: Opened): Promise<void> {
  await context.close();
  expect(errors).toEqual([]);
}

const value = (page: Page, key: string): Promise<string | null> => page.locator(`[data-key="${key}"]`).getAttribute("aria-valuetext");

/** Pulls a knob by a number of pixels, with a finger or the mouse. */
async function pull({ page, context }: Opened, hasTouch: boolean, key: string, right: number, down: number): Promise<void> {
  const grip = page.locator(`[data-key="${key}"] .grip`);
  await grip.scrollIntoViewIfNeeded();
  const { x, y, width, height } = (await grip.boundingBox())!;
  const [fromX, fromY] = [x + width / 2, y + height / 2];
  if (!hasTouch) {
    await page.mouse.move(fromX, fromY);
    await page.mouse.down();
    await page.mouse.move(fromX + right, fromY + down, { steps: 6 });
    await page.mouse.up();
    return;
  }
  const session = await context.newCDPSession(page);
  await session.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: [{ x: fromX, y: fromY }] });
  for (let i = 1; i <= 6; i++) {
    await session.send("Input.dispatchTouchEvent", { type: "touchMove", touchPoints: [{ x: fromX + (right * i) / 6, y: fromY + (down * i) / 6 }] });
  }
  await session.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
}

async function typed(page: Page, key: string, text: string): Promise<void> {
  await page.locator(`[data-key="${key}"]`).focus();
  await page.keyboard.press("Enter");
  await page.locator(".typed input").fill(text);
  await page.keyboard.press("Enter");
}

async function saved(page: Page, id: string): Promise<{ readonly name: string; readonly bytes: Buffer }> {
  const [download] = await Promise.all([page.waitForEvent("download"), page.locator(`#${id}`).click()]);
  return { name: download.suggestedFilename(), bytes: readFileSync(await download.path()) };
}

interface Decoded {
  readonly frames: number;
  readonly repeats: number;
  readonly pixels: readonly (readonly number[])[];
}

/** A GIF read by Chromium's own decoder, the pixels of its first `some` pictures. */
async function decoded(page: Page, bytes: Uint8Array, some: number): Promise<Decoded> {
  return page.evaluate(async ([base64, count]) => {
    const data = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
    const decoder = new ImageDecoder({ data, type: "image/gif" });
    await Promise.all([decoder.completed, decoder.tracks.ready]);
    const track = decoder.tracks.selectedTrack!;
    const pixels: number[][] = [];
    for (let frameIndex = 0; frameIndex < count; frameIndex++) {
      const { image } = await decoder.decode({ frameIndex });
      const canvas = new OffscreenCanvas(image.displayWidth, image.displayHeight);
      const pen = canvas.getContext("2d")!;
      pen.drawImage(image, 0, 0);
      pixels.push([...pen.getImageData(0, 0, canvas.width, canvas.height).data]);
    }
    return { frames: track.frameCount, repeats: track.repetitionCount, pixels };
  }, [Buffer.from(bytes).toString("base64"), some] as const);
}

describe.each(KINDS)("a site's page %i px wide, touched: %s", (width, hasTouch) => {
  test("is pulled, taken back by key and by the back button, and done again", async () => {
    const all = await opened(width, hasTouch);
    const { page } = all;
    const before = await value(page, "rain");
    await pull(all, hasTouch, "rain", 0, 40);
    await page.waitForURL((url) => url.hash.includes("rain="));
    const after = await value(page, "rain");
    expect(after).not.toBe(before);
    await page.keyboard.press("Control+z");
    await expect.poll(() => value(page, "rain")).toBe(before);
    await page.keyboard.press("Control+Shift+z");
    await expect.poll(() => value(page, "rain")).toBe(after);
    await page.goBack();
    await expect.poll(() => value(page, "rain")).toBe(before);
    await page.goForward();
    await expect.poll(() => value(page, "rain")).toBe(after);
    await closed(all);
  });

  test("takes its own words and units where a value is typed, keeps what was refused, and End reaches the end", async () => {
    const all = await opened(width, hasTouch);
    const { page } = all;
    await typed(page, "groundwater", "95");
    await expect.poll(() => value(page, "groundwater")).toBe("95.00 ft");
    await typed(page, "groundwater", "never");
    await expect.poll(() => value(page, "groundwater")).toBe("far below");
    await typed(page, "groundwater", "far below");
    await typed(page, "hour", "12");
    await expect.poll(() => value(page, "hour")).toBe("hour 12");
    await typed(page, "groundwater", "100 m");
    await expect.poll(async () => (await page.locator('[role="alert"]').allTextContents()).join(" ")).toContain("up to the ground over the pit, 98.20 ft");
    await page.locator('[data-key="groundwater"]').focus();
    await page.keyboard.press("Enter");
    expect(await page.locator(".typed input").inputValue()).toBe("100 m");
    await page.keyboard.press("Escape");
    await page.locator('[data-key="hour"]').focus();
    await page.keyboard.press("End");
    const slider = page.locator('[data-key="hour"]');
    const most = await slider.getAttribute("aria-valuemax");
    await expect.poll(() => slider.getAttribute("aria-valuenow")).toBe(most);
    await page.keyboard.press("Home");
    await expect.poll(() => slider.getAttribute("aria-valuenow")).toBe("0");
    // keys that come faster than frames all count
    for (let press = 0; press < 8; press++) await page.keyboard.press("ArrowRight");
    await expect.poll(() => slider.getAttribute("aria-valuenow")).toBe("2");
    await closed(all);
  });

  test("is saved as SVG and PNG, as a moving picture of the storm, and its code is copied", async () => {
    const all = await opened(width, hasTouch);
    const { page, context } = all;
    await context.grantPermissions(["clipboard-read", "clipboard-write"]);
    await typed(page, "rain", "2.4 in");
    await page.waitForURL((url) => url.hash.includes("rain=2.4in"));
    await page.locator("#copy").click();
    expect(await page.locator("#code").inputValue()).toBe("rain=2.4in");
    await page.locator("details.saves summary").click();
    // what the knobs of a page say stands in the saved section too
    for (const [picture, words] of [["level", "2.40 in"], ["section", "0.125 in/h"]] as const) {
      const svg = await saved(page, `save-${picture}-svg`);
      expect(svg.name).toBe(`${picture}.svg`);
      const text = svg.bytes.toString("utf8");
      expect(await page.evaluate((source) => new DOMParser().parseFromString(source, "image/svg+xml").documentElement.nodeName, text)).toBe("svg");
      expect(text).toContain(words);
      const png = await saved(page, `save-${picture}-png`);
      expect(png.name).toBe(`${picture}.png`);
      // twice 960 px wide, in the header of a PNG (ISO/IEC 15948, 11.2.2)
      expect([png.bytes.subarray(1, 4).toString("latin1"), png.bytes.readUInt32BE(16)]).toEqual(["PNG", 1920]);
    }
    const gif = await saved(page, "save-storm");
    expect(gif.name).toBe("storm.gif");
    expect(gif.bytes.length).toBeLessThan(1e6);
    const { frames, repeats, pixels: [first, second] } = await decoded(page, gif.bytes, 2);
    expect([frames, repeats]).toEqual([48, Infinity]);
    expect(second).not.toEqual(first);
    await closed(all);
  }, 60_000);
});

test("a moving picture is read by Chromium pixel by pixel as it was drawn", async () => {
  const all = await opened(768, false);
  const [width, height] = [70, 90];
  // 200 colours, told apart by 8 and more, in a noise that no two pictures share
  let seed = 1;
  const random = (): number => (seed = (seed * 48271) % 2147483647) / 2147483647;
  const pictures = Array.from({ length: 4 }, () => new Uint8ClampedArray(4 * width * height));
  for (const picture of pictures) {
    for (let at = 0; at < picture.length; at += 4) {
      const color = Math.floor(200 * random());
      picture.set([8 * (color % 8), 8 * Math.floor(color / 8), 96, 255], at);
    }
  }
  const gif = movingGif(pictures, { width, height, delays: pictures.map(() => 0.1) });
  const { frames, pixels } = await decoded(all.page, gif, 4);
  expect(frames).toBe(4);
  expect(pixels.map((picture, i) => picture.findIndex((part, at) => part !== pictures[i]![at]))).toEqual([-1, -1, -1, -1]);
  await closed(all);
});
