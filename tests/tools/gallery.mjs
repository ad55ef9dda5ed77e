// Writes out/gallery.html with every figure of the library; with --pictures the three of the README too, by Chromium.
import { mkdirSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import * as library from "../../dist/index.js";
import { figureSvg } from "../../dist/index.js";
import * as hydrology from "../../dist/hydrology.js";
import { stateMoments } from "../../dist/figures/stateMoments.js";
import { html } from "../../dist/report/markup.js";
import { pageFrame } from "../../dist/report/pageFrame.js";
import { pictureOf, placeOf } from "../../dist/report/placedPicture.js";
import { galleryFigures } from "./galleryFigures.mjs";

const root = fileURLToPath(new URL("../../", import.meta.url));
const figures = await galleryFigures({ ...library, ...hydrology, stateMoments });
const shown = figures.map(([call, make], i) => ({ call, picture: pictureOf(`figure-${i + 1}`, (options) => make({ ...options })) }));
mkdirSync(`${root}out`, { recursive: true });
writeFileSync(`${root}out/gallery.html`, pageFrame({
  title: "Gallery of figures",
  header: html`<h1>Every figure, from the demo sites</h1><p>All sites and readings are invented.</p>`,
  main: html`${shown.map(({ call, picture }) => html`<section><h2>${picture.widths[0].figure.answer}</h2>${placeOf(picture, call)}</section>`)}`,
}));
console.log("out/gallery.html");

if (process.argv.includes("--pictures")) {
  const { chromium } = await import("playwright-core");
  const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
  const page = await browser.newPage({ viewport: { width: 920, height: 800 } });
  await page.setContent('<body style="margin:0;background:#fff"><div id="at" style="width:900px"></div></body>');
  mkdirSync(`${root}data/pictures`, { recursive: true });
  for (const [name, call] of [["level", "figures.level("], ["section", "figures.section(run, 43"], ["sweep", "figures.sweep("]]) {
    const [, make] = figures.find(([each]) => each.startsWith(call));
    const figure = make({ width: 900 });
    await page.locator("#at").evaluate((place, svg) => { place.innerHTML = svg; }, figureSvg(figure, { width: 900, id: name }));
    await page.locator("#at").screenshot({ path: `${root}data/pictures/${name}.png` });
    console.log(`data/pictures/${name}.png`);
  }
  await browser.close();
}
