import { spawn } from "node:child_process";
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { rolldown } from "rolldown";
import type { Browser, Locator, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { fileURLToPath, pathToFileURL } from "node:url";
import type { FirstAnswer } from "../../lib/yard/firstAnswers.ts";
import { fileName, notesIn } from "../../lib/yard/fileKeys.ts";
import { type Answers, questions } from "../../lib/yard/questions.ts";
import { BAD, NORMAL } from "../../lib/yard/yardFile.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { lengthText } from "../../lib/text/format.ts";
import { fieldNotes, finalAnswers, type FieldNotes } from "../yard/fieldNotes.ts";
import { startBrowser } from "./openPage.ts";
import { screenshot } from "./screenshot.ts";
import * as digits from "./digits.ts";

// The page carries the build, so the build is what it is held against.
const { readAnswers, yardOf, proposeWorks, firstAnswers } = await import("../../dist/index.js");
const { newPage } = await import("../../dist/yard/newPage.js");

const program = (isWasm: boolean): string => readFileSync(new URL(`../../dist/newPage/${isWasm ? "page" : "scriptPage"}.js`, import.meta.url), "utf8");
const folder = mkdtempSync(join(tmpdir(), "soakstep-new-page-"));
const address = (isWasm: boolean): string => {
  const path = join(folder, isWasm ? "new.html" : "new-script.html");
  writeFileSync(path, newPage({ program: program(isWasm), isWasm }));
  return pathToFileURL(path).href;
};

const screens = fileURLToPath(new URL("../../out/screenshots/yards/", import.meta.url));

let browser: Browser;
/** a page with the library's run in it, to hold Chromium's digits against Node's */
let engine: Page;
beforeAll(async () => {
  browser = await startBrowser();
  const bundle = await rolldown({ input: fileURLToPath(new URL("digits.ts", import.meta.url)), platform: "browser" });
  const { output: [{ code }] } = await bundle.generate({ format: "iife", name: "digits" });
  engine = await browser.newPage();
  await engine.addScriptTag({ content: code });
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

/** What a thumb does for one line of the notes: a tap for a field, a tap for a chip, two for a row of a fill. */
async function tell(on: Phone, key: string, text: string): Promise<void> {
  const { page } = on;
  const tap = async (at: Locator): Promise<void> => {
    await at.tap();
    on.taps++;
  };
  const type = async (what: string): Promise<void> => {
    await page.keyboard.press("Control+a");
    await page.keyboard.type(what);
    on.typed++;
  };
  if (key.startsWith("reading 2 ") && (await page.locator('[data-set-up="2"]').count()) === 0) await tap(page.locator("#move"));
  if (key.startsWith("tape ") && !(await page.locator(`input[data-key="${key}"]`).isVisible())) await tap(page.locator("summary", { hasText: "By tape" }));
  const fill = /^fill (\d)$/.exec(key)?.[1];
  if (fill !== undefined) {
    if ((await page.locator(".fill").count()) < Number(fill)) await tap(page.locator("#add-fill"));
    for (const [row, reading] of text.split("; ").entries()) {
      const [clock, tape] = /^(\S+) (.+)$/.exec(reading)!.slice(1) as [string, string];
      for (const [column, figure] of [clock, tape].entries()) {
        await tap(page.locator(".fill").nth(Number(fill) - 1).locator(".reading").nth(row).locator("input").nth(column));
        await type(figure);
      }
    }
    return;
  }
  if (text.startsWith("=")) {
    await tap(page.locator(`[data-say="${key}"] button`));
    return;
  }
  const [word, depth] = key === "groundwater" ? (/^(seen|none) (.*)$/.exec(text)?.slice(1) ?? [text]) : [text];
  const quoted = JSON.stringify(word);
  const choice = page.locator(`[data-chip="${key}"][data-value=${quoted}], [data-quick="${key}"][data-value=${quoted}]`);
  if ((await choice.count()) > 0) {
    await tap(choice.first());
    // the chip of a depth has put the keyboard into its field
    if (depth !== undefined) await type(depth);
    return;
  }
  const chip = page.locator(`[data-chip="${key}"]`);
  await tap((await chip.count()) > 0 ? page.locator(`[data-typed="${key}"]`) : page.locator(`input[data-key="${key}"]`));
  await type(text);
}

/** Field notes as they are typed, and what the page objected to on the way: what is yet to come is no objection. */
async function told(on: Phone, typed: FieldNotes["typed"]): Promise<string[]> {
  const objections: string[] = [];
  for (const [key, text] of typed) {
    await tell(on, key, text);
    const said = (await on.page.locator(`[data-say="${key}"]`).allTextContents()).join("");
    const book = (await on.page.locator("#book").textContent()) ?? "";
    if (said !== "" && !/still to be told|^(?:At|Down to) what depth/.test(said)) objections.push(said);
    if (/again$/.test(key) && book.includes("does not close")) objections.push(book);
  }
  return objections;
}

async function answered({ page }: Phone, facts: number): Promise<void> {
  await expect.poll(() => page.locator("#progress").textContent(), { timeout: 20_000 }).toBe(`${facts} of 12 facts`);
  // what is shown belongs to what was typed last
  await expect.poll(() => page.locator("#answers").getAttribute("data-shown"), { timeout: 60_000 }).toBe(await page.locator("#answers").getAttribute("data-told"));
}

const savedText = async ({ page }: Phone): Promise<string> => decodeURIComponent((await page.locator("#save").getAttribute("href"))!.replace(/^[^,]*,/, ""));

/** The dialogue of `soakstep new` in a terminal of its own, every prompt answered from the same notes. */
async function inTerminal(answers: Readonly<Record<string, string>>): Promise<{ readonly out: string; readonly text: string | null }> {
  const place = mkdtempSync(join(tmpdir(), "soakstep-terminal-"));
  const command = fileURLToPath(new URL("../../dist/command/main.js", import.meta.url));
  const child = spawn(process.execPath, [command, "new"], { cwd: place });
  let [out, answered] = ["", 0];
  const readings = Object.keys(answers).filter((key) => key.startsWith("reading ") && !questions.some((question) => question.key === key));
  let standing = 1;
  const further = (): string => {
    const [key] = readings;
    if (key === undefined) return "";
    const [, setUp, point] = /^reading (\d) (.*)$/.exec(key)!;
    if (Number(setUp) > standing) {
      standing++;
      return "moved";
    }
    readings.shift();
    return `${point!.replace(/ again$/, "")} ${answers[key]!}`;
  };
  const others: readonly (readonly [words: RegExp, key: (match: RegExpExecArray) => string])[] = [
    [/^By tape from two corners/, () => "tape corners"], [/^From ([AB]) to the (box|pit|lid)\?/, ([, corner, point]) => `tape ${corner!} ${point!}`],
    [/^Across the hole/, () => "hole diameter"], [/^From the tape's mark/, () => "hole bottom"], [/^Depth of water/, () => "hole water"],
    [/^Fill (\d),/, ([, fill]) => `fill ${fill!}`],
  ];
  const reply = (prompt: string): string => {
    if (prompt.startsWith("Any further reading")) return further();
    if (/ y\/n: $/.test(prompt)) return "y";
    const asked = questions.find(({ asks }) => prompt.startsWith(asks))?.key ?? others.flatMap(([words, key]) => {
      const match = words.exec(prompt);
      return match === null ? [] : [key(match)];
    })[0];
    if (asked === undefined) throw new Error(`expected a prompt of the questions, got ${prompt}`);
    return (answers[asked] ?? "").replace(/^=/, "");
  };
  child.stdout.on("data", (data: Buffer) => {
    out += data.toString();
    const prompt = out.slice(answered).split("\n").at(-1)!;
    if (!prompt.endsWith(": ") || !child.stdin.writable) return;
    answered = out.length;
    child.stdin.write(`${reply(prompt)}\n`);
  });
  await new Promise<void>((done) => child.on("close", () => {
    done();
  }));
  const [file] = readdirSync(join(place, "out")).filter((name) => name.endsWith(".json"));
  return { out, text: file === undefined ? null : readFileSync(join(place, "out", file), "utf8") };
}

const notesOf = (text: string): Answers | null => notesIn(JSON.parse(text) as Readonly<Record<string, unknown>>);
const rows: string[] = [];

describe("ten made-up yards from pages of field notes, on a phone by touch alone", () => {
  test.each(fieldNotes.map((notes) => [`${notes.name}: ${notes.about}`, notes] as const))("%s", async (_, notes) => {
    const phoned = await phone();
    const { page } = phoned;
    const objections = await told(phoned, notes.typed);
    await answered(phoned, notes.facts);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360);
    const answers = finalAnswers(notes);
    const proposal = await proposeWorks(yardOf(readAnswers(answers).told!));
    const first = await firstAnswers(proposal);
    expect(proposal.kind).toBe(notes.ends);
    const shown = await page.locator("#six > div").allInnerTexts();
    expect(shown.map((text) => text.split("\n").filter((line) => line !== ""))).toEqual(
      first.answers.map(({ question, answer, band }: FirstAnswer) => [question, answer, band].filter((line) => line !== "")));
    // all six on one screen over the bar, reached by one tap
    await page.locator("#brief").tap();
    phoned.taps++;
    const [top, foot] = await page.evaluate(() => {
      const boxes = [...document.querySelectorAll("#six > div")].map((each) => each.getBoundingClientRect());
      return [boxes[0]!.top, boxes.at(-1)!.bottom - document.querySelector(".bar")!.getBoundingClientRect().top] as const;
    });
    expect([top >= 0, foot <= 0, [top, foot]]).toEqual([true, true, expect.anything()]);
    mkdirSync(screens, { recursive: true });
    await page.screenshot({ path: join(screens, `${fileName({ name: notes.name }).replace(".json", "")}-six.png`) });
    // the terminal, told the same, says the same and writes the same file to the last bit
    const terminal = await inTerminal(answers);
    const flat = terminal.out.replace(/\s+/g, " ");
    for (const { answer, band } of first.answers) expect([flat.includes(answer), flat.includes(band)]).toEqual([true, true]);
    if (proposal.kind === "works") {
      await page.locator("#save").tap();
      phoned.taps++;
      const text = await savedText(phoned);
      expect(text).toBe(terminal.text);
      // and the same run, to the bit
      for (const name of [NORMAL, BAD]) {
        const there = await engine.evaluate(
          ([file, storm]) => (globalThis as unknown as { digits: typeof digits }).digits.runDigits(file!, storm!), [text, name]);
        expect(there, name).toEqual(digits.runDigits(text, name));
      }
    } else expect(notesOf(terminal.text!)).toEqual(notesOf(await savedText(phoned)));
    // every objection was answered by typing or tapping once more, and nothing was typed twice without one
    expect(objections).toHaveLength(notes.typed.length - Object.keys(answers).length);
    rows.push(`| ${notes.name} | ${notes.about} | ${phoned.taps} | ${phoned.typed} | ${objections.length} | ${first.answers[1]!.answer} |`);
    expect(phoned.taps).toBeLessThanOrEqual(40);
    await screenshot(page, `new-${fileName({ name: notes.name }).replace(".json", "")}-360`);
    expect(phoned.errors).toEqual([]);
    await page.context().close();
  });
  afterAll(() => {
    console.log(["| yard | what is hard | taps | values typed | wrong turns | how large |", "| --- | --- | --- | --- | --- | --- |", ...rows].join("\n"));
  });
});

/** A gentle yard, for what the ten do not try. */
const alder: Readonly<Record<string, string>> = {
  "name": "Alder Close", "region": "US", "rain": "1.5", "roof": "42 x 28 - 10 x 8", "reading 1 benchmark": "4.21", "reading 1 house": "3' 6\"",
  "reading 1 box": "4' 3 1/2\"", "reading 1 pit": "5.1", "reading 1 lid": "7", "reading 1 benchmark again": "4.22", "boxToPit": "12", "pitToLid": "45",
  "houseToPit": "15", "soil": "loam", "groundwater": "none 8", "room": "30 x 12", "wanted": "dry lawn in a normal storm",
};

const SLOW = { timeout: 20_000 };

/** A file let go over the page, by the browser's own input: no event is made up in the page. */
async function dropped(page: Page, path: string): Promise<void> {
  const session = await page.context().newCDPSession(page);
  for (const type of ["dragEnter", "dragOver", "drop"] as const) {
    await session.send("Input.dispatchDragEvent", { type, x: 180, y: 300, data: { items: [], files: [path], dragOperationsMask: 1 } });
  }
}

/** Types a figure of the works into its field, the group it stands in unfolded. */
async function keyTyped({ page }: Phone, path: string, text: string): Promise<Locator> {
  const field = page.locator(`[id="key-${path}"]`);
  if (!(await field.isVisible())) await page.locator("#key-list details").filter({ has: field }).locator("summary").tap();
  await field.fill(text);
  await field.press("Enter");
  return page.locator("#key-list .key").filter({ has: field }).locator(".say");
}

test("depth, pipe sizes and numbers are changed on the page; what cannot be read is said and not taken", async () => {
  const on = await phone();
  await told(on, Object.entries(alder));
  await answered(on, 12);
  const { page } = on;
  const before = await savedText(on);
  const words = await keyTyped(on, "chamberBank.floor", "deep");
  await expect.poll(() => words.textContent()).toContain('got "deep"');
  expect(await savedText(on)).toBe(before);
  const floor = /"floor": "([\d.]+) ft"/.exec(before.slice(before.indexOf('"chamberBank"')))![1]!;
  await keyTyped(on, "chamberBank.floor", `${(Number(floor) - 0.5).toFixed(2)} ft`);
  await expect.poll(() => savedText(on), SLOW).toContain(`"floor": "${(Number(floor) - 0.5).toFixed(2)} ft"`);
  const deeper = await page.locator("#brief").textContent();
  await keyTyped(on, "settlingBox.outlet.diameter", "6 in");
  // a bare figure in the unit it had, a unit of elsewhere asked back
  await keyTyped(on, "overflowTrench.width", "20");
  await expect.poll(() => savedText(on), SLOW).toMatch(/"diameter": "6 in"[^]*"width": "20 in"/);
  const asked = await keyTyped(on, "settlingBox.outlet.length", "4 m");
  await expect.poll(() => asked.textContent()).toContain("4 m is 13.1 ft: is that the unit you mean");
  expect(await savedText(on)).not.toContain('"length": "4 m"');
  await asked.locator("button").tap();
  await expect.poll(() => savedText(on), SLOW).toContain('"length": "4 m"');
  // the answers are of the file as it was changed
  await expect.poll(() => page.locator("#answers").getAttribute("data-shown"), SLOW).toBe(await page.locator("#answers").getAttribute("data-told"));
  const site = readSite(await savedText(on));
  expect(deeper).toMatch(/to dig$/);
  expect((await page.locator("#six").textContent())!).toContain(lengthText(site.chamberBank.ground - site.chamberBank.floor, "us"));
  await page.locator("#keys").scrollIntoViewIfNeeded();
  await screenshot(page, "new-keys-360");
  expect(on.errors).toEqual([]);
  await page.context().close();
});

test("a demo's own file dropped on the page shows every figure it has, its name too, and takes a change of each kind", async () => {
  const on = await phone();
  await dropped(on.page, fileURLToPath(new URL("../../data/hazelbank-upper-bench.json", import.meta.url)));
  await expect.poll(() => on.page.locator("#key-list input").count(), { timeout: 20_000 }).toBeGreaterThan(40);
  const shown = new Set(await on.page.locator("#key-list input").evaluateAll((all) => all.map(({ id }) => id.replace("key-", ""))));
  const file = JSON.parse(readFileSync(new URL("../../data/hazelbank-upper-bench.json", import.meta.url), "utf8")) as Record<string, unknown>;
  const leaves = (value: unknown, path: string): string[] => (typeof value !== "object" || value === null ? [path]
    : Object.entries(value).flatMap(([key, inner]) => leaves(inner, Array.isArray(value) ? `${path}[${key}]` : path === "" ? key : `${path}.${key}`)));
  expect(leaves(file, "").filter((path) => path !== "$schema" && !shown.has(path))).toEqual([]);
  await keyTyped(on, "name", "The bench renamed");
  await expect.poll(() => savedText(on), SLOW).toContain('"name": "The bench renamed"');
  await keyTyped(on, "emitter.crest", "25,46");
  await expect.poll(() => savedText(on), SLOW).toContain('"crest": "25.46 m"');
  await keyTyped(on, "soil.factorOfSafety", "2,5");
  await expect.poll(() => savedText(on), SLOW).toContain('"factorOfSafety": 2.5');
  expect(on.errors).toEqual([]);
  await on.page.context().close();
});

test("a saved yard opens again with its readings, its changes by hand and its saved text", async () => {
  const on = await phone();
  await told(on, Object.entries(alder));
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
  await dropped(again.page, path);
  await answered(again, 12);
  expect(await savedText(again)).toBe(text);
  expect(await again.page.locator('input[data-key="reading 1 lid"]').inputValue()).toBe("7 ft");
  await again.page.locator("#put-back").tap();
  await expect.poll(() => savedText(again), SLOW).not.toContain('"width": "5 ft"');
  expect([on.errors, again.errors]).toEqual([[], []]);
  await page.context().close();
  await again.page.context().close();
});

test("what was told is not lost: over a reload, and as notes where there are no works yet", async () => {
  const on = await phone();
  const { page } = on;
  const { "reading 1 pit": pit, ...few } = alder;
  await told(on, Object.entries(few));
  await expect.poll(() => page.locator("#save").textContent()).toBe("Save what was told");
  const notes = await savedText(on);
  expect(notes).toContain('"reading 1 lid"');
  // a way to a field is another entry of the history
  await page.evaluate(() => { location.hash = "#answers"; });
  await page.reload();
  expect(await page.locator('input[data-key="reading 1 lid"]').inputValue()).toBe(alder["reading 1 lid"]!.replace(/^=/, ""));
  await expect.poll(() => savedText(on), SLOW).toBe(notes);
  const path = join(folder, "notes.json");
  writeFileSync(path, notes);
  const again = await phone(false);
  await dropped(again.page, path);
  expect(await again.page.locator('input[data-key="reading 1 lid"]').inputValue()).toBe(alder["reading 1 lid"]!.replace(/^=/, ""));
  await again.page.locator('input[data-key="reading 1 pit"]').fill(pit!);
  await answered(again, 12);
  expect(await again.page.locator("#save").textContent()).toBe("Save the site file");
  expect([on.errors, again.errors]).toEqual([[], []]);
  await page.context().close();
  await again.page.context().close();
});

test("the town's table is read from its file, and the room for the pit is drawn", async () => {
  const on = await phone();
  const { rain: _, ...answers } = alder;
  await told(on, Object.entries(answers));
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
  await told(on, Object.entries({ "region": "US", "roof": "1600 sf", "reading 1 box": "4.3", "reading 1 pit": "5", "reading 1 lid": "7", "pitToLid": "14 m", "boxToPit": "twelve" }));
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
  await told(on, Object.entries(alder));
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
  await told(on, Object.entries({ "region": "US", "soil": "test at the hole", "hole diameter": "8", "hole bottom": "24" }));
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
