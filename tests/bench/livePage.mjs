// How long a live page takes to follow a pull: from the pointer's move to the picture laid out and painted, at full speed and with
// the processor slowed down four times, as an old phone is. A bench, no test: `npm start && node tests/bench/livePage.mjs [site]`.
// Times on a shared machine wander; what is said below is the median and the slowest twentieth of one pull.
import { existsSync } from "node:fs";
import { fileURLToPath, pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const FRAMES = 80;
const WARM_UP = 30;
const LIMIT_MS = 50;
const site = process.argv[2] ?? "copperbeech-lane";
const path = fileURLToPath(new URL(`../../out/${site}.html`, import.meta.url));
if (!existsSync(path)) throw new Error(`expected ${path}, got none: run \`npm start\` first`);

const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
for (const width of [1400, 360]) {
  for (const slowDown of [1, 4]) {
    const rows = {};
    for (const [key, right, down] of [["rain", 0, 0.5], ["groundwater", 0, -1], ["trench", 1, 0], ["soil1", 0, -1], ["hour", 1, 0]]) {
      const page = await browser.newPage({ viewport: { width, height: 900 } });
      await page.goto(pathToFileURL(path).href);
      await page.waitForSelector(".handle");
      const session = await page.context().newCDPSession(page);
      await session.send("Emulation.setCPUThrottlingRate", { rate: slowDown });
      const times = await page.evaluate(pulled, { key, right, down, frames: FRAMES });
      const warm = times.slice(WARM_UP).sort((a, b) => a - b);
      const median = warm[Math.floor(warm.length / 2)];
      rows[key] = {
        "first, ms": round(times[0]), "median, ms": round(median), "95 %, ms": round(warm[Math.floor(0.95 * warm.length)]), [`under ${LIMIT_MS} ms`]: median < LIMIT_MS,
      };
      await page.close();
    }
    console.log(`${site}, ${width} px wide, processor slowed down ${slowDown} times`);
    console.table(rows);
  }
}
await browser.close();

/** Runs in the page: pulls a handle a little further in each frame, to and fro, and times each frame until after its paint. */
async function pulled({ key, right, down, frames }) {
  const handle = document.querySelector(`[data-key="${key}"] .grip`);
  handle.setPointerCapture = () => {};
  const send = (type, x, y) => handle.dispatchEvent(new PointerEvent(type, { bubbles: true, button: 0, pointerId: 1, clientX: x, clientY: y }));
  send("pointerdown", 0, 0);
  const times = [];
  for (let i = 1; i <= frames; i++) {
    const far = 4 + (i % 40);
    times.push(await new Promise((resolve) => {
      requestAnimationFrame(() => {
        const start = performance.now();
        // the page's own frame comes in the same rendering as the next callback; a message is heard after its paint
        send("pointermove", right * far, down * far);
        requestAnimationFrame(() => {
          const channel = new MessageChannel();
          channel.port1.onmessage = () => resolve(performance.now() - start);
          channel.port2.postMessage(0);
        });
      });
    }));
  }
  send("pointerup", 0, 0);
  // from the move to after the paint of its frame, the wait for that frame included
  return times;
}

function round(number) {
  return Math.round(number * 10) / 10;
}
