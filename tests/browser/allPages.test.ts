import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { fileURLToPath } from "node:url";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { changed, demo, type SiteJson } from "../site/siteFiles.ts";
import { openPage, startBrowser } from "./openPage.ts";

// One page of every kind, made by the commands a person gives, opened with all that is folded, and asked by axe whether anybody is kept
// out; and how large pages are.

const root = fileURLToPath(new URL("../../", import.meta.url));
const data = `${root}data/`;
const folder = mkdtempSync(`${tmpdir()}/soakstep-pages-`);
const axe = readFileSync(fileURLToPath(import.meta.resolve("axe-core/axe.min.js")), "utf8");

/** The lane with a few sizes, durations and years to try, and the rain of no file. */
function smallStudies(): SiteJson {
  const lane = demo("copperbeech-lane");
  const given: readonly (readonly [string, unknown])[] = [
    ["storms", (lane["storms"] as readonly SiteJson[]).filter(({ file }) => file === undefined)],
    ["studies.size.steps", { chambers: [3, 4], trenchLength: ["45 ft", "60 ft"] }],
    ["studies.sweep", { returnPeriods: ["2 year", "100 year"], durations: ["30 min", "2 h"] }],
    ["studies.often.years", 3], ["studies.often.soils", 3],
  ];
  return given.reduce((file, [path, value]) => changed(file, path, value), lane);
}

const site = (name: string): string => `${data}${name}.json`;
const [lane, sedge] = [site("copperbeech-lane"), site("sedge-hollow")];

/** Each kind of page: in which folder it is made, where it is written there, and what writes it. */
const PAGES: readonly (readonly [kind: string, folder: string, page: string, ...commands: (readonly string[])[]])[] = [
  ["a site", "", "sedge-hollow", [sedge]],
  ["a site whose file asks for studies", "", "lane", ["lane.json"]],
  ["a site, without a program", "plain", "sedge-hollow", ["--plain", sedge]],
  ["a site, for browsers without WebAssembly", "script", "sedge-hollow", ["--no-wasm", sedge]],
  ["the lesson", "", "lesson", ["lesson"]],
  ["a new yard", "", "new", ["new"]],
  ["a decision", "", "lane-decide", ["decide", "lane.json"]],
  ["two designs", "", "hazelbank-lower-bench-against-hazelbank-upper-bench", ["decide", site("hazelbank-lower-bench"), site("hazelbank-upper-bench")]],
  ...["crew", "review", "owner", "inspect", "quote"].map((reader) => [`sheets: ${reader}`, "", `lane-${reader}`, ["sheets", reader, "lane.json"]] as const),
  ["a fill test", "", "copperbeech-lane-measured", ["measured", lane, `${data}copperbeech-fill-test.json`]],
  ["the life of a pit", "", "life-measured", ["measured", "life.json", "built.json", "--keep"], ["measured", "life.json", "filled.json", "--keep"], ["measured", "life.json"]],
  ["a day", "", "lane-day", ["day", "lane.json", "gauge.csv", "2026-06-14"]],
  ["many lots", "", "alder-close-lots", ["lots", `${data}alder-close.csv`, "--site", lane]],
];

const pathOf = (place: string, page: string): string => `${folder}/${place === "" ? "" : `${place}/`}out/${page}.html`;

let browser: Browser;
beforeAll(async () => {
  writeFileSync(`${folder}/lane.json`, JSON.stringify(smallStudies()));
  writeFileSync(`${folder}/life.json`, JSON.stringify(smallStudies()));
  writeFileSync(`${folder}/built.json`, JSON.stringify({ asBuilt: { date: "2026-05-02", about: "by staff", chamberBank: { length: "15 ft" } } }));
  writeFileSync(`${folder}/filled.json`, JSON.stringify({ ...demo("copperbeech-fill-test"), date: "2026-06-01", note: "first fill" }));
  writeFileSync(`${folder}/gauge.csv`, "interval start,rain [mm]\n2026-06-14 16:00,45\n2026-06-14 17:00,45\n2026-06-14 18:00,0\n");
  for (const [, place, , ...commands] of PAGES) {
    const cwd = `${folder}/${place}`;
    mkdirSync(cwd, { recursive: true });
    for (const command of commands) execFileSync(process.execPath, [`${root}dist/command/main.js`, ...command], { cwd, stdio: ["ignore", "ignore", "inherit"] });
  }
  for (const tool of ["gallery", "reference"]) execFileSync(process.execPath, [`${root}tests/tools/${tool}.mjs`], { cwd: root, stdio: "ignore" });
  browser = await startBrowser();
}, 240_000);
afterAll(async () => {
  await browser.close();
  rmSync(folder, { recursive: true });
});

describe.each([
  ...PAGES.map(([kind, place, page]) => [kind, pathOf(place, page)] as const),
  ["the gallery", `${root}out/gallery.html`] as const, ["the reference", `${root}out/reference.html`] as const,
])("%s", (_, path) => {
  test.each([360, 768, 1400])("has no serious finding of axe at %i px", async (width) => {
    const { page, errors, outsideRequests } = await openPage(browser, path, width, 500);
    await page.evaluate(() => { for (const folded of document.querySelectorAll("details")) folded.open = true; });
    await page.evaluate(axe);
    const found = await page.evaluate(async () => {
      const { axe: checks } = globalThis as unknown as {
        axe: { run: () => Promise<{ violations: { id: string; impact: string; nodes: { html: string; failureSummary: string }[] }[] }> };
      };
      const { violations } = await checks.run();
      return violations.filter(({ impact }) => impact === "serious" || impact === "critical")
        .map(({ id, nodes }) => `${id}: ${nodes.slice(0, 3).map(({ html, failureSummary }) => `${html.slice(0, 160)} ${failureSummary}`).join("; ")}`);
    });
    await page.context().close();
    expect(found).toEqual([]);
    expect(errors).toEqual([]);
    expect(outsideRequests).toEqual([]);
  });
});

describe("pages that are sent by mail are small", () => {
  // asked of them: a demo 600 kB, half of it the library; a study 60 kB more
  test("each demo's, its library apart", () => {
    const demos = ["copperbeech-lane", "linden-row", "sedge-hollow", "juniper-yard", "hazelbank-lower-bench", "hazelbank-upper-bench"];
    execFileSync(process.execPath, [`${root}dist/command/main.js`, ...demos.map(site)], { cwd: folder, stdio: "ignore" });
    for (const name of demos) {
      const path = pathOf("", name);
      const program = /<script type="text\/plain" id="program">([^<]*)</.exec(readFileSync(path, "utf8"))![1]!;
      expect(program.length, name).toBeGreaterThan(50e3);
      expect(program.length, name).toBeLessThan(300e3);
      expect(statSync(path).size, name).toBeLessThan(600e3);
    }
  });

  test("the lesson's, and what each study adds to a decision", () => {
    expect(statSync(pathOf("", "lesson")).size).toBeLessThan(600e3);
    const page = readFileSync(pathOf("", "lane-decide"), "utf8");
    const parts = page.split(/(?=<section[^>]* id=")/).slice(1).map((part) => [/id="([^"]*)"/.exec(part)![1], Buffer.byteLength(part)] as const);
    expect(parts.map(([id]) => id)).toEqual(expect.arrayContaining(["size", "sweep", "sure", "often"]));
    for (const [id, bytes] of parts) expect(bytes, id).toBeLessThan(60e3);
  });
});
