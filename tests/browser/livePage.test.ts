import { mkdtempSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { deflateRawSync } from "node:zlib";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { changed as changedFile } from "../site/siteFiles.ts";
import { openPage, startBrowser, type OpenedPage } from "./openPage.ts";
import { screenshot } from "./screenshot.ts";

// The page carries the build, so the build is what it is held against.
const { answerSentence, designStorm, figures, readSite } = await import("../../dist/index.js");
const { settledRun } = await import("../../dist/simulate/settledRun.js");
const { sitePage } = await import("../../dist/report/sitePage.js");

const read = (path: string): string => readFileSync(new URL(path, import.meta.url), "utf8");
/** A program as the build bundled it, packed as a page carries it. */
function packed(name: string, isWasm: boolean): { packed: string; notices: string; isWasm: boolean } {
  return { packed: deflateRawSync(read(`../../dist/live/${name}.js`)).toString("base64"), notices: "/*! notices */", isWasm };
}
const program = packed("page", true);
const scriptProgram = packed("pageScript", false);

type File = Readonly<Record<string, unknown>>;
const whole = JSON.parse(read("../../data/copperbeech-lane.json")) as File & { readonly storms: readonly File[] };
const lane: File = { ...whole, storms: whole.storms.filter(({ file }) => file === undefined) };

/** The file with some of its values changed, by their paths. */
function fileWith(changes: Readonly<Record<string, unknown>>, file: File = lane): File {
  return Object.entries(changes).reduce((all, [path, value]) => changedFile(all, path, value) as File, file);
}

let browser: Browser;
beforeAll(async () => {
  browser = await startBrowser();
});
afterAll(() => browser.close());

function runOf(file: File, storm: number = 0): ReturnType<typeof settledRun> {
  const site = readSite(file);
  return settledRun(site, designStorm(site.storms[storm]!.options as never));
}

function written(file: File, isWasm: boolean = true): string {
  const site = readSite(file);
  const storms = site.storms.map(({ name, options }) => ({ name, rain: designStorm(options as never), isRecorded: false }));
  const path = join(mkdtempSync(join(tmpdir(), "soakstep-live-")), "site.html");
  const ran = storms.map(({ name, rain }) => ({ name, run: settledRun(site, rain) }));
  writeFileSync(path, sitePage(ran, { live: { file, rains: storms, program: isWasm ? program : scriptProgram } }));
  return path;
}

const spaced = (text: string | null): string => (text ?? "").replace(/\s+/g, " ").trim();
const answerOf = async (page: Page): Promise<string> => spaced(await page.locator("#answer").textContent());
const edited = (page: Page, key: string): string => new URLSearchParams(new URL(page.url()).hash.slice(1)).get(key)!
  .replace(/(\d)([a-z])/, "$1 $2");

/** Waits until the page's address tells a change, and gives it. */
async function changed(page: Page, key: string): Promise<string> {
  await page.waitForURL((url) => new URLSearchParams(url.hash.slice(1)).has(key), { timeout: 10_000 });
  return edited(page, key);
}

async function opened(file: File, width: number, address: string = ""): Promise<OpenedPage> {
  const path = written(file);
  const first = await openPage(browser, path, width);
  if (address !== "") {
    await first.page.goto(`${pathToFileURL(path).href}${address}`);
    await first.page.reload();
  }
  return first;
}

/** What is refused, beside a handle or over the pictures. */
async function said(page: Page): Promise<string> {
  return (await page.locator('[role="alert"]').allTextContents()).join(" ");
}

async function closed({ page, errors, outsideRequests }: OpenedPage): Promise<void> {
  await page.context().close();
  expect(errors).toEqual([]);
  expect(outsideRequests).toEqual([]);
}

describe.each([1400, 360])("at %i px wide, what the page says is what the library says", (width) => {
  test("as it opens, under 600 kB, and nothing wider than the screen", async () => {
    const live = await opened(lane, width);
    expect(await answerOf(live.page)).toBe(spaced(answerSentence(runOf(lane))));
    expect(await live.page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
    expect(statSync(new URL(live.page.url()).pathname).size).toBeLessThan(600e3);
    await closed(live);
  });

  test("when the rain is pulled by the mouse", async () => {
    const live = await opened(lane, width);
    const box = (await live.page.locator('[data-key="rain"] .knob').boundingBox())!;
    await live.page.mouse.move(box.x + 11, box.y + 11);
    await live.page.mouse.down();
    await live.page.mouse.move(box.x + 11, box.y + 41, { steps: 6 });
    await live.page.mouse.up();
    const depth = await changed(live.page, "rain");
    expect(depth).toMatch(/^\d+(\.\d+)? in$/);
    expect(Number.parseFloat(depth)).toBeGreaterThan(3.3);
    const file = fileWith({ "storms[0].depth": depth });
    expect(await answerOf(live.page)).toBe(spaced(answerSentence(runOf(file))));
    await screenshot(live.page, `live-rain-${width}`);
    await closed(live);
  });

  test("when the groundwater is pulled up into the pit by keys, and why the pit then stays full", async () => {
    const live = await opened(lane, width);
    await live.page.locator('[data-key="groundwater"]').focus();
    for (let press = 0; press < 12; press++) await live.page.keyboard.press("PageUp");
    await expect.poll(() => live.page.locator('[data-key="groundwater"]').getAttribute("aria-valuetext")).toContain("ft");
    await changed(live.page, "groundwater");
    // the address follows the last press
    const told = (): string => spaced(answerSentence(runOf(fileWith({ "groundwater.level": edited(live.page, "groundwater") }))));
    await expect.poll(async () => await answerOf(live.page) === told()).toBe(true);
    const level = edited(live.page, "groundwater");
    if (Number.parseFloat(level) > 92.1) expect(spaced(await live.page.locator("#why").textContent())).toContain("groundwater");
    await screenshot(live.page, `live-groundwater-${width}`);
    await closed(live);
  });

  test("when a length, a soil and a duration are typed with their units", async () => {
    const live = await opened(lane, width, "#storm=2");
    let file = lane;
    for (const [key, typed, path] of [
      ["trench", "60 ft", "overflowTrench.length"], ["soil2", "12 mm/h", "soil.layers[1].conductivity"], ["duration", "90 min", "storms[1].duration"],
    ] as const) {
      await live.page.locator(`[data-key="${key}"]`).focus();
      await live.page.keyboard.press("Enter");
      await live.page.locator(".typed input").fill(typed);
      await live.page.keyboard.press("Enter");
      file = fileWith({ [path]: typed }, file);
      await expect.poll(() => answerOf(live.page)).toBe(spaced(answerSentence(runOf(file, 1))));
    }
    await closed(live);
  });

  test("with a chamber more, the lid stuck, and all put back", async () => {
    const live = await opened(lane, width);
    await live.page.locator(".chambers button").last().click();
    const larger = fileWith({ "chamberBank.chambers[0].count": 5, "chamberBank.length": "16.875 ft" });
    await expect.poll(() => answerOf(live.page)).toBe(spaced(answerSentence(runOf(larger))));
    // what stands below is not of the change
    expect(await live.page.locator("#as-filed").textContent()).toBe("The storms and tables that follow are as the file has it, without what is changed above.");
    await live.page.locator("button.lid").click();
    const shut = fileWith({ "emitter.heldShut": [{ from: "0 h", to: "1 year" }] }, larger);
    await expect.poll(() => answerOf(live.page)).toBe(spaced(answerSentence(runOf(shut))));
    expect(await live.page.locator("button.lid").getAttribute("aria-pressed")).toBe("true");
    await screenshot(live.page, `live-lid-${width}`);
    await live.page.locator("#put-back").click();
    await expect.poll(() => answerOf(live.page)).toBe(spaced(answerSentence(runOf(lane))));
    expect(await live.page.locator("#as-filed").isVisible()).toBe(false);
    await closed(live);
  });

  test("at another hour, which the section follows", async () => {
    const live = await opened(lane, width);
    await live.page.locator('[data-key="hour"]').focus();
    await live.page.keyboard.press("Enter");
    await live.page.locator(".typed input").fill("30 h");
    await live.page.keyboard.press("Enter");
    await expect.poll(async () => spaced(await live.page.locator("#moment").textContent())).toBe(spaced(figures.section(runOf(lane), 30 * 3600).answer));
    await closed(live);
  });
});

test("what cannot be is said in the reader's words, and the last state stays", async () => {
  const live = await opened(lane, 1400);
  const before = await answerOf(live.page);
  for (const [key, typed, words] of [
    ["trench", "12 parsecs", "expected"], ["rain", "lots", "expected a length"], ["soil1", "3 ft", "got"],
  ] as const) {
    await live.page.locator(`[data-key="${key}"]`).focus();
    await live.page.keyboard.press("Enter");
    await live.page.locator(".typed input").fill(typed);
    await live.page.keyboard.press("Enter");
    await expect.poll(() => said(live.page)).toContain(words);
    expect(await answerOf(live.page)).toBe(before);
    // and it stays said while the page is scrolled away and back, and drawn at another width
    await live.page.evaluate(() => scrollTo(0, document.documentElement.scrollHeight));
    await live.page.setViewportSize({ width: 1300, height: 900 });
    await live.page.evaluate(() => scrollTo(0, 0));
    await live.page.setViewportSize({ width: 1400, height: 900 });
    await live.page.evaluate(() => new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn))));
    expect(await said(live.page)).toContain(words);
  }
  expect(new URL(live.page.url()).hash).toBe("");
  await closed(live);
});

test("a state that is sent by its address opens as it was", async () => {
  const live = await opened(lane, 1400, "#storm=2&rain=2.4in&groundwater=93.5ft&chambers=6&lid=shut&hour=3");
  const file = fileWith({
    "storms[1].depth": "2.4in", "groundwater.level": "93.5ft", "chamberBank.chambers[0].count": 6, "chamberBank.length": "20.25 ft",
    "emitter.heldShut": [{ from: "0 h", to: "1 year" }],
  });
  const run = runOf(file, 1);
  await expect.poll(() => answerOf(live.page)).toBe(spaced(answerSentence(run)));
  expect(spaced(await live.page.locator("#moment").textContent())).toBe(spaced(figures.section(run, 3 * 3600).answer));
  expect(JSON.parse((await live.page.locator("#file").textContent())!)).toEqual(file);
  await closed(live);
});

test("names from a site file are text, whatever they hold", async () => {
  const hostile = fileWith({
    name: '</script><img src=x onerror="document.title=1">"quoted" & <b>bold</b>',
    about: "<!-- <script>document.title = 2</script>",
    "storms[0].name": "'><svg onload=alert(1)> \u202eright to left\u202c",
    "watchLevels[0].name": `${"very long ".repeat(18)}<i>name</i>`,
    "catchments[0].name": "</title><base href='//x'>",
  });
  const live = await opened(hostile, 360);
  expect(await live.page.title()).toContain("</script>");
  expect(await live.page.evaluate(() => document.querySelectorAll("img, base, main b, svg[onload]").length)).toBe(0);
  expect(await live.page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360);
  await live.page.locator("button.lid").click();
  await screenshot(live.page, "live-hostile-360");
  await closed(live);
});
