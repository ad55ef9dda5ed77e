import { describe, expect, test } from "vitest";
import type { LineTrace } from "../../lib/figures/figure.ts";
import { sectionFigure } from "../../lib/figures/sectionFigure.ts";
import { sectionCaption } from "../../lib/figures/sectionCaption.ts";
import { hollowRadius, sectionPlan } from "../../lib/figures/sectionPlan.ts";
import { changedSite } from "../../lib/site/changedSite.ts";
import { drawnRun } from "./drawnRun.ts";

const run = drawnRun("library-3in");
const FOOT = 0.3048;
const hour = 3600;
const moments = [0, 6, 12, 20, 40, 72].map((each) => each * hour);

/** Areas of one fill, as lists of levels [m]. */
function levels(time: number, fill: RegExp): number[][] {
  return (sectionFigure(run, time).data as LineTrace[])
    .filter(({ fillcolor }) => fill.test(fillcolor ?? ""))
    .map(({ y }) => y.map((level) => level! * FOOT));
}

describe("the section", () => {
  test("is plain data without NaN or infinity, at every moment and width", () => {
    for (const id of ["library-3in", "low-point-3in", "depot-block-1h"] as const) {
      const each = drawnRun(id);
      for (const time of moments.filter((moment) => moment <= each.until)) {
        for (const width of [288, 1080]) {
          const { data, layout } = sectionFigure(each, time, { width });
          const numbers = [...data.flatMap(({ x, y }) => [...x, ...y]), ...layout.annotations.flatMap(({ x, y }) => [x, y])];
          expect(numbers.every((value) => Number.isFinite(value))).toBe(true);
        }
      }
    }
  });

  test("cuts layers of soil where the ground crosses them", () => {
    const { site } = run;
    // the second layer's top lies between the grounds of pit and trench
    const [pit, trench] = [site.chamberBank.ground, site.overflowTrench!.lowestGround];
    const top = (pit + trench) / 2;
    const layers = [site.soil.layers[0]!, { ...site.soil.layers[0]!, top }];
    const { data } = sectionFigure({ ...run, site: { ...site, soil: { ...site.soil, layers } } }, 0, { width: 1080 });
    const plan = sectionPlan(site);
    const crossings = (data as LineTrace[]).flatMap(({ x, y }) => (
      x.flatMap((along, i) => (Math.abs(y[i]! * FOOT - top) < 1e-4 ? [Number(along) * FOOT] : []))));
    // the ground is a straight line from the pit's edge to the trench's, and halfway down halfway along
    const halfway = (plan.pit.to + plan.trench!.from) / 2;
    expect(crossings.some((along) => Math.abs(along - halfway) < 1e-3)).toBe(true);
  });

  test("stretches heights five times at most, at any width, and the same all through a run", () => {
    for (const width of [288, 330, 700, 1080]) {
      const layouts = [0, 12 * hour, 40 * hour].map((time) => sectionFigure(run, time, { width, title: false }).layout);
      const scales = layouts.map(({ xaxis, yaxis, height, margin }) => {
        const across = (width - margin.l - margin.r) / (xaxis.range![1] - xaxis.range![0]);
        return (height - margin.t - margin.b) / (yaxis.range![1] - yaxis.range![0]) / across;
      });
      for (const scale of scales) expect(scale).toBeLessThan(5.02);
      expect(new Set(scales.map((scale) => scale.toFixed(6))).size).toBe(1);
    }
  });

  test("says how much higher than long it draws", () => {
    const { layout, data } = sectionFigure(run, 12 * hour, { width: 1080 });
    expect(JSON.stringify([layout, data])).toMatch(/heights stretched [1-9]\.\d times/);
  });

  test("lays the parts out at their true lengths, in the water's way", () => {
    const { site } = run;
    const plan = sectionPlan(site);
    const [box, trench] = [plan.boxes[0]!, plan.trench!];
    expect(box.to - box.from).toBeCloseTo(30 * 0.0254, 9);
    expect(plan.pit.from - box.to).toBeCloseTo(14 * FOOT, 9);
    expect(plan.pit.to - plan.pit.from).toBeCloseTo(16 * FOOT, 9);
    expect(trench.from - plan.pit.to).toBeCloseTo(4 * FOOT, 9);
    expect(trench.to - trench.from).toBeCloseTo(60 * FOOT, 9);
    expect(plan.emitter!.from).toBeCloseTo(trench.to, 9);
    const isWide = plan.chambers.map(({ from, to }) => Math.abs(to - from - 31 * 0.0254) < 1e-9);
    expect(isWide).toEqual([true, true, true]);
  });

  test("hides the chambers that have no room in the first row", () => {
    const { chamberBank } = run.site;
    const chambers = chamberBank.chambers.map((chamber) => ({ ...chamber, count: 40 }));
    const plan = sectionPlan({ ...run.site, chamberBank: { ...chamberBank, chambers } });
    expect(plan.chambers.length).toBe(Math.floor((16 * 12) / 31));
    expect(plan.chambers.at(-1)!.to).toBeLessThanOrEqual(plan.pit.to);
  });

  test("draws water up to each body's level and no higher", () => {
    for (const time of moments) {
      const highest = Math.max(...run.bodies.map(({ name }) => run.level(name, time)));
      const water = levels(time, /^rgba\((?:46,120,170|20,92,145)/).flat();
      expect(Math.max(...water)).toBeLessThanOrEqual(highest + 1e-4);
      // Four decimals of a foot
      expect(water.some((level) => Math.abs(level - run.level("settlingBox", time)) < 1e-4)).toBe(true);
    }
  });

  test("marks no level where a body is dry", () => {
    const marks = (time: number): string[] => sectionFigure(run, time).layout.annotations
      .map(({ text }) => text).filter((text) => /^<b>\d+\.\d\d<\/b>$/.test(text));
    expect(marks(0)).toEqual(["<b>97.20</b>"]);
    expect(marks(20 * hour)).toHaveLength(3);
  });

  test.each([
    [0, "At hour 0 the pit is dry."],
    [6 * hour, "At hour 6 the pit stands at 92.99 ft and fills."],
    [40 * hour, "At hour 40 the pit stands at 94.28 ft and empties."],
  ])("at %d s says the state of the site", (time, answer) => {
    expect(sectionFigure(run, time).answer).toBe(answer);
  });

  test("says when the emitter fires", () => {
    expect(sectionFigure(run, 13 * hour).answer).toMatch(/^At hour 13 the pit stands at 97\.12 ft and the emitter lets out [\d.]+ gal\/min\.$/);
  });

  test("names every layer's conductivity in its caption, and the pale blue only where it is seen", () => {
    expect(sectionCaption(run, 0)).toBe(
      "Cut open along the pipes, to the scale that is drawn. Soil as used, from the top down: 0.15 in/h, 0.45 in/h.");
    const { floor, stone } = run.site.chamberBank;
    const level = floor + stone.depth + 0.2;
    expect(sectionCaption({ ...run, level: (body, time) => (body === "chamberBank" ? level : run.level(body, time)) }, 0))
      .toMatch(/ Pale blue: the level to which water would stand above the stone; in the ground it is pressure, over it water\.$/);
  });

  test("has arrows out of the walls, none down, where groundwater stands above the floor that lets water out", () => {
    const { chamberBank } = run.site;
    const time = 20 * hour;
    const downAndAside = (level: number): number[] => {
      const site = changedSite(run.site, { chamberBank: { ...chamberBank, groundwaterLevel: { time: [0], level: [level] } } });
      const arrows = sectionFigure({ ...run, site }, time).layout.annotations.filter(({ showarrow }) => showarrow);
      return [arrows.filter(({ ay }) => ay === -24).length, arrows.filter(({ ax }) => ax !== 0).length];
    };
    expect([downAndAside(chamberBank.floor - 1), downAndAside(chamberBank.floor + 0.3)]).toEqual([[3, 0], [0, 2]]);
  });

  test("draws the water that falls out of a pipe two thirds as deep at the brink as over the crest", () => {
    const { outlet } = run.site.settlingBoxes[0]!;
    const crest = Math.max(outlet.invert, outlet.outletInvert);
    const box = crest + 0.5 * outlet.diameter;
    const low = outlet.outletInvert - 0.5;
    const falling = { ...run, level: (body: string) => (body === "settlingBox" ? box : low) };
    const pit = sectionPlan(run.site).pit.from;
    const water = (sectionFigure(falling, 0).data as LineTrace[]).filter(({ fillcolor }) => fillcolor === "rgba(20,92,145,0.62)");
    const ends = water.flatMap(({ x, y }) => x.flatMap((along, i) => (Math.abs(along * FOOT - pit) < 1e-3 ? [y[i]! * FOOT] : [])));
    expect(Math.max(...ends)).toBeCloseTo(outlet.outletInvert + (2 / 3) * (box - crest), 3);
  });

  test("outside the run is refused", () => {
    expect(() => sectionFigure(run, -1)).toThrow(new RangeError("time: expected 0 to 259200 s, got -1 s"));
    expect(() => sectionFigure(run, NaN)).toThrow("time: expected 0 to 259200 s, got NaN s");
  });
});

test("a low spot is as wide at a level as its area there, as a circle", () => {
  const hollow = { floor: 10, depth: 0.2, area: 50, shape: 2 } as unknown as Parameters<typeof hollowRadius>[0];
  expect(Math.PI * hollowRadius(hollow, 10.2) ** 2).toBeCloseTo(50, 9);
  // a paraboloid's area grows with its depth
  expect(Math.PI * hollowRadius(hollow, 10.05) ** 2).toBeCloseTo(12.5, 9);
  expect(hollowRadius(hollow, 9.9)).toBe(0);
});
