import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { fileURLToPath } from "node:url";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { besideFile } from "../../lib/command/beside.ts";
import { packageOf } from "../../lib/command/packageFile.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { crewPaper } from "../../lib/report/papers/crewPaper.ts";
import { inspectPaper } from "../../lib/report/papers/inspectPaper.ts";
import { ownerPaper } from "../../lib/report/papers/ownerPaper.ts";
import { paperFrame, type Sheet } from "../../lib/report/papers/paperFrame.ts";
import { languages, type Language } from "../../lib/report/papers/phrases.ts";
import { readerOf, type Reader } from "../../lib/report/papers/reader.ts";
import { settledRun } from "../../lib/simulate/settledRun.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { shownIn } from "../../lib/site/shownIn.ts";
import type { Site } from "../../lib/site/site.ts";
import { demo, fixture } from "../site/siteFiles.ts";
import { openPage, startBrowser } from "./openPage.ts";

// Papers as Chromium prints them: one page a sheet in every language, on both sizes of paper; page n of m, site, date and version on each.

const folder = mkdtempSync(`${tmpdir()}/soakstep-papers-`);
let browser: Browser;
beforeAll(async () => {
  browser = await startBrowser();
});
afterAll(async () => {
  await browser.close();
  rmSync(folder, { recursive: true });
});

/** The text of each page of a printed page, by pdftotext of poppler (Debian's poppler-utils). */
async function printed(page: string, format: "A4" | "Letter", what: string | null = null): Promise<string[]> {
  const path = `${folder}/page.html`;
  writeFileSync(path, page);
  const opened = await openPage(browser, path, 800, 0);
  if (what !== null) {
    // between its margins of 12 mm; what is wider makes Chromium print all pages smaller
    const width = Math.floor((((format === "A4" ? 210 : 215.9) - 24) / 25.4) * 96);
    await opened.page.emulateMedia({ media: "print" });
    await opened.page.setViewportSize({ width, height: 1000 });
    expect(await opened.page.evaluate(() => document.documentElement.scrollWidth), `${what}: width`).toBeLessThanOrEqual(width + 1);
  }
  await opened.page.pdf({ path: `${folder}/page.pdf`, format });
  expect(opened.errors).toEqual([]);
  expect(opened.outsideRequests).toEqual([]);
  await opened.page.context().close();
  // a form feed ends each page
  return execFileSync("pdftotext", ["-layout", `${folder}/page.pdf`, "-"], { encoding: "utf8" }).split("\f").slice(0, -1);
}

const rain = designStorm({ pattern: "block", depth: "46 mm", duration: "1 h" });
interface Paper {
  readonly pages: number;
  readonly large: boolean;
  readonly sheets: (site: Site, reader: Reader) => Sheet[];
}
const PAPERS: Readonly<Record<"crew" | "owner" | "inspect", Paper>> = {
  crew: { pages: 4, large: false, sheets: crewPaper },
  owner: { pages: 2, large: true, sheets: (site, reader) => ownerPaper(settledRun(site, rain), "wet hour", reader) },
  inspect: { pages: 1, large: false, sheets: inspectPaper },
};
const SITES: readonly (readonly [string, Site])[] = [
  ...["copperbeech-lane", "linden-row", "hazelbank-lower-bench"].map((name) => [name, readSite(demo(name))] as const),
  // a main through the hole of a box; two boxes; every key there is
  ...["tannery-box", "two-boxes", "every-key"].map((name) => [name, readSite(fixture(name))] as const),
];

describe.each(SITES)("papers of %s", (_, site) => {
  const other = site.units === "us" ? "si" : "us";
  const readers: readonly (readonly [Language, Site])[] = [...languages.map((language) => [language, site] as const), ["de", shownIn(site, other)], ["es", shownIn(site, other)]];

  test.each(["A4", "Letter"] as const)("are four pages, two and one on %s, in every language and both systems of units", async (format) => {
    for (const [language, shown] of readers) {
      const reader = readerOf(language, shown.units);
      // the crew's is the fullest; the longest words are German and Spanish
      for (const [name, { pages, large, sheets }] of Object.entries(PAPERS).filter(([each]) => each === "crew" || (shown === site && /^(de|es)$/.test(language)))) {
        const page = paperFrame(reader, name, { site: shown.name, revision: "B", date: "2026-11-29", version: "soakstep 9.9.9 (abc)" }, sheets(shown, reader), { large });
        const what = `${name}, ${language}, ${shown.units}, ${format}`;
        const texts = await printed(page, format, what);
        expect(texts.length, what).toBe(pages);
        texts.forEach((text, i) => {
          expect(text, what).toContain(`${reader.say("head.page")} ${i + 1} ${reader.say("head.of")} ${pages}`);
          for (const word of [shown.name, "2026-11-29", "soakstep 9.9.9 (abc)", reader.say("head.revision", { revision: "B" })]) expect(text, what).toContain(word);
        });
      }
    }
  }, 240_000);
});

test.each(Object.entries(PAPERS))("the paper for the %s is no wider than a phone of 360 px", async (name, { sheets, large }) => {
  for (const [, site] of SITES) {
    const reader = readerOf("en-US", site.units);
    writeFileSync(`${folder}/phone.html`, paperFrame(reader, name, { site: site.name, revision: "B", date: "2026-11-29", version: "soakstep 9.9.9 (abc)" }, sheets(site, reader), { large }));
    const { page } = await openPage(browser, `${folder}/phone.html`, 360, 0);
    expect(await page.evaluate(() => document.documentElement.scrollWidth), site.name).toBeLessThanOrEqual(360);
    await page.context().close();
  }
});

test.each(["A4", "Letter"] as const)("a package for review on %s has site, date, version and page n of m on each of its pages", async (format) => {
  const path = fileURLToPath(new URL("../../data/hazelbank-lower-bench.json", import.meta.url));
  const texts = await printed(await packageOf(path, besideFile(path, false), "2026-11-29"), format);
  expect(texts.length).toBeGreaterThan(10);
  texts.forEach((text, i) => {
    expect(text).toContain(`page ${i + 1} of ${texts.length}`);
    expect(text).toMatch(/Hazelbank school, lower bench · for review · revision ____ · 2026-11-29 · soakstep \d/);
  });
}, 120_000);
