import fc from "fast-check";
import type { Config, Data, Layout } from "plotly.js-dist-min";
import { describe, expect, test } from "vitest";
import { constantHeadTest } from "../../lib/ground/test/constantHeadTest.ts";
import { percolationHole } from "../../lib/ground/test/percolationHole.ts";
import { trialPit } from "../../lib/ground/test/trialPit.ts";
import type { BarTrace, Figure } from "../../lib/figures/figure.ts";
import { soilTestFigure } from "../../lib/figures/soilTestFigure.ts";
import { textWidth } from "../../lib/figures/textWidth.ts";

const read = percolationHole({
  diameter: "6 in",
  fills: [
    { time: ["0 min", "10 min", "20 min", "30 min"], depth: ["12 in", "11.5 in", "11.1 in", "10.6 in"] },
    { time: ["60 min", "70 min", "80 min", "90 min"], depth: ["12 in", "11.7 in", "11.3 in", "11 in"] },
  ],
});
const spoken = percolationHole({ diameter: "6 in", waterDepth: "12 in", minutesPerInch: 10 });
const never = percolationHole({ diameter: "6 in", waterDepth: "12 in", minutesPerInch: "never", watched: "24 h" });
const pit = trialPit({ length: "1.6 m", width: "0.6 m", waterDepth: "0.65 m", fills: [{ time75to25: "60 min" }, { time75to25: "67 min" }] });
const held = constantHeadTest({ diameter: "6 cm", waterDepth: "15 cm", flow: ["0.31 L/h", "0.3 L/h", "0.305 L/h"], sorptiveNumber_perCm: 0.12 });
const results = { read, spoken, never, pit, held, once: constantHeadTest({ diameter: "6 cm", waterDepth: "15 cm", flow: "0.3 L/h" }) };

function bars({ data }: Figure, name: RegExp): BarTrace[] {
  return data.filter((trace): trace is BarTrace => trace.type === "bar" && name.test(trace.name));
}

/** Middles of the squares that mark readings. */
function marks(trace: BarTrace): number[] {
  return trace.y.map((side, i) => trace.base![i]! + side! / 2);
}

describe.each(Object.entries(results))("the picture of a soil test (%s)", (_, result) => {
  test("is plain data that plotly takes, at every width, without NaN or infinity", () => {
    for (const width of [288, 328, 670, 1080]) {
      const figure = soilTestFigure(result, { width, units: "us" });
      const accepted: [Data[], Partial<Layout>, Partial<Config>] = [figure.data, figure.layout, figure.config];
      expect(JSON.parse(JSON.stringify(accepted))).toEqual(accepted);
      expect(figure.data.flatMap(({ x, y }) => [...x, ...y]).every(Number.isFinite)).toBe(true);
      const labels = figure.layout.annotations.filter(({ xref, x }) => xref === "paper" && x === 1);
      for (const { text, font, xshift } of labels) {
        expect(xshift! + textWidth(text.replace(/<.?b>/g, ""), font.size, true)).toBeLessThanOrEqual(figure.layout.margin.r);
      }
    }
  });

  test("has its answer as its title, or none where the page has it", () => {
    const figure = soilTestFigure(result, { name: "hole <b>2</b>" });
    const title = figure.layout.title!.text.replace(/<br>/g, " ").replace(/\u00a0/g, " ");
    expect(title).toContain(`<b>${figure.answer}</b>`);
    expect(title).toContain("hole &lt;b&gt;2&lt;/b&gt; · ");
    expect(soilTestFigure(result, { title: false }).layout.title).toBeUndefined();
  });
});

describe("the picture of a soil test", () => {
  test("says what the soil takes in, how far that reaches, and what it would have been taken for", () => {
    expect(soilTestFigure(spoken, { units: "us" }).answer).toBe(
      "The soil takes in 0.216 in/h, within the site 0.027 to 1.1 in/h; the fall of the water alone would have said 6 in/h, 28 times too high.");
    expect(soilTestFigure(never).answer).toMatch(
      /^In 24 h the water does not fall by more than the readings can show: this hole does not drain, or takes in 0\.\d+ mm\/h at most\.$/);
    expect(soilTestFigure(held).answer).toMatch(/; the flow over the floor alone would have said \d+ mm\/h, [\d.]+ times too high\.$/);
  });

  test("marks every reading and draws the line through them, each fill from its own start", () => {
    const figure = soilTestFigure(read, { units: "us" });
    const readings = bars(figure, /^readings/);
    expect(readings.map(({ x }) => x)).toEqual([[0, 10, 20, 30], [0, 10, 20, 30]]);
    [[12, 11.5, 11.1, 10.6], [12, 11.7, 11.3, 11]].forEach((depths, fill) => {
      marks(readings[fill]!).forEach((mark, i) => expect(mark).toBeCloseTo(depths[i]!, 9));
    });
    const lines = figure.data.filter(({ type }) => type === "scatter");
    expect(lines.map(({ name }) => name)).toEqual(read.fills.map((_, i) => expect.stringMatching(`^line, fill ${i + 1}: `) as string));
    lines.forEach(({ y }, i) => expect(y.at(-1)!).toBeCloseTo(read.fills[i]!.fitted.at(-1)! / 0.0254, 3));
  });

  test("shows what the line of the slowest fill leaves over, and nothing where two readings leave nothing", () => {
    const residuals = bars(soilTestFigure(read, { units: "us" }), /^reading less line$/);
    expect(residuals).toHaveLength(1);
    residuals[0]!.y.forEach((residual, i) => expect(residual!).toBeCloseTo(read.fills[read.governing]!.residual[i]! / 0.0254, 4));
    expect(bars(soilTestFigure(spoken), /^reading less line$/)).toEqual([]);
    expect(soilTestFigure(spoken).layout["yaxis2"]).toBeUndefined();
  });

  test("of any readings is drawn", () => {
    const depth = fc.integer({ min: 1, max: 500 });
    fc.assert(fc.property(fc.array(depth, { minLength: 2, maxLength: 12 }), (depths) => {
      const result = percolationHole({ diameter: "6 in", fills: [{ time: depths.map((_, i) => `${i + 1} h`), depth: depths.map((mm) => `${mm} mm`) }] });
      const figure = soilTestFigure(result);
      expect(JSON.parse(JSON.stringify(figure))).toEqual(figure);
    }), { seed: 91 });
  });
});
