// How long a live page takes to follow a hand: from the browser's move of a true mouse to the picture laid out and painted, and each
// frame's work while time runs; at full speed and with the processor slowed down four times, as an old phone is. A bench, no test:
// `npm start && node tests/bench/livePage.mjs [site]`. Times on a shared machine wander; what is said below is the median, the slowest
// twentieth and the slowest of one pull, and each pull's median as a multiple of the median pull's, which a busy machine leaves as it
// is. Moves that change nothing, since values stop at round figures, are left out. Before that, how soon the page of a site is
// first painted with all its pictures, as the browser tells it.
import { existsSync, readdirSync } from "node:fs";
import { fileURLToPath, pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const MOVES = 80;
const WARM_UP = 20;
/** [ms] asked of a pull at a quarter of the speed, and of a frame while time runs */
const [MEDIAN, WORST] = [50, 150];
const FIRST_PAINT = 300;
const OPENED = 7;
const FRAME = { 1: 16, 4: 50 };
const site = process.argv[2] ?? "copperbeech-lane";
const out = fileURLToPath(new URL("../../out", import.meta.url));
const path = `${out}/${site}.html`;
if (!existsSync(path)) throw new Error(`expected ${path}, got none: run \`npm start\` first`);

const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
await firstPaint();
for (const width of [1400, 360]) {
  for (const slowDown of [1, 4]) {
    const rows = {};
    for (const [key, right, down] of [["rain", 0, 2], ["groundwater", 0, -3], ["trench", 2, 0], ["soil1", 0, -2], ["hour", 3, 0]]) {
      const page = await opened(width, slowDown);
      const grip = page.locator(`[data-key="${key}"] .grip`);
      if (await grip.count() === 0) {
        await page.close();
        continue;
      }
      await grip.scrollIntoViewIfNeeded();
      const box = await grip.boundingBox();
      const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
      await page.evaluate(watch, key);
      await page.mouse.move(x, y);
      await page.mouse.down();
      for (let i = 1; i <= MOVES; i++) {
        // to and fro, so that the hand stays on the page
        const far = Math.abs(((i + 20) % 40) - 20);
        await page.mouse.move(x + right * far, y + down * far);
        await page.evaluate(() => globalThis.painted);
      }
      await page.mouse.up();
      const times = await page.evaluate(() => globalThis.took);
      rows[key] = figures(times.slice(WARM_UP), slowDown === 4 ? { median: MEDIAN, worst: WORST } : {});
      await page.close();
    }
    const medians = Object.values(rows).map((row) => row["median, ms"]).sort((a, b) => a - b);
    for (const row of Object.values(rows)) row["of the median pull"] = round(row["median, ms"] / medians[Math.floor(medians.length / 2)]);
    const page = await opened(width, slowDown);
    const frames = await page.evaluate(played);
    rows["time runs, a frame"] = figures(frames, { median: FRAME[slowDown] });
    await page.close();
    console.log(`${site}, ${width} px wide, processor slowed down ${slowDown} times`);
    console.table(rows);
  }
}
await browser.close();

/** Prints when each page was first painted, at full speed: median and slowest of the times it was opened. */
async function firstPaint() {
  const rows = {};
  const names = process.argv[2] === undefined ? readdirSync(out).filter((name) => name.endsWith(".html")) : [`${site}.html`];
  for (const name of names) {
    const times = [];
    for (let i = 0; i < OPENED; i++) {
      const page = await browser.newPage({ viewport: { width: 1400, height: 900 } });
      await page.goto(pathToFileURL(`${out}/${name}`).href);
      times.push(await page.evaluate(() => new Promise((resolve) => {
        new PerformanceObserver((list) => {
          const [paint] = list.getEntriesByName("first-contentful-paint");
          if (paint !== undefined) resolve(paint.startTime);
        }).observe({ type: "paint", buffered: true });
      })));
      await page.close();
    }
    rows[name] = figures(times, { median: FIRST_PAINT });
  }
  console.log("first paint, full speed");
  console.table(rows);
}

async function opened(width, slowDown) {
  const page = await browser.newPage({ viewport: { width, height: 900 } });
  await page.goto(pathToFileURL(path).href);
  await page.waitForSelector(".handle");
  const session = await page.context().newCDPSession(page);
  await session.send("Emulation.setCPUThrottlingRate", { rate: slowDown });
  return page;
}

/** Runs in the page: times each move that changes the handle's value, until after its paint. */
function watch(key) {
  globalThis.took = [];
  globalThis.painted = Promise.resolve();
  const handle = document.querySelector(`[data-key="${key}"]`);
  addEventListener("pointermove", ({ timeStamp }) => {
    const before = handle.getAttribute("aria-valuenow");
    globalThis.painted = new Promise((resolve) => {
      requestAnimationFrame(() => {
        // the page's own work comes in the same frame; a message is heard after its paint
        const channel = new MessageChannel();
        channel.port1.onmessage = () => {
          if (handle.getAttribute("aria-valuenow") !== before) globalThis.took.push(performance.now() - timeStamp);
          resolve();
        };
        channel.port2.postMessage(0);
      });
    });
  }, { capture: true });
}

/** Runs in the page: taps the hour, and times each frame from its beginning until after its paint. */
function played() {
  const grip = document.querySelector('[data-key="hour"] .grip');
  grip.setPointerCapture = () => {};
  const times = [];
  return new Promise((resolve) => {
    const frame = (begun) => {
      const start = Math.max(begun, performance.now());
      const channel = new MessageChannel();
      channel.port1.onmessage = () => times.push(performance.now() - start);
      channel.port2.postMessage(0);
      if (times.length < 400 && (times.length < 10 || document.body.classList.contains("running"))) requestAnimationFrame(frame);
      else resolve(times.slice(5));
    };
    requestAnimationFrame(frame);
    for (const type of ["pointerdown", "pointerup"]) grip.dispatchEvent(new PointerEvent(type, { bubbles: true, button: 0, pointerId: 1 }));
  });
}

function figures(times, { median: most, worst } = {}) {
  const sorted = [...times].sort((a, b) => a - b);
  if (sorted.length === 0) return { times: 0 };
  const [middle, slow, last] = [sorted[Math.floor(sorted.length / 2)], sorted[Math.floor(0.95 * sorted.length)], sorted.at(-1)];
  return {
    times: sorted.length, "median, ms": round(middle), "95 %, ms": round(slow), "worst, ms": round(last),
    ...(most === undefined ? {} : { asked: worst === undefined ? `${most}` : `${most}, worst ${worst}`, kept: middle < most && last < (worst ?? Infinity) }),
  };
}

function round(number) {
  return Math.round(number * 10) / 10;
}
