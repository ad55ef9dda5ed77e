import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { answerSentence } from "../../lib/figures/answer.ts";
import type { BarTrace, Figure, LineTrace } from "../../lib/figures/figure.ts";
import { headBudgetFigure } from "../../lib/figures/headBudgetFigure.ts";
import { sectionFigure } from "../../lib/figures/sectionFigure.ts";
import { sideBySideFigure } from "../../lib/figures/sideBySideFigure.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { headBudget } from "../../lib/simulate/headBudget.ts";
import { readiness } from "../../lib/simulate/readiness.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { momentText } from "../../lib/text/hours.ts";
import { wayOutSentences } from "../../lib/report/wayOut.ts";

// The demos of the same pit on two benches of a slope, and of a stuck lid, in the first storm that each of them names.
function demoRun(name: string): Run {
  const site = readSite(readFileSync(new URL(`../../data/${name}.json`, import.meta.url), "utf8"));
  return simulate(site, designStorm(site.storms[0]!.options as unknown as Parameters<typeof designStorm>[0]));
}
const upper = demoRun("hazelbank-upper-bench");
const lower = demoRun("hazelbank-lower-bench");
const stuck = demoRun("juniper-yard");
const worst = (run: Run): number => run.peaks["chamberBank"]!.time;

describe("the demo of two benches", () => {
  test("has the same roof, box, pit and trench on both, six metres apart", () => {
    const level = /"(\d\d\.\d\d) m"/g;
    const [low, high] = ["lower", "upper"].map((bench) => {
      const file = JSON.parse(readFileSync(new URL(`../../data/hazelbank-${bench}-bench.json`, import.meta.url), "utf8")) as Record<string, object>;
      const { spillsTo: _, ...bank } = file["chamberBank"] as { spillsTo?: string };
      // the ground over the trench falls away on the upper bench alone: on the lower one the emitter stands in the hollow
      const { spillsTo: __, ground: ___, ...trench } = file["overflowTrench"] as { spillsTo?: string; ground: unknown };
      return JSON.stringify([file["settlingBox"], bank, trench, (file["catchments"] as unknown as object[])[0]]);
    });
    expect(low!.replace(level, (_, metres: string) => `"${(Number(metres) + 6).toFixed(2)} m"`)).toBe(high);
  });

  test("tells the story in one picture: above ready for all it took, below for a part", () => {
    const { answer, data, layout } = sideBySideFigure([{ name: "upper bench", run: upper }, { name: "lower bench", run: lower }], { width: 1000 });
    expect(answer).toMatch(/^At hour 48, a day after the last inflow, the works are ready for rain again: upper bench (\d+) mm of \1 mm, lower bench \d+ mm of \d+ mm\.$/);
    const [above, below] = [upper, lower].map((run) => readiness(run, [0, 48 * 3600]).rain!);
    expect(above![1]).toBeGreaterThan(0.99 * above![0]!);
    expect(below![1]).toBeLessThan(0.5 * below![0]!);
    expect(data.map(({ name }) => name)).toEqual(["upper bench", "lower bench", "upper bench", "lower bench"]);
    expect(layout.annotations.filter(({ text }) => text === "<b>lower bench</b>")).toHaveLength(2);
    for (const { x, y } of data) expect([...x, ...y].every((value) => Number.isFinite(value))).toBe(true);
  });

  test("is drawn for two to four runs", () => {
    expect(() => sideBySideFigure([{ name: "a", run: upper }])).toThrow(new RangeError("sideBySideFigure: expected two to four runs, got 1"));
  });

  test("says how deep the low spot stands", () => {
    expect(answerSentence(lower)).toMatch(/, the low spot stands up to \d{3} mm deep and is dry at hour \d+(\.\d)?, the emitter stays shut( with \d+ mm to spare)?, for water in the low spot presses on its lid, /);
    expect(wayOutSentences(lower).first).toMatch(/^The water first comes up through the grate, from hour 1[12]/);
  });

  test("shows the low spot's water in the section, up to its level and no farther", () => {
    const water = (sectionFigure(lower, worst(lower)).data as LineTrace[])
      .filter(({ fillcolor }) => fillcolor === "rgba(20,92,145,0.62)")
      .map(({ y }) => Math.max(...y.map((level) => level!)));
    expect(water.some((level) => Math.abs(level - lower.level("lowSpot", worst(lower))) < 1e-3)).toBe(true);
    const named = sectionFigure(lower, worst(lower)).layout.annotations.map(({ text }) => text);
    expect(named).toContain("<b>low spot</b>");
    for (const width of [288, 1080]) {
      const { data, layout } = sectionFigure(lower, 12 * 3600, { width });
      const numbers = [...data.flatMap(({ x, y }) => [...x, ...y]), ...layout.annotations.flatMap(({ x, y }) => [x, y])];
      expect(numbers.every((value) => Number.isFinite(value))).toBe(true);
    }
  });
});

describe("the demo of a stuck lid", () => {
  test("says where the water comes out first, and where then", () => {
    const { first, others } = wayOutSentences(stuck);
    expect(first).toMatch(/^The water first comes up through the ground at the trench, from hour 1[12](\.\d)? on, [\d.]+ gal in all\.$/);
    expect(others).toMatch(/^Then over the box rim from hour 1[12](\.\d)? on, \d+ gal\. With the box outlet choked it comes out first over the box rim, at hour /);
    expect(answerSentence(stuck)).toMatch(/comes up through the ground at the trench and [\d.]+ gal over the box rim, .* the emitter's lid is held shut/);
  });

  test("has arrows in the section where the water leaves, as much as it runs", () => {
    const time = worst(stuck);
    const arrows = sectionFigure(stuck, time).layout.annotations.filter(({ arrowside }) => arrowside === "start");
    expect(arrows.map(({ text }) => text.endsWith(" gal/min"))).toEqual([true, true]);
    expect(sectionFigure(stuck, 0).layout.annotations.filter(({ arrowside }) => arrowside === "start")).toEqual([]);
  });
});

const barsOf = ({ data }: Figure): BarTrace[] => data.filter((each) => each.type === "bar");

describe("the head budget's picture", () => {
  test("numbers on the section where each loss is, and draws it at the moment asked for", () => {
    const { layout, description } = headBudgetFigure(stuck, { time: worst(stuck) });
    const numbers = new Set(layout.annotations.flatMap(({ text }) => /^<b>(\d)<\/b>$/.exec(text)?.[1] ?? []));
    const told = new Set(layout.annotations.flatMap(({ text }) => /^<b>(\d)<\/b> {2}/.exec(text)?.[1] ?? []));
    expect([...numbers].sort()).toEqual([...told].sort());
    expect(description).toContain(`at ${momentText(worst(stuck))}`);
  });

  test("puts its drops end to end from the box's water down to the sill", () => {
    for (const run of [stuck, upper, lower]) {
      const { from, to } = headBudget(run);
      const { size } = run.site.units === "us" ? { size: 0.0254 } : { size: 0.001 };
      const bars = barsOf(headBudgetFigure(run)).slice(0, -1);
      let end = 0;
      for (const { base, y } of bars) {
        expect(Math.abs(base![0]! - end)).toBeLessThan(1e-3 * Math.max(1, Math.abs(end)));
        end = base![0]! + y[0]!;
      }
      // losses below 0.05 mm in all have no row
      if (bars.length > 0) expect(Math.abs(end * size - (from - to))).toBeLessThan(1e-4);
    }
  });

  test("shows the survey's band as wide as it is asked to", () => {
    const band = barsOf(headBudgetFigure(upper, { surveyError: 0.01 })).at(-1)!;
    expect(band.y[0]).toBeCloseTo(Math.SQRT2 * 10, 2);
  });
});
