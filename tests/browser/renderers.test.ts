import { readFileSync } from "node:fs";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { galleryFigures } from "../tools/galleryFigures.mjs";
import { startBrowser } from "./openPage.ts";

// Every figure is drawn twice in Chromium from the same data: by plotly, which knows nothing of our renderer, and by that.
const library = { ...await import("../../dist/index.js"), ...await import("../../dist/hydrology.js") };
const { stateMoments } = await import("../../dist/figures/stateMoments.js");
type Figure = ReturnType<typeof library.figures.level>;
const figures = await galleryFigures({ ...library, stateMoments }) as [string, (options: { readonly width: number }) => Figure][];
const plotly = readFileSync(new URL("../../dist/parts/plotly.js", import.meta.url), "utf8");

/** A text as it stands on a picture: its letters, and its middle [px from the picture's upper left corner]. */
interface Standing {
  readonly words: string;
  readonly x: number;
  readonly y: number;
}

/** What a picture holds: its texts, and the box round all that is drawn of its data. */
interface Drawn {
  readonly texts: readonly Standing[];
  readonly size: readonly [number, number];
  readonly data: readonly [left: number, top: number, right: number, bottom: number] | null;
}

/** What the page is handed: plain data. */
interface Given {
  readonly data: unknown;
  readonly layout: object;
  readonly config: object;
  readonly svg: string;
  readonly width: number;
}

let browser: Browser;
let page: Page;
beforeAll(async () => {
  browser = await startBrowser();
  page = await (await browser.newContext({ viewport: { width: 1200, height: 900 } })).newPage();
  await page.setContent('<body style="margin:0"><div id="plotly"></div><div id="ours"></div></body>');
  await page.addScriptTag({ content: plotly });
});
afterAll(() => browser.close());

async function both(figure: Figure, width: number): Promise<{ readonly plotly: Drawn; readonly ours: Drawn }> {
  const svg = library.figureSvg(figure, { width, id: "ours" });
  const given: Given = {
    data: figure.data, layout: { ...figure.layout, width, autosize: false },
    config: { ...figure.config, responsive: false, staticPlot: true }, svg, width,
  };
  return page.evaluate(async ({ data, layout, config, svg: markup, width: wide }: Given) => {
    const [one, two] = ["plotly", "ours"].map((id) => document.getElementById(id)!) as [HTMLElement, HTMLElement];
    one.style.width = two.style.width = `${wide}px`;
    two.innerHTML = markup;
    const { Plotly } = globalThis as unknown as {
      Plotly: { newPlot: (...all: unknown[]) => Promise<void>; purge: (place: HTMLElement) => void };
    };
    await Plotly.newPlot(one, data, layout, config);
    const drawnIn = (place: HTMLElement, marks: string): Drawn => {
      const corner = place.getBoundingClientRect();
      const texts = [...place.querySelectorAll("svg text")].flatMap((text): Standing[] => {
        // plotly sets a text of several lines as lines in it, we as texts of their own
        const lines = [...text.querySelectorAll("tspan.line")];
        return (lines.length > 0 ? lines : [text]).map((line) => {
          const box = line.getBoundingClientRect();
          return { words: line.textContent.replace(/\s+/g, " ").trim(), x: (box.left + box.right) / 2 - corner.left, y: (box.top + box.bottom) / 2 - corner.top };
        }).filter(({ words }) => words !== "");
      });
      const boxes = [...place.querySelectorAll(marks)].filter((mark) => {
        const { stroke, fill, opacity } = getComputedStyle(mark);
        return opacity !== "0" && !(/^(none|rgba\(.*, 0\))$/.test(stroke) && /^(none|rgba\(.*, 0\))$/.test(fill));
      }).map((mark) => mark.getBoundingClientRect()).filter(({ width: w, height: h }) => w + h > 0);
      const svgBox = place.querySelector("svg")!.getBoundingClientRect();
      return {
        texts, size: [svgBox.width, svgBox.height],
        data: boxes.length === 0 ? null : [
          Math.min(...boxes.map(({ left }) => left)) - corner.left, Math.min(...boxes.map(({ top }) => top)) - corner.top,
          Math.max(...boxes.map(({ right }) => right)) - corner.left, Math.max(...boxes.map(({ bottom }) => bottom)) - corner.top,
        ],
      };
    };
    const drawn = {
      plotly: drawnIn(one, ".cartesianlayer :is(.scatterlayer, .barlayer) path"),
      ours: drawnIn(two, "g[clip-path] path, g[clip-path] rect, g[clip-path] circle"),
    };
    Plotly.purge(one);
    return drawn;
  }, given);
}

describe.each(figures)("%s", (_, figureOf) => {
  test.each([360, 960])("says the same words in the same places by plotly and by our own drawing, %i px wide", async (width) => {
    const { plotly: theirs, ours } = await both(figureOf({ width }), width);
    expect(ours.size).toEqual(theirs.size);
    const words = ({ texts }: Drawn): string[] => texts.map((each) => each.words).sort();
    expect(words(ours)).toEqual(words(theirs));
    // each beside its twin, letters being set by one browser: what differs is where a line of letters is taken to stand
    const far = ours.texts.filter(({ words: said, x, y }) =>
      !theirs.texts.some((each) => each.words === said && Math.hypot(each.x - x, each.y - y) < 6));
    expect(far).toEqual([]);
    if (theirs.data === null || ours.data === null) expect(ours.data).toBe(theirs.data);
    // strokes are half a width wider than their path at either end
    else ours.data.forEach((edge, i) => expect(Math.abs(edge - theirs.data![i]!), ["left", "top", "right", "bottom"][i]).toBeLessThan(4));
  });
});
