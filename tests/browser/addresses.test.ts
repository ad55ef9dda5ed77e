import { fileURLToPath } from "node:url";
import fc from "fast-check";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { openPage, startBrowser } from "./openPage.ts";

// Addresses that somebody cut short, mistyped or made up, one after another in a page that stays open: whatever comes, nothing is
// uncaught, and the page answers or says what it does not take. Every other one is typed as a code, which opens as an address does. What
// runs come of them, tests/live/address.test.ts has.

const PAGES = ["copperbeech-lane", "linden-row", "hazelbank-lower-bench", "juniper-yard"];
const ADDRESSES = 250;

const WHOLE = ["#storm=2&rain=3.4in&groundwater=none&hour=12", "#soil1=0.3in/hr&duration=2h&trench=40ft", "#lid=shut&chambers=6&rain.2=2in", "#groundwater=96.2ft&hour=0.5"];
/** one character out, in, doubled or another; a part gone or twice; cut short */
const mutated = fc.tuple(fc.constantFrom(...WHOLE), fc.array(fc.record({
  how: fc.constantFrom("out", "in", "other", "cut", "twice"), where: fc.double({ min: 0, max: 1, noNaN: true }),
  letter: fc.oneof(fc.constantFrom("%", "&", "=", "#", "+", ".", "-", "e", "9", "0", "\u202e", "\u0000", "<", "\"", "é", " "), fc.string({ minLength: 1, maxLength: 3 })),
}), { minLength: 1, maxLength: 4 })).map(([address, changes]) => changes.reduce((text, { how, where, letter }) => {
  const at = 1 + Math.floor(where * (text.length - 1));
  if (how === "out") return text.slice(0, at) + text.slice(at + 1);
  if (how === "in") return text.slice(0, at) + letter + text.slice(at);
  if (how === "other") return text.slice(0, at) + letter + text.slice(at + 1);
  if (how === "cut") return text.slice(0, at);
  return `${text}&${text.slice(1)}`;
}, address));

let browser: Browser;
beforeAll(async () => {
  browser = await startBrowser();
});
afterAll(() => browser.close());

test.each(PAGES)("%s stands a run of spoiled addresses", { timeout: 240_000 }, async (name) => {
  const { page, errors } = await openPage(browser, fileURLToPath(new URL(`../../out/${name}.html`, import.meta.url)), 768);
  const addresses = fc.sample(mutated, { seed: PAGES.indexOf(name) + 1, numRuns: ADDRESSES });
  const seen = await page.evaluate(async (all) => {
    const frame = (): Promise<unknown> => new Promise((done) => { requestAnimationFrame(done); });
    const told = { answers: 0, refused: 0, wrong: [] as string[] };
    for (const [i, address] of all.entries()) {
      if (i % 2 === 0) location.hash = address;
      else {
        const code = document.querySelector<HTMLInputElement>("#code")!;
        code.value = address;
        code.dispatchEvent(new KeyboardEvent("keydown", { key: "Enter" }));
      }
      await frame();
      await frame();
      const answer = document.querySelector("#answer")?.textContent ?? "";
      if (answer.trim() === "" || /NaN|undefined|Infinity|\[object/.test(answer)) told.wrong.push(`${address}: ${answer}`);
      else told.answers++;
      const refusal = document.querySelector("#refusal")!.textContent;
      if (refusal !== "") told.refused++;
      if (refusal !== "" && !/expected|does not know|cannot|could not|stopp/i.test(refusal)) told.wrong.push(`${address}: ${refusal}`);
    }
    return told;
  }, addresses);
  expect(seen.wrong).toEqual([]);
  expect(seen.answers).toBe(ADDRESSES);
  // a part of them can be shown, and a part cannot
  expect(seen.refused).toBeGreaterThan(ADDRESSES / 10);
  expect(seen.refused).toBeLessThan(ADDRESSES);
  expect(errors).toEqual([]);
  // and a good one opens as ever
  await page.evaluate(() => { location.hash = "#hour=3"; });
  await page.waitForFunction(() => document.querySelector("#refusal")!.textContent === "");
  await page.context().close();
});
