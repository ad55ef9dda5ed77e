import type { Config, Data, Layout } from "plotly.js-dist-min";
import { describe, expect, test } from "vitest";
import type { Figure, LineTrace } from "../../lib/figures/figure.ts";
import { yearsAnswer, yearsFigure } from "../../lib/figures/yearsFigure.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { years, type Years } from "../../lib/upkeep/years.ts";
import { changed, demo, fixture, type SiteJson } from "../site/siteFiles.ts";

const storms = [
  { name: "2-year <i>day</i>", load: designStorm({ pattern: "nrcs-ii", depth: "3.3 in" }) },
  { name: "cloudburst", load: designStorm({ pattern: "block", depth: "1.8 in", duration: "1 h" }) },
];
const of = (file: SiteJson, count: number): Years => years(readSite(file), { storms, years: count });
const house = of(demo("copperbeech-lane"), 4);
const low = of({ ...demo("sedge-hollow"), upkeep: { cleanEvery: "2 week" } }, 3);
const bare = of(changed(fixture("tested-soil"), "groundwater", undefined), 2);

function linesOf({ data }: Figure, name: string): LineTrace[] {
  return data.filter((trace): trace is LineTrace => trace.type === "scatter" && trace.name === name);
}

describe("the picture of the years", () => {
  test.each([["of works that empty", house], ["over a water table, cleaned every other week", low], ["without an emitter", bare]])(
    "%s is plain data that plotly takes, at every width", (_, result) => {
      for (const width of [288, 328, 670, 1080]) {
        const figure = yearsFigure(result, { width });
        const accepted: [Data[], Partial<Layout>, Partial<Config>] = [figure.data, figure.layout, figure.config];
        expect(JSON.parse(JSON.stringify(accepted))).toEqual(accepted);
        expect(figure.data.flatMap(({ x, y }) => [...x, ...y]).every((each) => each === null || Number.isFinite(each))).toBe(true);
      }
    });

  test("has its answer as its title, with the site and the storm, as text", () => {
    const figure = yearsFigure(house);
    expect(figure.answer).toMatch(/^In year 4 the pit drains empty in \d+ h with the box cleaned every 10 months, drains empty in \d+ h with nobody looking after it; new it drains empty in \d+ h\.$/);
    const title = figure.layout.title!.text.replace(/<br>/g, " ").replace(/\u00a0/g, " ");
    expect(title).toContain(`<b>${figure.answer}</b>`);
    expect(title).toContain("Copperbeech Lane, back lawn · 2-year &lt;i&gt;day&lt;/i&gt; · soil");
    expect(yearsFigure(house, { title: false }).layout.title).toBeUndefined();
    expect(yearsAnswer(low)).toMatch(/^In year 3 the pit is back at its groundwater in .* with the box cleaned every 14 days/);
  });

  test("draws the storm it is asked for, year by year, cleaned and left alone", () => {
    const figure = yearsFigure(house, { storm: "cloudburst" });
    const [drains, fires] = linesOf(figure, "left alone");
    const days = Math.max(...house.left.years.map(({ answers }) => answers[1]!.empty!)) > 96 * 3600;
    house.left.years.forEach(({ year, answers }, i) => {
      expect(drains!.x[i]).toBe(year);
      expect(drains!.y[i]).toBeCloseTo(answers[1]!.empty! / (days ? 86_400 : 3600), 3);
      expect(fires!.y[i]).toBeCloseTo(answers[1]!.emitter / 0.003785411784, 2);
    });
    expect(() => yearsFigure(house, { storm: "no such" })).toThrow('storm: expected one of "2-year <i>day</i>", "cloudburst", got "no such"');
  });

  test("has a saw of the box beneath that falls to nothing at every cleaning and stays under the limit, and a curve that comes to rest", () => {
    const [saw, alone] = ["cleaned", "left alone"].map((name) => linesOf(yearsFigure(house), name).at(-1)!);
    expect(saw!.y.filter((share) => share === 0)).toHaveLength(Math.ceil(4 / (10 / 12)));
    expect(Math.max(...saw!.y.map(Number))).toBeLessThanOrEqual(50);
    expect(Math.max(...saw!.y.map(Number))).toBeGreaterThan(40);
    expect(alone!.y.every((share, i) => i === 0 || share! >= alone!.y[i - 1]!)).toBe(true);
    expect(alone!.y.at(-1)).toBeGreaterThan(50);
    expect(alone!.y.at(-1)).toBeLessThan(100);
  });

  test("leaves the emitter out of a site without one", () => {
    expect(new Set(bare.cleaned.years.map(({ answers }) => answers[0]!.emitter))).toEqual(new Set([0]));
    expect(yearsFigure(bare).data).toHaveLength(4);
    expect(yearsFigure(house).data).toHaveLength(6);
  });
});
