import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type OpenedPage, openPage, startBrowser } from "./openPage.ts";

const temporary = mkdtempSync(`${tmpdir()}/soakstep-`);
const plotly = readFileSync(createRequire(import.meta.url).resolve("plotly.js-basic-dist-min"), "utf8");
const plot = `<div id="a" class="soakstep-plot"></div><script>Plotly.newPlot("a", [{ y: [1, 2] }], {});</script>`;

let browser: Browser;
beforeAll(async () => {
  browser = await startBrowser();
});
afterAll(async () => {
  await browser.close();
  rmSync(temporary, { recursive: true });
});

async function opened(body: string, head = ""): Promise<Omit<OpenedPage, "page">> {
  const path = `${temporary}/page.html`;
  writeFileSync(path, `<!doctype html><html><head><meta charset="utf-8">${head}<script>${plotly}</script></head><body>${body}</body></html>`);
  const { page, ...rest } = await openPage(browser, path, 800, 2000);
  await page.context().close();
  return rest;
}

const policy = (rules: string): string => `<meta http-equiv="Content-Security-Policy" content="${rules}">`;

describe("the opening of a page", () => {
  test("finds nothing wrong with a plot that is drawn", async () => {
    expect(await opened(plot)).toEqual({ errors: [], outsideRequests: [], plots: { places: 1, drawn: 1 } });
  });

  test("finds nothing wrong under the policy of a self-contained page", async () => {
    const closed = "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; img-src data: blob:; font-src data:; base-uri 'none'; form-action 'none'";
    expect(await opened(plot, policy(closed))).toEqual({ errors: [], outsideRequests: [], plots: { places: 1, drawn: 1 } });
  });

  test("counts a place where no plot came", async () => {
    expect(await opened(`${plot}<div class="soakstep-plot"></div>`)).toMatchObject({ plots: { places: 2, drawn: 1 } });
  });

  test("counts a plot without a line or a bar as not drawn", async () => {
    const empty = plot.replace("[1, 2]", "[]");
    expect(await opened(empty)).toMatchObject({ plots: { places: 1, drawn: 0 } });
  });

  test.each([
    ["throws", "throw new RangeError('too deep');", "RangeError: too deep"],
    ["has a promise that fails", "Promise.reject(new Error('unseen'));", "Error: unseen"],
    ["calls something an error", "console.error('wrong');", "wrong"],
  ])("sees a page that %s", async (_, script, message) => {
    expect(await opened(`${plot}<script>${script}</script>`)).toMatchObject({ errors: [message] });
  });

  test.each([
    ["a picture", `<img src="http://soakstep.invalid/a.png">`, "http://soakstep.invalid/a.png"],
    ["a script", `<script src="https://soakstep.invalid/a.js"></script>`, "https://soakstep.invalid/a.js"],
    ["data", `<script>fetch("https://soakstep.invalid/a.json").catch(() => {});</script>`, "https://soakstep.invalid/a.json"],
  ])("sees a request for %s, and answers none", async (_, body, address) => {
    expect(await opened(plot + body)).toMatchObject({ outsideRequests: [address] });
  });

  test("sees a request that the page's own policy refuses", async () => {
    const { errors } = await opened(`${plot}<img src="https://soakstep.invalid/a.png">`, policy("img-src 'none'"));
    expect(errors.join()).toContain("https://soakstep.invalid/a.png");
  });
});
