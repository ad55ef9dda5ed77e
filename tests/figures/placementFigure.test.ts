import type { Config, Data, Layout } from "plotly.js-dist-min";
import { describe, expect, test } from "vitest";
import type { BarTrace, Figure } from "../../lib/figures/figure.ts";
import { placementFigure } from "../../lib/figures/placementFigure.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { placement } from "../../lib/study/placement.ts";
import { changed, demo, fixture } from "../site/siteFiles.ts";

const FOOT = 0.3048;
const storm = designStorm({ pattern: "nrcs-ii", depth: "3.1 in" });
const lowPoint = placement(readSite(demo("sedge-hollow")), storm, ["-2 ft", 0, "2 ft"]);
const dry = placement(readSite(demo("linden-row")), designStorm({ pattern: "nrcs-ii", depth: "3.3 in" }), ["-1 m", 0, "1 m"]);
const single = placement(readSite(changed(fixture("tested-soil"), "groundwater", undefined)), storm, [0]);

function bars({ data }: Figure, name: string): BarTrace {
  return data.find((trace): trace is BarTrace => trace.type === "bar" && trace.name.startsWith(name))!;
}

describe("the picture of works on a slope", () => {
  test.each([["with the water table in them", lowPoint], ["above it", dry], ["at one place, far above, with no emitter", single]])(
    "%s is plain data that plotly takes, at every width", (_, result) => {
      for (const width of [288, 328, 670, 1080]) {
        const figure = placementFigure(result, { width });
        const accepted: [Data[], Partial<Layout>, Partial<Config>] = [figure.data, figure.layout, figure.config];
        expect(JSON.parse(JSON.stringify(accepted))).toEqual(accepted);
        expect(figure.data.flatMap(({ x, y }) => [...x, ...y]).every(Number.isFinite)).toBe(true);
      }
    });

  test("has its answer as its title, with the site and the storm, as text", () => {
    const figure = placementFigure(lowPoint, { storm: "<i>2-year</i> day" });
    expect(figure.answer).toMatch(/^The water table fills the low place: the pit is always full 2 ft down the slope and full \d+ % of the time 2 ft up the slope\.$/);
    const title = figure.layout.title!.text.replace(/<br>/g, " ").replace(/\u00a0/g, " ");
    expect(title).toContain(`<b>${figure.answer}</b>`);
    expect(title).toContain("Sedge Hollow, foot of the lot · &lt;i&gt;2-year&lt;/i&gt; day · soil 0.075 to 0.2 in/h");
    expect(placementFigure(lowPoint, { title: false }).layout.title).toBeUndefined();
  });

  test("says where the water table is of no matter", () => {
    expect(placementFigure(dry).answer).toMatch(/^The water table lies below the pit at every place: it is full \d+ % of the time at the lowest as at the highest\.$/);
    expect(placementFigure(single).answer).toMatch(/^The pit is .* as built\.$/);
  });

  test("draws each pit at its height, from the highest on the left, its water to where it stands on day 3 and to its highest, groundwater apart", () => {
    const figure = placementFigure(lowPoint);
    expect(figure.layout.xaxis.ticktext).toEqual(["2 ft<br>up", "as<br>built", "2 ft<br>down"]);
    const highest = bars(figure, "highest water");
    lowPoint.positions.forEach(({ run }, i) => {
      expect(highest.base![i]! + highest.y[i]!).toBeCloseTo(run.peaks.chamberBank!.level / FOOT, 3);
      const dayThree = bars(figure, "filled on day 3");
      expect(dayThree.base![i]! + dayThree.y[i]!).toBeCloseTo(run.level("chamberBank", 48 * 3600) / FOOT, 3);
    });
    // the water table stands at 41.70 ft: over the floors of the lower pits, and over the water of the lowest, whose emitter lets it out
    const tops = figure.data.filter(({ name }) => name === "groundwater in the pit").map(({ y }) => Math.max(...y.map((level) => level ?? 0)));
    expect(tops).toEqual(lowPoint.positions.filter(({ run }) => run.site.chamberBank.floor / FOOT < 41.7)
      .map(({ run }) => expect.closeTo(Math.min(41.7, run.level("chamberBank", 48 * 3600) / FOOT), 3) as number));
    expect(tops.length).toBeGreaterThan(0);
  });

  test("has a bar for each share, room and outflow, and says which emitter is drowned", () => {
    const figure = placementFigure(lowPoint);
    expect(bars(figure, "share of the time").y).toEqual(lowPoint.positions.map(({ fullShare }) => Math.round(fullShare * 1e4) / 1e4));
    expect(bars(figure, "room for rain").y[2]).toBe(0);
    const drowned = figure.layout.annotations.filter(({ text }) => text.includes("drowned"));
    expect(drowned.map(({ x }) => x)).toEqual([2]);
    expect(placementFigure(single).data.map(({ name }) => name)).not.toContain("let out by the emitter, gal");
  });

  test("names the water table on its line, at its foot, or far below", () => {
    const label = (result: typeof dry): string => placementFigure(result).layout.annotations.find(({ text }) => text.startsWith("water table"))!.text;
    expect([lowPoint, dry, single].map(label)).toEqual(["water table 41.70 ft", "water table 58.90 m ↓", "water table far below"]);
  });
});
