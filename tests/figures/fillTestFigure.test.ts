import type { Config, Data, Layout } from "plotly.js-dist-min";
import { describe, expect, test } from "vitest";
import { fillTestFigure } from "../../lib/figures/fillTestFigure.ts";
import type { BarTrace, Figure, LineTrace } from "../../lib/figures/figure.ts";
import { textWidth } from "../../lib/figures/textWidth.ts";
import { fillTestPart } from "../../lib/report/fillTestPart.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { fillTest } from "../../lib/dips/fillTest.ts";
import { expectClose } from "../closeTo.ts";
import { changed, demo } from "../site/siteFiles.ts";

const lane = readSite(changed(demo("copperbeech-lane"), "name", "Lane <b>&"));
// invented readings, an eighth of an inch fine
const result = fillTest(lane, {
  dips: "time (min), depth (in)\n0, 33 1/8\n20, 32 5/8\n45, 31 3/4\n90, 30 3/8\n150, 28 3/4\n240, 26 1/4\n360, 23 1/4\n540, 19 1/8",
  suspects: ["floor"],
});

function line({ data }: Figure, name: string): LineTrace {
  return data.find((trace): trace is LineTrace => trace.type === "scatter" && trace.name === name)!;
}

function bars({ data }: Figure, name: string): BarTrace {
  return data.find((trace): trace is BarTrace => trace.type === "bar" && trace.name === name)!;
}

function text(markup: string): string {
  return markup.replace(/<[^>]*>/g, " ").replace(/&#(\d+);/g, (_, code: string) => String.fromCharCode(Number(code))).replace(/\s+/g, " ");
}

describe("the picture of a fill test", () => {
  test("is plain data that plotly takes, at every width, without NaN or infinity, and no label is cut", () => {
    for (const width of [288, 358, 670, 1080]) {
      const figure = fillTestFigure(result, { width });
      const accepted: [Data[], Partial<Layout>, Partial<Config>] = [figure.data, figure.layout, figure.config];
      expect(JSON.parse(JSON.stringify(accepted))).toEqual(accepted);
      expect(figure.data.flatMap(({ x, y }) => [...x, ...y]).every(Number.isFinite)).toBe(true);
      const labels = figure.layout.annotations.filter(({ xref, x }) => xref === "paper" && x === 1);
      expect(labels.map((label) => label.text)).toEqual(["<b>as built, fitted</b>", "as drawn"]);
      for (const label of labels) expect(8 + textWidth(label.text.replace(/<.*?>/g, ""), label.font.size, true)).toBeLessThanOrEqual(figure.layout.margin.r);
    }
  });

  test("shows the dips where they were read, the fitted line in its band, and what is left over", () => {
    const figure = fillTestFigure(result);
    const dips = bars(figure, "dips");
    expectClose(dips.base![0]! + dips.y[0]! / 2, 33.125, { absolute: 1e-9, because: "inches as read" });
    const residual = bars(figure, "dip less line");
    result.dips.residual.forEach((each, i) => expectClose(residual.y[i]!, each / 0.0254, { absolute: 5.1e-5, because: "four decimals of an inch" }));
    const fitted = line(figure, "as built, fitted").y as number[];
    const band = line(figure, "95 percent band").y as number[];
    expect(band.length).toBe(2 * fitted.length);
    fitted.forEach((depth, i) => {
      expect(band[i]!).toBeGreaterThanOrEqual(depth);
      expect(band[band.length - 1 - i]!).toBeLessThanOrEqual(depth);
    });
    const drawn = line(figure, "as drawn");
    expect(drawn.line.dash).toBe("dash");
    expect(drawn.y.length).toBe(fitted.length);
  });

  test("has the verdict for its title, and the site's name as text", () => {
    const figure = fillTestFigure(result);
    expect(figure.answer).toBe(result.verdict.sentence);
    expect(figure.layout.title!.text).toContain("Lane &lt;b&gt;&amp;");
    expect(fillTestFigure(result, { title: false }).layout.title).toBeUndefined();
  });
});

describe("the part of a page on a fill test", () => {
  test("is a sheet to fill in while there is no result: what to do, what to expect in feet and inches, room to write, cautions", () => {
    const { section, pictures } = fillTestPart(lane);
    const words = text(section.markup);
    expect(pictures).toEqual([]);
    for (const part of ["Fill the pit to 2' 11 1/4\" over its floor", "Use clean water", "backflow preventer", "Nobody enters an unshored pit", "Stop when", "24 h", "seconds to fill a bucket", "Common practice"]) {
      expect(words).toContain(part);
    }
    expect([...section.markup.matchAll(/<td>(?:\u00a0)+<\/td>/g)].length).toBeGreaterThan(20);
    expect(text(fillTestPart(readSite(demo("linden-row"))).section.markup)).not.toMatch(/\d'|gal|in\/h/);
  });

  test("is the verdict, the numbers with their bands, what was tried, and the picture with a result", () => {
    const { section, pictures } = fillTestPart(lane, result);
    const words = text(section.markup).replace(/\u00a0/g, " ");
    expect(words).toContain(result.verdict.sentence);
    expect(words).toMatch(/soil, times the design's \(.* in\/h at the floor\) [\d.]+ × [\d.]+ × to [\d.]+ ×/);
    expect(words).toContain("another soil and a floor of its own 3");
    expect(section.markup).toContain(`id="${pictures[0]!.id}"`);
    expect(pictures[0]!.widths.length).toBe(3);
    expect(section.markup).not.toContain("<b>&");
  });
});
