import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { pathToFileURL } from "node:url";
import { startBrowser } from "./openPage.ts";
import { screenshot } from "./screenshot.ts";
import { tenYards, type FieldNotes } from "./tenYards.ts";

// The page carries the build, so the build is what it is held against.
const { readSite, settledRun, designStorm } = await import("../../dist/index.js");
const { readAnswers, yardOf, proposeWorks, fileText, firstAnswers } = await import("../../dist/yards.js");
const { newPage } = await import("../../dist/yard/newPage.js");

const program = (isWasm: boolean): string => readFileSync(new URL(`../../dist/newPage/${isWasm ? "page" : "scriptPage"}.js`, import.meta.url), "utf8");
const folder = mkdtempSync(join(tmpdir(), "soakstep-new-page-"));
const address = (isWasm: boolean): string => {
  const path = join(folder, isWasm ? "new.html" : "new-script.html");
  writeFileSync(path, newPage({ program: program(isWasm), isWasm }));
  return pathToFileURL(path).href;
};

let browser: Browser;
beforeAll(async () => {
  browser = await startBrowser();
});
afterAll(() => browser.close());

interface Phone {
  readonly page: Page;
  readonly errors: string[];
  taps: number;
  typed: number;
}

/** A phone 360 px wide, touch alone, cut off from every network. */
async function phone(isWasm = true): Promise<Phone> {
  const context = await browser.newContext({ viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true });
  const page = await context.newPage();
  const errors: string[] = [];
  page.on("pageerror", (error) => errors.push(String(error)));
  page.on("console", (message) => {
    if (message.type() === "error") errors.push(message.text());
  });
  page.on("request", (request) => {
    if (!/^(?:file|data|blob):/.test(request.url())) errors.push(`asked for ${request.url()}`);
  });
  await page.goto(address(isWasm));
  return { page, errors, taps: 0, typed: 0 };
}

/** Field notes typed as a thumb does: a tap for a field, a tap for the keyboard's next, a tap for a chip. */
async function told(on: Phone, { answers }: FieldNotes): Promise<void> {
  const { page } = on;
  for (const [key, text] of Object.entries(answers)) {
    const chip = page.locator(`[data-chip="${key}"]`);
    if (key.startsWith("reading 2 ") && (await page.locator('[data-set-up="2"]').count()) === 0) {
      await page.locator("#move").tap();
      on.taps++;
    }
    const [word, depth] = key === "groundwater" ? (/^(seen|none) (.*)$/.exec(text)?.slice(1) ?? [text]) : [text];
    const quoted = JSON.stringify(word);
    const choice = page.locator(`[data-chip="${key}"][data-value=${quoted}], [data-quick="${key}"][data-value=${quoted}]`);
    if ((await choice.count()) > 0) {
      await choice.first().tap();
      on.taps++;
      if (depth !== undefined) {
        // the chip has put the keyboard into the field of the depth
        await page.keyboard.type(depth);
        on.typed++;
      }
      continue;
    }
    const field = (await chip.count()) > 0 ? page.locator(`[data-typed="${key}"]`) : page.locator(`input[data-key="${key}"]`);
    await field.tap();
    on.taps++;
    await page.keyboard.type(text);
    on.typed++;
  }
}

async function answered({ page }: Phone, facts: number): Promise<void> {
  await expect.poll(() => page.locator("#progress").textContent(), { timeout: 20_000 }).toBe(`${facts} of 12 facts`);
  // what is shown belongs to what was typed last
  await expect.poll(() => page.locator("#answers").getAttribute("data-shown"), { timeout: 60_000 }).toBe(await page.locator("#answers").getAttribute("data-told"));
}

const savedText = async ({ page }: Phone): Promise<string> => decodeURIComponent((await page.locator("#save").getAttribute("href"))!.replace(/^[^,]*,/, ""));

describe("ten made-up yards from pages of field notes, on a phone by touch alone", () => {
  test.each(tenYards.map((notes) => [notes.answers["name"]!, notes] as const))("%s", async (_, notes) => {
    const on = await phone();
    await told(on, notes);
    await answered(on, notes.facts ?? 12);
    const { page } = on;
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360);
    const yard = yardOf(readAnswers(notes.answers).told!);
    const proposal = await proposeWorks(yard);
    const six = (await firstAnswers(proposal)).answers;
    expect((await page.locator("#six h3 + p").allTextContents())).toEqual(six.map(({ answer }: { answer: string }) => answer));
    if (proposal.kind === "works") {
      await page.locator("#save").tap();
      on.taps++;
      // the same file as the command's, to the last bit, and the same run
      expect(await savedText(on)).toBe(fileText(proposal.file));
      const site = readSite(await savedText(on));
      const rain = designStorm(site.storms[1]!.options as never);
      expect(settledRun(site, rain).peaks).toEqual(settledRun(proposal.site, rain).peaks);
    }
    expect(proposal.kind).toBe(notes.ends);
    console.log(`${notes.answers["name"]}: ${on.taps} taps, ${on.typed} values typed; ${six[1]!.answer.slice(0, 70)}`);
    expect(on.taps).toBeLessThanOrEqual(40);
    await screenshot(page, `new-${notes.answers["name"]!.toLowerCase().replaceAll(" ", "-")}-360`);
    expect(on.errors).toEqual([]);
    await page.context().close();
  });
});

test("a saved yard opens again with its readings, its changes by hand and its saved text", async () => {
  const on = await phone();
  const [notes] = tenYards;
  await told(on, notes!);
  await answered(on, 12);
  const { page } = on;
  await page.locator("#key-list summary", { hasText: "chamber bank" }).tap();
  const width = page.locator('[id="key-chamberBank.width"]');
  await width.fill("5 ft");
  await width.press("Enter");
  await expect.poll(() => savedText(on)).toContain('"width": "5 ft"');
  const text = await savedText(on);
  const path = join(folder, "saved.json");
  writeFileSync(path, text);
  const again = await phone(false);
  await again.page.locator("#open").setInputFiles(path);
  await answered(again, 12);
  expect(await savedText(again)).toBe(text);
  expect(await again.page.locator('input[data-key="reading 1 lid"]').inputValue()).toBe("7 ft");
  await again.page.locator("#put-back").tap();
  await expect.poll(() => savedText(again)).not.toContain('"width": "5 ft"');
  expect([on.errors, again.errors]).toEqual([[], []]);
  await page.context().close();
  await again.page.context().close();
});

test("the town's table is read from its file, and the room for the pit is drawn", async () => {
  const on = await phone();
  const { rain: _, ...answers } = tenYards[0]!.answers;
  await told(on, { answers, ends: "works" });
  const path = join(folder, "town.csv");
  writeFileSync(path, [
    "Point precipitation frequency estimates (inches)", "NOAA Atlas 14 Volume 0 Version 1", "Time series type: Partial duration", "Latitude: 10.5 Degree", "Longitude: -20.5 Degree",
    "PRECIPITATION FREQUENCY ESTIMATES", "by duration for ARI (years):, 1,2,10,100", "30-min:, 0.95,1.2,1.75,2.3", "60-min:, 1.2,1.5,2.3,3.2", "",
  ].join("\n"));
  await on.page.locator("#rain-file").setInputFiles(path);
  await answered(on, 12);
  expect(await on.page.locator("#rain-said").textContent()).toBe("In an hour 1.50 in every second year, 3.20 in once in 100 years.");
  expect(await savedText(on)).toContain('"depth": "3.2 in"');
  expect(await on.page.locator("#plan-picture").textContent()).toContain("room 30 ft × 12 ft");
  await on.page.locator("#plan-picture").scrollIntoViewIfNeeded();
  await screenshot(on.page, "new-plan-360");
  // a depth that is typed stands in its place again
  await on.page.locator('input[data-key="rain"]').fill("1.4");
  await expect.poll(() => on.page.locator("#rain-said").textContent()).toBe("");
  await expect.poll(() => savedText(on)).toContain('"depth": "1.4 in"');
  expect(on.errors).toEqual([]);
  await on.page.context().close();
});

test("what is wrong or unlikely is said beside its field, and asked back with one tap", async () => {
  const on = await phone();
  await told(on, { answers: { "region": "US", "roof": "1600 sf", "reading 1 box": "4.3", "reading 1 pit": "5", "reading 1 lid": "7", "pitToLid": "14 m", "boxToPit": "twelve" }, ends: "works" });
  const said = (key: string): Promise<string | null> => on.page.locator(`[data-say="${key}"]`).textContent();
  await expect.poll(() => said("pitToLid")).toContain("14 m is 45.9 ft: is that the unit you mean");
  await expect.poll(() => said("boxToPit")).toContain("expected a length");
  await on.page.locator('[data-say="pitToLid"] button').tap();
  await expect.poll(() => said("pitToLid")).toBe("");
  await on.page.locator('input[data-key="boxToPit"]').fill("12");
  await answered(on, 7);
  expect(await savedText(on)).toContain('"pitToLid": "14 m"');
  expect(on.errors).toEqual([]);
  await on.page.context().close();
});

test("the distance to the house is pulled on its picture, by thumb and by keys, and is told then", async () => {
  const on = await phone();
  await told(on, tenYards[0]!);
  await answered(on, 12);
  const { page } = on;
  const picture = page.locator("#wall-picture");
  await picture.scrollIntoViewIfNeeded();
  const box = (await picture.boundingBox())!;
  await page.touchscreen.tap(box.x + box.width * 0.5, box.y + box.height - 34);
  await expect.poll(() => page.locator('input[data-key="houseToPit"]').inputValue()).toMatch(/^(?:19|20) ft$/);
  await picture.focus();
  await page.keyboard.press("ArrowRight");
  await expect.poll(() => page.locator('input[data-key="houseToPit"]').inputValue()).toMatch(/^(?:20|21) ft$/);
  await expect.poll(() => page.locator("#wall-words").textContent()).toMatch(/^At 2[01](?:\.\d)? ft /);
  expect(on.errors).toEqual([]);
  await page.context().close();
});

test("a test at the hole says when it is enough", async () => {
  const on = await phone();
  const { page } = on;
  await told(on, { answers: { "region": "US", "soil": "test at the hole", "hole diameter": "8", "hole bottom": "24" }, ends: "works" });
  const reading = async (fill: number, row: number, clock: string, tape: string): Promise<void> => {
    const inputs = page.locator(".fill").nth(fill).locator(".reading").nth(row).locator("input");
    await inputs.nth(0).fill(clock);
    await inputs.nth(1).fill(tape);
  };
  for (const [row, [clock, tape]] of [["8:15", "12"], ["8:45", "14"], ["9:15", "15 3/4"]].entries()) await reading(0, row, clock!, tape!);
  await expect.poll(() => page.locator("#hole-words").textContent()).toMatch(/^One more fill: the first one only wets/);
  await page.locator("#add-fill").tap();
  for (const [row, [clock, tape]] of [["9:20", "12"], ["9:50", "13.9"], ["10:20", "15.6"]].entries()) await reading(1, row, clock!, tape!);
  await expect.poll(() => page.locator("#hole-words").textContent()).toMatch(/^Enough: the last two fills agree within/);
  expect(await page.locator("#hole-picture svg").count()).toBe(1);
  await page.locator("#hole").scrollIntoViewIfNeeded();
  await screenshot(page, "new-hole-360");
  expect(on.errors).toEqual([]);
  await page.context().close();
});
