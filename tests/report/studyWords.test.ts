import { describe, expect, test } from "vitest";
import { exceedanceFigure } from "../../lib/figures/exceedanceFigure.ts";
import type { Figure } from "../../lib/figures/figure.ts";
import { designPart } from "../../lib/report/designPart.ts";
import type { HowOften } from "../../lib/study/often.ts";
import { oftenPart } from "../../lib/report/oftenPart.ts";
import type { PagePart } from "../../lib/report/pagePart.ts";
import { sizePart } from "../../lib/report/sizePart.ts";
import { surePart } from "../../lib/report/surePart.ts";
import { sweepPart } from "../../lib/report/sweepPart.ts";
import { yearsPart } from "../../lib/report/yearsPart.ts";
import { ASKED, cells, design, often, sites, sizing, sure, sweepOf, years } from "./madeStudies.ts";

const { house, row, bare, hollow, boxes, noEmitter } = sites;
const { fills, fires, spills, stopped } = cells;

/** A page's words, one space between, one line for each block. */
function wordsOf(markup: string): string {
  return markup.replace(/<svg[^]*?<\/svg>/g, "").replace(/\s+/g, " ").replace(/<\/(tr|p|h\d|caption|li|figcaption|summary|dt|dd)>/g, "\n").replace(/<\/t[hd]>\s*/g, " | ").replace(/<[^>]*>/g, "")
    .replace(/&#(\d+);/g, (_, code: string) => String.fromCharCode(Number(code))).replace(/\u00a0/g, " ")
    .split("\n").map((line) => line.trim().replace(/ \|$/, "")).filter((line) => line !== "").join("\n");
}

/** A figure's words and what is drawn in it, at one width. */
function drawn({ widths }: PagePart["pictures"][number]): string {
  const figure: Figure = widths.at(-1)!.figure;
  return [
    `${figure.answer} / ${figure.description}`, ...figure.layout.annotations.map(({ text }) => text.replace(/<br>/g, " ").replace(/<[^>]*>/g, "")),
    ...figure.data.map(({ name, x, y }) => `${name}: ${x.length} points${x.length === 0 ? "" : ` from ${x[0]!}, ${y[0] ?? "nothing"} to ${x.at(-1)!}, ${y.at(-1) ?? "nothing"}`}`),
    `${figure.layout.shapes.length} shapes`,
  ].join("\n");
}

function said({ section, pictures, answer }: PagePart): string {
  const words = [wordsOf(section.markup), ...pictures.map(drawn)].join("\n\n");
  expect(words).toContain(answer);
  expect(words).not.toMatch(/NaN|undefined|\bnull\b|Infinity/);
  return words;
}

describe("a sizing says", () => {
  const short = design(house, { chambers: 1, stoneBase: 0 }, 10, [NaN, NaN, NaN, NaN, NaN, NaN], ASKED.map(() => false));
  const poor = design(house, { chambers: 2, stoneBase: 0.1 }, 20, [0.7, NaN, 0.1, NaN, 0.9, -0.05], ASKED.map(() => false));
  test.each([
    ["the least, what binds and rules of thumb", sizing(house, {
      rulesOfThumb: [
        { kind: "rainStored", amount: 0.0254, design: poor }, { kind: "roofPerChamber", amount: 50, design: sizing(house).designs[2]! }, { kind: "rainStored", amount: 0.2, design: null },
      ],
    })],
    ["the cheapest, one way only, with silt on the floors", sizing(row, {
      prices: { about: "", currency: "€", dig: null, cartAway: null, stone: null, fabric: null, pipe: null, perforatedPipe: null, fitting: null, settlingBox: null, chamber: null, emitter: null, turf: null, lumpSums: [] }, sidesOnly: true, designs: [design(row, { pitWidth: 2 }, 25, [0], [true], 1234)],
      best: design(row, { pitWidth: 2 }, 25, [0], [true], 1234),
      criteria: ASKED.slice(0, 1), binding: [],
    })],
    ["that none of the designs ever does a thing", sizing(house, { designs: [poor, short], best: null, binding: [], never: [{ criterion: 0, nearest: 0.7 }, { criterion: 1, nearest: NaN }], stopped: 2 })],
    ["that no design does two things at once", sizing(house, { best: null, binding: [], apart: [[0, 2]], stopped: 1 })],
    ["that each two things are done, but not all", sizing(noEmitter, { best: null, binding: [], sidesOnly: true })],
    ["each size in its own words, with a low spot", sizing(hollow, {
      designs: [design(hollow, { chambers: 1, pitWidth: 2, stoneBase: 0.3, trenchLength: 9 }, 20, [0], [true])],
      best: design(hollow, { chambers: 1, pitWidth: 2, stoneBase: 0.3, trenchLength: 9 }, 20, [0], [true]), criteria: [{ storm: 0, asks: "noSpill", limit: 0 }],
      binding: [
        { size: "pitWidth", misses: [0], design: design(hollow, { pitWidth: 1 }, 10, [0.3], [false]) },
        { size: "trenchLength", misses: [0], design: design(hollow, { trenchLength: 5 }, 10, [0.3], [false]) },
        { size: "stoneBase", misses: [0], design: design(hollow, { stoneBase: 0 }, 10, [NaN], [false]) },
      ],
    })],
    ["what boxes do", sizing(boxes, { criteria: [ASKED[5]!], designs: [design(boxes, { chambers: 3 }, 9, [0.4], [true])], best: design(boxes, { chambers: 3 }, 9, [0.4], [true]),
      binding: [{ size: "chambers", misses: [0], design: design(boxes, { chambers: 2 }, 8, [0.1], [false]) }] })],
  ])("%s", (_, made) => {
    expect(said(sizePart(made))).toMatchSnapshot();
    const { answer, section } = designPart(made, made.site, null);
    expect(`${answer}\n${wordsOf(section.markup)}`).not.toMatch(/NaN|undefined|\bnull\b|Infinity/);
    expect(`${answer}\n${wordsOf(section.markup)}`).toMatchSnapshot();
  });
});

describe("a sweep says", () => {
  test.each([
    ["that the emitter stays shut in all storms", sweepOf(house, [[fills("2 year", "1 h", 0.03), fills("2 year", "6 h", 0.05)], [fills("10 year", "1 h", 0.05), fills("10 year", "6 h", 0.08)]])],
    ["which storms open it, in the order of their rain however they are asked", sweepOf(house, [
      [fires("10 year", "1 h", 0.05), fires("10 year", "6 h", 0.08, { emitterVolume: 2 })], [fills("2 year", "1 h", 0.03), fills("2 year", "6 h", 0.05)],
    ])],
    ["that it fires in the smallest, in storms that are not next to one another, and where water leaves besides", sweepOf(house, [
      [fires("2 year", "1 h", 0.03), fills("2 year", "6 h", 0.05), fires("2 year", "24 h", 0.06)], [spills("100 year", "1 h", 0.05), fires("100 year", "6 h", 0.07), fires("100 year", "24 h", 0.08)],
    ])],
    ["one storm that never opens it", sweepOf(house, [[fills("design", "1 h", 0.03)]])],
    ["one storm that opens it, too little to be told", sweepOf(house, [[fires("design", "1 h", 0.03, { emitterVolume: 0, emitterPeak: 0 })]])],
    ["how near the box's water comes where there is no emitter, and that it stands over its rim", sweepOf(bare, [
      [fills("2 year", "1 h", 0.03), fills("2 year", "6 h", 0.05)], [spills("30 year", "1 h", 0.05, { emitterVolume: 0, openTime: 0, firstFiring: NaN }), fills("30 year", "6 h", 0.08)],
    ])],
    ["that water leaves over the lip, or from boxes", sweepOf(hollow, [[spills("2 year", "1 h", 0.03), spills("2 year", "6 h", 0.03)]])],
    ["that groundwater opens the emitter without rain", sweepOf(sites.drowned, [[fires("2 year", "1 h", 0.03, { firstFiring: 0 }), stopped("2 year", "6 h", 0.04)]], { stopped: 1 })],
    ["boxes as boxes", sweepOf(boxes, [[fills("2 year", "1 h", 0.03)]])],
    ["which runs could not go on", sweepOf(house, [[stopped("2 year", "1 h", 0.03), stopped("2 year", "6 h", 0.04)]], { stopped: 2 })],
    ["that one run could not go on, and what takes longer than its run", sweepOf(house, [[fills("2 year", "1 h", 0.03), stopped("2 year", "6 h", 0.04)]], { stopped: 1 })],
    ["several designs by their names", { ...sweepOf(house, [[fires("2 year", "1 h", 0.03)]]), designs: [
      ...sweepOf(house, [[fires("2 year", "1 h", 0.03)]]).designs, { ...sweepOf(house, [[fills("2 year", "1 h", 0.03)]]).designs[0]!, name: "four <b>chambers</b>" },
    ] }],
  ])("%s", (_, made) => { expect(said(sweepPart(made))).toMatchSnapshot(); });
});

describe("a study of doubt says", () => {
  test.each([
    ["that it never fires nor spills", sure(house)],
    ["how often it fires, and what matters most of several", sure(house, { firing: 0.34, spilling: 0.004, swings: [["conductivityFactor", 1, -1], ["stormFactor", -1.5, 1.5], ["groundwaterShift", 0, 0]] })],
    ["that it always fires, and that two doubts matter nearly alike", sure(house, { firing: 1, spilling: 1, swings: [["emitterShift", 1, -1], ["boxOutletShift", -1.1, 1.1]] })],
    ["that it fires in all but a few, and stopped cases", sure(row, { firing: 0.995, stopped: 7, swings: [["porosityShift", 1, -1], ["inletShift", 0.0001, -0.0001]] })],
    ["that it fires now and then, one case stopped, one end of a doubt too", sure(row, { firing: 0.01, stopped: 1, swings: [["conductivityFactor", 1, NaN], ["stormFactor", -1, 1]] })],
    ["that no doubt moves the answer", sure(house, { swings: [["inletShift", 0, 0]] })],
    ["the pit's level where there is no emitter", sure(bare, { spilling: 0.2 })],
    ["that groundwater opens the emitter", sure(sites.drowned, { firing: 1 })],
    ["what leaves over the lip of a low spot", sure(hollow, { firing: 0.2, spilling: 0.2 })],
    ["one figure where both ends are the same", sure(house, { firing: 0.2, answers: { emitterVolume: [0.5, 0.5, 0.5, 0.5, 0.5] } })],
  ])("%s", (_, made) => { expect(said(surePart(made, "cloudburst <i>"))).toMatchSnapshot(); });
});

describe("years of rain say", () => {
  const soils = [0.3, 1, 3].map((conductivityFactor) => (
    { conductivityFactor, firingStorms: 0.2 / conductivityFactor, emitterVolume: 0.1 / conductivityFactor }
  ));
  /** Years in which a storm sends 0.7 to 1.4 m3 out once in ten years with the soil by the rule, beside storms of the table. */
  const beside = (even: number, nested: number): HowOften => {
    const told = often(house, { soils, average: { firingStorms: 2, emitterVolume: 3, emitterShare: 0.02 } });
    const once = told.once.map((each) => ({ ...each, stormVolume: { value: 1, low: 0.7, high: 1.4 } }));
    const peak = house.chamberBank.floor + 1.3;
    return {
      ...told, byRule: { firingStorms: 3.2, emitterVolume: 5, once },
      tableStorms: [2, 10].map((years) => (
        { years, even: { emitted: even, emittedIn: 86400, peak, peakIn: 1800 }, nested: { emitted: nested, peak: peak + 0.1 } })),
    };
  };
  test.each([
    ["that it fires 0.2 times a year", often(house, { average: { firingStorms: 0.2, emitterVolume: 0.4, emitterShare: 0.0025 } })],
    ["that it fires 4 times a year, and that water leaves over a rim", often(row, { average: { firingStorms: 4.04, emitterVolume: 6, emitterShare: 0.0375, spillStorms: 1, spilled: 0.3, spilledShare: 0.0019 } })],
    ["that it never fires with any soil", often(house, { soils })],
    ["that it fires once a year, with several soils and stopped cases", often(house, { soils, stopped: 2, average: { firingStorms: 1.01, emitterVolume: 2, emitterShare: 0.0004 } })],
    ["what leaves without an emitter", often(bare, { average: { spillStorms: 2.5, spilled: 3, spilledShare: 0.02 }, stopped: 1 })],
    ["that nothing leaves without an emitter", often(noEmitter)],
    ["that a lid let out groundwater without rain", often(house, { average: { firingStorms: 0, emitterVolume: 12 } })],
    ["that groundwater opens the emitter", often(sites.drowned, { average: { firingStorms: 80, emitterVolume: 400, emitterShare: 2.5, open: 0.93 } })],
    ["that a week is too short for return periods", often(house, { years: 7 / 365.25, peak: [], stormVolume: [], average: { firingStorms: 2 * 365.25 / 7, emitterVolume: 30, emitterShare: 0.1, spillStorms: 365.25 / 7, spilled: 1, spilledShare: 0.003 } })],
    ["that years without a storm have no return periods", often(house, { years: 2, peak: [], stormVolume: [], longestWet: 0, average: { inflow: 0, wet: 0, aboveHalf: 0 } })],
    ["one year of 365 days", often(house, { years: 365 / 365.25, peak: [{ returnPeriod: 2, value: 29 }], stormVolume: [{ returnPeriod: 2, value: 0 }] })],
    ["what the rule of design says beside, and single storms of the table that agree", beside(0.9, 1.05)],
    ["single storms of the table that let out less than the years", beside(0.2, 0.3)],
    ["single storms of the table that let out more", beside(1.9, 2.4)],
    ["what leaves over a low spot's lip", often(hollow, { average: { spillStorms: 0.4, spilled: 3, spilledShare: 0.02, firingStorms: 3, emitterVolume: 9, emitterShare: 0.05 } })],
  ])("%s", (_, made) => { expect(said(oftenPart(made))).toMatchSnapshot(); });

  test("that a picture needs a whole year", () => {
    expect(() => exceedanceFigure(often(house, { years: 7 / 365.25, peak: [], stormVolume: [] })))
      .toThrow(new RangeError("exceedanceFigure: expected a whole year of rain with a storm in it, got 7 days of invented rain"));
  });
});

describe("the years say", () => {
  const HOUR = 3600;
  const never = { half: null, empty: null, never: "noSeepage" as const };
  test.each([
    ["how much slower the pit drains", years(house, [{}, { empty: 40 * HOUR }, { empty: 300 * HOUR, emitter: 0.2 }])],
    ["that it never drains, new or old, though groundwater feeds it", years(house, [never, { ...never, never: "feeding" }, never])],
    ["that left alone it still drains after ten years", years(bare, [{}, { empty: 70 * HOUR }, { ...never, never: "slow" }])],
    ["that it comes down by half and no farther", years(noEmitter, [{ empty: null, never: "slow" }, { empty: null, never: "slow" }, never])],
    ["that it is back at its groundwater", years(boxes, [{ rest: "groundwater" }, { rest: "groundwater" }, { rest: "start" }])],
    ["that it is back where it stood", years(house, [{ rest: "start" }, { rest: "start", surface: 0.3 }, { rest: "start" }])],
    ["that it holds no water to speak of", years(row, [
      { half: 0, empty: 0, rest: null }, { half: 0, empty: 0, rest: null }, { half: 0, empty: 0, rest: null },
    ])],
  ])("%s", (_, made) => { expect(said(yearsPart(made))).toMatchSnapshot(); });
});
