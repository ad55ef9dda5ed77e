import type { Config, Data, Layout } from "plotly.js-dist-min";
import { describe, expect, test } from "vitest";
import { failedPitFigure } from "../../lib/figures/failedPitFigure.ts";
import type { BarTrace, Figure, LineTrace } from "../../lib/figures/figure.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { failedPit } from "../../lib/dips/failedPit.ts";
import { demo } from "../site/siteFiles.ts";

const FOOT = 0.3048;
const site = readSite(demo("copperbeech-lane"));
const doubtful = failedPit(site, {
  hose: { flow: "12 gal/min", duration: "1 h" }, timesFrom: "end", dips: [{ time: "1 h", depth: "20 in" }, { time: "6 h", depth: "18 in" }],
});
const clear = failedPit(site, {
  storm: { pattern: "nrcs-ii", depth: "3.3 in" }, timesFrom: "end", seen: ["water over the box rim"],
  dips: [{ time: "1 h", depth: "0 in" }, { time: "1 h", level: "98.8 ft", body: "settlingBox" }],
});

const curves = ({ data }: Figure, axis: string): LineTrace[] =>
  data.filter((trace): trace is LineTrace => trace.type === "scatter" && trace.yaxis === axis);

describe("the picture of a failed pit", () => {
  test.each([["in doubt", doubtful], ["with a clear cause", clear]])("%s is plain data that plotly takes, at every width", (_, diagnosis) => {
    for (const width of [288, 328, 670, 1080]) {
      const figure = failedPitFigure(diagnosis, { width });
      const accepted: [Data[], Partial<Layout>, Partial<Config>] = [figure.data, figure.layout, figure.config];
      expect(JSON.parse(JSON.stringify(accepted))).toEqual(accepted);
      expect(figure.data.flatMap(({ x, y }) => [...x, ...y]).every(Number.isFinite)).toBe(true);
    }
  });

  test("has its answer as its title, with the site and the dips under it, as text", () => {
    const figure = failedPitFigure(doubtful, { storm: "<i>fill</i>" });
    const title = figure.layout.title!.text.replace(/<br>/g, " ").replace(/\u00a0/g, " ");
    expect(title).toContain(`<b>${figure.answer}</b>`);
    expect(title).toContain("Copperbeech Lane, back lawn · &lt;i&gt;fill&lt;/i&gt; · 2 dips, each give or take 0.64 in");
    expect(failedPitFigure(doubtful, { title: false }).layout.title).toBeUndefined();
  });

  test("draws each dip at its time and level, as high as its error", () => {
    const dips = failedPitFigure(doubtful).data.find((trace): trace is BarTrace => trace.type === "bar")!;
    expect(dips.x).toEqual([2, 7]);
    dips.y.forEach((height, i) => {
      expect(dips.base![i]! + height! / 2).toBeCloseTo(92.1 + [20, 18][i]! / 12, 3);
      expect(height! * FOOT).toBeGreaterThan(1.9 * doubtful.log.dipError);
    });
  });

  test("draws the leading causes and the design through it, the likeliest last and heaviest, each with a name at the edge", () => {
    const figure = failedPitFigure(doubtful);
    const drawn = curves(figure, "y");
    expect(drawn.length).toBe(4);
    expect(drawn.map(({ name }) => name)).toContain("as designed");
    expect(drawn.at(-1)!.line.width).toBeGreaterThan(drawn[0]!.line.width);
    const dashes = drawn.map(({ line }) => line.dash);
    expect(new Set(dashes).size).toBe(dashes.length);
    for (const { name } of drawn) expect(figure.layout.annotations.some(({ text }) => text.replace(/<\/?b>/g, "").startsWith(`${name} `))).toBe(true);
  });

  test("has a panel for each body that was dipped", () => {
    const figure = failedPitFigure(clear);
    expect(curves(figure, "y").length).toBeGreaterThan(1);
    expect(curves(figure, "y2").length).toBe(curves(figure, "y").length);
    expect(figure.layout.annotations.map(({ text }) => text)).toContain("settling box, level in ft");
    expect(figure.answer).toMatch(/^The box outlet is blocked: more than 99 in 100\.$/);
  });

  test("is put in words for anyone who cannot see it", () => {
    expect(failedPitFigure(clear).description).toMatch(/^Dips against what each cause would have given\. The box outlet is blocked: .* Dips in ft: .*settlingBox 98\.8 at hour 25\.$/);
  });
});
