// The parts of a decision's page that rest on many runs, how sure, how often, money and variants, computed again here from the page's own
// design: its sizes are written into site files of their own with what was drawn, which are read and simulated here; quantiles, shares,
// years and sums are formed below. What a law of draws, of rain or of amounts says is the library's and tested where it stands. The sites,
// prices and rain are invented.
import { beforeAll, describe, expect, test } from "vitest";
import { normalQuantile } from "../../lib/numerics/normalQuantile.ts";
import { philox, sobolDraw, uniformDraw } from "../../lib/numerics/draw.ts";
import { takeOff } from "../../lib/plan/takeOff.ts";
import { hyetograph, type Hyetograph } from "../../lib/rain/hyetograph.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { placeRain } from "../../lib/rain/storms/placeRain.ts";
import { comparePart } from "../../lib/report/comparePage.ts";
import { moneyPart } from "../../lib/report/moneyPart.ts";
import { oftenPart } from "../../lib/report/oftenPart.ts";
import { studyPage } from "../../lib/report/studyPage.ts";
import { surePart } from "../../lib/report/surePart.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { COARSE_TOLERANCE } from "../../lib/simulate/runOptions.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import type { Prices } from "../../lib/site/prices.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { fileOfVariant } from "../../lib/site/variants.ts";
import { compare, fileDifferences } from "../../lib/study/compare.ts";
import { howSure } from "../../lib/study/howSure.ts";
import { often } from "../../lib/study/often.ts";
import { size } from "../../lib/study/size.ts";
import { worksOptions } from "../../lib/study/worksOptions.ts";
import { YEAR } from "../../lib/text/unitTable.ts";
import {
  both, CHAMBERS, DEPTHS, type Design, designOf, does, dug, FACTOR, FIGURE, FLOOR, HOUR, inFeet, type Json, LAYERS, letOut, linesOf,
  type Page, PIT, pit, pitPeak, rainfall, runOf, siteOf, stepOf, stormOf, STORMS, trench, USUAL, WATER, WIDTH,
} from "./decidePages.ts";
import { says, type Rule, type Told, unlike } from "./decideRules.ts";

const PRICES = { dig: [30, 50], stone: [45, 70], chamber: [180, 260], digger: [300, 500] } as const;
const LIMIT = 1.3;
const DOUBTS = { conductivityWithin: 3, depthWithin: 1.1, groundwaterWithin: "0.3 m", porosityWithin: 0.05, levelsWithin: "10 mm" } as const;
const [CASES, PAIRS, YEARS, SOILS] = [100, 40, 6, 3] as const;
const climate = { stormsPerYear: 20, meanDepth: "16 mm", meanDuration: "4 h" } as const;
/** The table of the years: so much wetter than that of the storms, for the lid to run now and then. */
const WETTER = 1.7;
const wet = { ...rainfall, rows: wetter() };
function wetter(): Readonly<Record<string, number[]>> {
  return Object.fromEntries(Object.entries(DEPTHS).map(([duration, mm]) => [duration, mm.map((each) => WETTER * each)]));
}
const LONGER = { name: "longer trench", about: "a trench that goes on", overflowTrench: { length: "15 m" } } as const;

const FILE: Json = {
  ...USUAL, variants: [LONGER],
  prices: {
    about: "Invented.", currency: "EUR", dig: { per: "1 m^3", from: PRICES.dig[0], to: PRICES.dig[1] },
    stone: { per: "1 m^3", from: PRICES.stone[0], to: PRICES.stone[1] }, chamber: { from: PRICES.chamber[0], to: PRICES.chamber[1] },
    lumpSums: [{ name: "digger", from: PRICES.digger[0], to: PRICES.digger[1] }],
  },
};

const tried = (step: number): Design[] => [2, 3, 4].flatMap((chambers) => [8, 12].map((long) => (
  { chambers, pit: step * Math.ceil((chambers * PIT) / CHAMBERS / step - 1e-6), trench: long })));

async function pageIn<T extends Json>(file: T): Promise<Page> {
  const site = readSite(file);
  const step = stepOf(site);
  const units = step === 0.01 ? <O>(options: O): O => options : inFeet;
  const sizing = await size(site, units({ ...both, criteria: [{ storm: "cloudburst", emitterVolumeAtMost: `${LIMIT} m^3` }, both.criteria[1]!] }));
  const chosen = sizing.best!.site;
  const asked = units({ climate, rainfall: wet, years: YEARS, soils: SOILS, conductivityWithin: 3 });
  const prices = site.prices as Prices;
  const variant = fileOfVariant(file, site.variants[0]!);
  const { conductivityWithin, depthWithin } = DOUBTS;
  const storms = Object.keys(STORMS).map((name) => ({ name, rain: stormOf(name) }));
  const page: Page = {
    file, limit: LIMIT, step, tried: tried(step), design: designOf(chosen), drawn: designOf(site), isChosen: true,
    onPlan: { notes: [], share: null }, lines: [],
  };
  const parts = [
    surePart(await howSure(chosen, { ...units(DOUBTS), storm: stormOf("cloudburst"), runs: CASES, moments: 2 }), "cloudburst"),
    oftenPart(await often(chosen, asked)),
    moneyPart(await worksOptions(sizing, chosen, prices, (each) => often(each, asked)), prices),
    comparePart(await compare(chosen, readSite(variant), { conductivityWithin, depthWithin, storms, runs: PAIRS }),
      { a: "the design of this page", b: LONGER.name }, fileDifferences(fileOf(page, page.design), variant), "variant-1"),
  ];
  return { ...page, lines: linesOf(studyPage(chosen, parts)).filter(({ section }) => section !== "top") };
}

/** The file of a design, and of what was drawn: factors on soil and shifts of levels and voids. */
function fileOf({ file, step }: Page, design: Design, drawn: Partial<Drawn> = {}): Json {
  const { soil = null, groundwater = 0, porosity = 0, crest = 0, outlet = 0, inlet = 0 } = drawn;
  const { variants: _, ...others } = USUAL as Json & { readonly variants?: unknown };
  const lane = others as unknown as Readonly<Record<string, Json>>;
  const raised = (text: unknown, by: number): string => `${Number.parseFloat(text as string) + by} m`;
  const { outlet: pipe } = lane["settlingBox"] as { readonly outlet: Json };
  const its = {
    ...others, ...(file["prices"] !== undefined && { prices: FILE["prices"] }),
    settlingBox: { ...lane["settlingBox"], outlet: { ...pipe, invert: raised(pipe["invert"], outlet), outletInvert: raised(pipe["outletInvert"], outlet) } },
    chamberBank: {
      ...pit, length: `${design.pit} m`, chambers: [{ ...pit.chambers[0], count: design.chambers }],
      stone: { ...pit.stone, porosity: pit.stone.porosity + porosity },
    },
    overflowTrench: {
      ...trench, length: `${design.trench} m`, stone: { ...trench.stone, porosity: trench.stone.porosity + porosity },
      inlet: { ...trench.inlet, invert: raised(trench.inlet.invert, inlet) },
    },
    emitter: { ...lane["emitter"], crest: raised(lane["emitter"]!["crest"], crest) },
    ...(soil !== null && { soil: { layers: LAYERS.map(([top, rate]) => ({ top: `${top} m`, conductivity: `${rate * soil} mm/h` })) } }),
    groundwater: { level: `${WATER + groundwater} m` },
  };
  return step === 0.01 ? its : inFeet(its);
}

interface Drawn {
  /** on what was given, no factor of safety; the file's own soil where missing */
  readonly soil: number | null;
  readonly storm: number;
  readonly groundwater: number;
  readonly porosity: number;
  readonly crest: number;
  readonly outlet: number;
  readonly inlet: number;
}

const rained = ({ time, depth }: Hyetograph, factor: number): Hyetograph => (
  hyetograph({ time: [...time], depth: [...depth].map((each) => factor * each) }));
const caseRun = (page: Page, drawn: Partial<Drawn>, design: Design = page.design, storm: string = "cloudburst", until?: number): Run => (
  simulate(readSite(fileOf(page, design, drawn)), rained(stormOf(storm), drawn.storm ?? 1), {
    tolerance: COARSE_TOLERANCE, ...(until === undefined ? {} : { until }),
  }));

/** One standard deviation of a doubt within which 95 of 100 lie. */
const SIGMA = 1 / normalQuantile(0.975);
/** What lies a number of standard deviations off, each doubt by itself; the order is that of the draws. */
function drawnAt(z: readonly number[]): Drawn {
  const at = z.map((each) => each * SIGMA);
  const level = (which: number): number => 0.01 * at[which]!;
  return {
    soil: Math.exp(Math.log(3) * at[0]!), storm: Math.exp(Math.log(1.1) * at[1]!), groundwater: 0.3 * at[2]!, porosity: 0.05 * at[3]!,
    crest: level(4), outlet: level(5), inlet: level(6),
  };
}
const NAMES = ["the soil", "the storm's depth", "the water table", "the stone's voids", "the emitter's crest", "the box outlets", "the trench's inlet"] as const;
const deviatesOf = (i: number): number[] => NAMES.map((_, which) => normalQuantile(sobolDraw(1, i, which)));

interface Case {
  readonly z: readonly number[];
  readonly run: Run;
}
const made = new Map<Page, readonly Case[]>();
function casesOf(page: Page): readonly Case[] {
  const known = made.get(page) ?? Array.from({ length: CASES }, (_, i) => (
    { z: deviatesOf(i), run: caseRun(page, drawnAt(deviatesOf(i))) }));
  made.set(page, known);
  return known;
}

/** Definition 7 of Hyndman & Fan (The American Statistician 50, 1996): straight between the values in order; what never comes lies last. */
function quantile(values: readonly number[], share: number): number {
  const sorted = values.map((each) => (Number.isNaN(each) ? Infinity : each)).sort((a, b) => a - b);
  const at = share * (values.length - 1);
  const [low, high] = [sorted[Math.floor(at)]!, sorted[Math.ceil(at)]!];
  return high === Infinity ? NaN : low + (at - Math.floor(at)) * (high - low);
}

const box = (run: Run): number => 10.1 - run.peaks[run.bodies[0]!.name]!.level;
const ANSWERED: Readonly<Record<string, (run: Run) => number>> = {
  "the pit's highest level": pitPeak, "from the water of a box to its rim": box, "let out by the emitter": ({ emitted }) => emitted,
  "emitter open for": ({ openTime }) => openTime, "first opens at": ({ firings }) => firings[0]?.start ?? NaN,
  "comes out over a rim or the ground": ({ spilled }) => spilled, "half empty after": ({ drainDown }) => drainDown.half ?? NaN,
  "empty after": ({ drainDown }) => drainDown.empty ?? NaN,
};
const cellsOf = (text: string): string[] => text.split("|").map((cell) => cell.trim());
const hour = (told: string): string => told.replace(/^hour (.+)$/, "$1 h");
/** The first figure of a range with the unit of its second. */
const unitOf = (told: string): string => / .*$/.exec(told)?.[0] ?? "";
const ranged = (low: string, high: string): string => (unitOf(low) === "" ? `${low}${unitOf(high)}` : low);
const mean = (values: readonly number[]): number => values.reduce((sum, each) => sum + each, 0) / values.length;

/** What one thing in doubt brings into what the emitter lets out: epsilon squared over even bins of it (Kelley 1935, from memory). */
function effectOf(page: Page, which: number): number {
  const rows = [...casesOf(page)].sort((a, b) => a.z[which]! - b.z[which]!).map(({ run }) => run.emitted);
  const bins = Math.min(20, Math.floor(CASES / 5));
  const groups = Array.from({ length: bins }, (_, b) => rows.slice(Math.round((b * CASES) / bins), Math.round(((b + 1) * CASES) / bins)));
  const all = mean(rows);
  const total = rows.reduce((sum, each) => sum + (each - all) ** 2, 0);
  const between = groups.reduce((sum, group) => sum + group.length * (mean(group) - all) ** 2, 0);
  const within = (total - between) / (CASES - bins);
  return Math.max(0, (between - (bins - 1) * within) / total);
}

const MEASURED: Readonly<Record<string, number>> = {
  "a test hole in the soil of the works": 0, "a reading of the water table in a wet season": 2, "a bucket of the yard’s stone filled with water": 3,
  "the emitter’s level read once more": 4, "the box outlet’s level read once more": 5, "the level of the trench’s inlet read once more": 6,
};
/** How much narrower the answer is with one measurement of a thing, and were it known; holes scatter with a variance of ln 2. */
function narrowed(page: Page, which: number): readonly [one: number, known: number] {
  const effect = effectOf(page, which);
  const variance = (Math.log(3) * SIGMA) ** 2;
  const known = 1 - Math.sqrt(1 - effect);
  return [which === 0 ? 1 - Math.sqrt(1 - (effect * variance) / (variance + Math.LN2)) : known, known];
}

/** How far each doubt alone moves what the emitter lets out, from 5 to 95 of 100. */
function swings(page: Page): { readonly name: string; readonly width: number }[] {
  const end = (which: number, share: number): number => (
    caseRun(page, drawnAt(NAMES.map((_, each) => (each === which ? normalQuantile(share) : 0)))).emitted);
  return NAMES.map((name, which) => ({ name, width: Math.abs(end(which, 0.95) - end(which, 0.05)) })).sort((a, b) => b.width - a.width);
}

const SURE: readonly Rule[] = [
  {
    words: says(String.raw`In “cloudburst” the emitter fires in (\d+) of 100 cases and lets out # to # in 90 of 100; (.+) matters most for what the emitter lets out\.`),
    figures: ([, cases, low, high, name], page) => {
      const runs = casesOf(page).map(({ run }) => run);
      const emitted = runs.map((run) => run.emitted);
      return [
        [cases, 100 * mean(runs.map(({ openTime }) => (openTime > 0 ? 1 : 0)))],
        [ranged(low!, high!), quantile(emitted, 0.05)], [high, quantile(emitted, 0.95)],
        [name, swings(page)[0]!.name],
      ];
    },
  },
  {
    words: /^(\d+) cases, each with its own (.+)\.$/,
    figures: ([, cases, names]) => [[cases, CASES], [names, NAMES.map((name) => name.replace("the ", "")).join(", ").replace(/, ([^,]+)$/, " and $1")]],
  },
  {
    section: /^sure$/, head: /^\| 5 \|/, words: /^([^|]+) \| (.+)$/,
    figures: ([, name], page, { text }) => cellsOf(text).slice(1).map((cell, i): Told => {
      const value = quantile(casesOf(page).map(({ run }) => ANSWERED[name!]!(run)), [0.05, 0.25, 0.5, 0.75, 0.95][i]!);
      return Number.isNaN(value) ? [cell, name === "first opens at" ? "never" : "not within the run"] : [hour(cell), value];
    }),
  },
  {
    words: /^The emitter opens in (\d+) of 100 cases \(give or take ([\d.]+) of 100\)\.$/,
    figures: ([, cases, chance], page) => {
      const share = mean(casesOf(page).map(({ run }) => (run.openTime > 0 ? 1 : 0)));
      return [[cases, 100 * share], [chance, 200 * Math.sqrt((share * (1 - share)) / CASES)]];
    },
  },
  {
    // at none the standard error of one case in n + 2 (Laplace's rule, from memory)
    words: /^Water comes out over a rim or the ground in none of the cases \(chance alone might hide ([\d.]+) in 100\)\.$/,
    figures: ([, chance], page) => {
      const p = 1 / (CASES + 2);
      return [["none", casesOf(page).every(({ run }) => run.spilled < 1e-4)], [chance, 200 * Math.sqrt((p * (1 - p)) / CASES)]];
    },
  },
  { words: /within a factor of (\d+) of it, as the file says; the soil of pit and trench is slow or fast together\.$/, figures: ([, within]) => [[within, 3]] },
  { words: /^The factor of safety of (\d+) is a rule of design and stands apart: no case is divided by it\.$/, figures: ([, factor]) => [[factor, FACTOR]] },
  {
    words: says(String.raw`With the soil as given the emitter lets out #; by the rule, .+, the emitter lets out #\.`),
    figures: ([, given, rule], page) => [[given, caseRun(page, { soil: 1 }).emitted], [rule, caseRun(page, {}).emitted]],
  },
  {
    words: /^What would narrow what the emitter lets out most is (.+)\.$/,
    figures: ([, told], page) => {
      const order = Object.entries(MEASURED).map(([name, which]) => ({ name, gain: narrowed(page, which) }))
        .sort((a, b) => b.gain[0] - a.gain[0]);
      return told!.split(", then ").flatMap((each, i): Told[] => {
        const [, name, one, known] = /^(.+) \((\d+ %) narrower(?: were it known|, as holes scatter within a site; (\d+ %) were that soil known)\)$/.exec(each)!;
        const { name: own, gain } = order[i]!;
        return [[name, own], [one, gain[0]], ...(known === undefined ? [] : [[known, gain[1]] satisfies Told])];
      });
    },
  },
  {
    words: /^(.+) matters most for what the emitter lets out, ([\d.]+) times as much as (.+)\.$/,
    figures: ([, first, times, second], page) => {
      const [most, next] = swings(page);
      return [[first!.toLowerCase(), most!.name], [times, most!.width / next!.width], [second, next!.name]];
    },
  },
  {
    section: /^sure$/, words: /^The level of the pit as far as it is known, of each case the highest within (.+) of a moment, so that no peak is missed\.$/,
    // two moments: the beginning and the end of the run
    figures: ([, told], page) => [[told, runOf(page, page.design, "cloudburst").until / 2]],
  },
  { section: /^sure$/, words: /^(At every moment 90 of 100 cases lie|Of every 100 cases this many stay|Each bar from one end of a doubt to the other, 5 and 95 of 100)/, figures: () => [] },
];

// years of rain

const rainOf = (): Hyetograph => placeRain({ ...climate, years: YEARS, seed: 1, record: 0, rainfall: wet });
const FACTORS = Array.from({ length: SOILS }, (_, j) => 3 ** (normalQuantile((j + 0.5) / SOILS) / normalQuantile(0.975)));

interface YearsOf {
  readonly firingStorms: number;
  readonly emitted: number;
  readonly spilled: number;
  readonly inflow: number;
  readonly aboveHalf: number;
  readonly wet: number;
  readonly longestWet: number;
  /** by the year: the most let out in a storm, and the pit's highest level */
  readonly most: readonly number[];
  readonly peaks: readonly number[];
}

/** Level to which half of the room under the inlet of the trench is filled: stone, and round chambers with their walls in it. */
function halfLevel({ chambers, pit: long }: Design): number {
  const room = (level: number): number => {
    const [deep, tall] = [level - FLOOR, Math.max(0, Math.min(1.1, level - FLOOR - 0.15))];
    const circle = (across: number): number => (Math.PI / 4) * across ** 2 * tall * chambers;
    return 0.4 * (long * WIDTH * deep - circle(0.8)) + circle(0.75);
  };
  let [low, high]: [number, number] = [FLOOR, 9.1];
  for (let i = 0; i < 50; i++) [low, high] = room((low + high) / 2) < room(9.1) / 2 ? [(low + high) / 2, high] : [low, (low + high) / 2];
  return low;
}

const years = new Map<string, YearsOf>();
function yearsOf(page: Page, design: Design, soil: number | null): YearsOf {
  const key = JSON.stringify([page.step, design, soil]);
  const known = years.get(key) ?? yearsMade(page, design, soil);
  years.set(key, known);
  return known;
}

function yearsMade(page: Page, design: Design, soil: number | null): YearsOf {
  const rain = rainOf();
  const until = rain.time.at(-1)!;
  const run = simulate(readSite(fileOf(page, design, { soil })), rain, { until });
  // storms part where six hours are dry
  const starts: number[] = [];
  let last = -Infinity;
  rain.depth.forEach((depth, i) => {
    if (!(depth > 0)) return;
    if (rain.time[i]! - last >= 6 * HOUR) starts.push(rain.time[i]!);
    last = rain.time[i + 1]!;
  });
  const times = [...run.times].flatMap((time, i, all) => (i === 0 ? [time] : [(all[i - 1]! + time) / 2, time]));
  const levels = times.map((time) => run.level("chamberBank", time));
  let step = 0;
  const storms = starts.map((start, s) => {
    const end = starts[s + 1] ?? until;
    const emitted = run.firings.filter((firing) => firing.start >= start && firing.start < end)
      .reduce((sum, { volume }) => sum + volume, 0);
    let peak = -Infinity;
    for (; step < times.length && times[step]! < end; step++) if (times[step]! >= start) peak = Math.max(peak, levels[step]!);
    return { start, emitted, peak };
  });
  const half = halfLevel(design);
  let [above, wet, longest, stretch] = [0, 0, 0, 0];
  for (let i = 1; i < times.length; i++) {
    const [from, to, lasts] = [levels[i - 1]!, levels[i]!, times[i]! - times[i - 1]!];
    const over = (level: number): number => (
      lasts * Math.min(1, Math.max(0, (Math.max(from, to) - level) / Math.max(1e-12, Math.abs(to - from)))));
    above += over(half);
    const its = over(FLOOR + 0.01);
    wet += its;
    stretch = its > 0 ? stretch + its : 0;
    longest = Math.max(longest, stretch);
  }
  const year = (y: number): typeof storms => storms.filter(({ start }) => Math.floor(start / YEAR) === y);
  const each = Array.from({ length: YEARS }, (_, y) => year(y));
  return {
    firingStorms: storms.filter(({ emitted }) => emitted > 0).length / YEARS, emitted: run.emitted / YEARS, spilled: run.spilled / YEARS,
    inflow: run.ledger.inflow / YEARS, aboveHalf: above / until, wet: wet / until, longestWet: longest,
    most: each.map((its) => Math.max(0, ...its.map(({ emitted }) => emitted))),
    peaks: each.map((its) => Math.max(...its.map(({ peak }) => peak))),
  };
}

const likely = (page: Page, design: Design = page.design): YearsOf[] => FACTORS.map((factor) => yearsOf(page, design, factor));
const average = (page: Page, of: (each: YearsOf) => number, design: Design = page.design): number => mean(likely(page, design).map(of));

/** What the largest of a year reaches once in two years by Gringorten's places, and the middle 90 of 100 of resampled years. */
function onceInTwo(byYear: readonly (readonly number[])[]): readonly [value: number, low: number, high: number] {
  const at = (values: readonly number[]): number => {
    const sorted = [...values].sort((a, b) => b - a);
    const period = (place: number): number => (values.length + 0.12) / (place + 1 - 0.44);
    const after = sorted.findIndex((_, place) => period(place) <= 2);
    const share = Math.log(2 / period(after)) / Math.log(period(after - 1) / period(after));
    return sorted[after]! + share * (sorted[after - 1]! - sorted[after]!);
  };
  const again = Array.from({ length: 400 }, (_, r) => (
    at(byYear.flatMap((__, y) => byYear[Math.floor(uniformDraw(19, r, y) * byYear.length)]!)))).sort((a, b) => a - b);
  return [at(byYear.flat()), again[20]!, again[380]!];
}

/** `820 gal (600 gal to 1100 gal)` */
function banded(cell: string, [value, low, high]: readonly [number, number, number]): Told[] {
  const [, middle, from, to] = /^(.+?)(?: \((.+) to (.+)\))?$/.exec(cell)!;
  return [[middle, value], ...(from === undefined ? [[middle, Math.abs(high - low) < 1e-3 + 0.005 * Math.abs(value)] satisfies Told]
    : [[from, low], [to, high]] satisfies Told[])];
}

/** Even rain of the table's two years, by its duration. */
const evenRuns = (page: Page): Readonly<Record<string, Run>> => Object.fromEntries(Object.keys(DEPTHS).map((duration) => (
  [duration, simulate(siteOf(page, page.design), rained(stormOf(`2-year ${duration}`), WETTER))])));
/** All durations of the table's two years in one storm: straight between them in the logarithms of both. */
function nestedRun(page: Page): Run {
  const durations = [HOUR / 2, 2 * HOUR, 12 * HOUR];
  const depths = Object.values(DEPTHS).map(([two]) => (WETTER * two) / 1000);
  const depth = (time: number): number => {
    if (time === 0) return 0;
    const i = time <= durations[1]! ? 0 : 1;
    const slope = Math.log(depths[i + 1]! / depths[i]!) / Math.log(durations[i + 1]! / durations[i]!);
    return depths[i]! * (time / durations[i]!) ** slope;
  };
  return simulate(siteOf(page, page.design), designStorm({ pattern: "nested", duration: "12 h", interval: "30 min", rainfall: depth }));
}

/** A small share, to tenths of a percent. */
const tenths = (told: string | undefined, share: number): Told => (told === "less than 0.1 %" ? [told, share > 0 && share < 0.001] : [told, share]);

/** How often in words. */
function timesTold(told: string, storms: number): Told[] {
  const words = told.replace(/^fires | fires$/, "");
  const [, often_] = /^in (.+) storms a year$/.exec(words) ?? [];
  if (often_ !== undefined) return [[often_, Math.round(10 * storms) / 10], [words, storms >= 1.05]];
  if (words === "in about one storm a year") return [[words, storms > 0.95 && storms < 1.05]];
  const [, less, apart] = /^in (less than )?one storm in ([\d.]+) years$/.exec(words) ?? [];
  if (less !== undefined) return [[apart, YEARS / 3], [words, 1 / storms > YEARS / 3]];
  return apart === undefined ? [[words, words === "never" && storms === 0]] : [[apart, Math.round(10 / storms) / 10]];
}

/** Depths in a duration, the greatest of each year: the greatest window begins or ends where the rain changes. */
function greatest(duration: number): number[] {
  const { time, depth } = rainOf();
  const sums = [0];
  depth.forEach((each) => sums.push(sums.at(-1)! + each));
  let at = 0;
  const fallen = (moment: number): number => {
    while (at < depth.length - 1 && time[at + 1]! < moment) at++;
    while (at > 0 && time[at]! > moment) at--;
    return moment <= time[0]! ? 0 : sums[at]! + depth[at]! * Math.min(1, (moment - time[at]!) / (time[at + 1]! - time[at]!));
  };
  const found = new Array<number>(YEARS).fill(0);
  time.forEach((each) => {
    for (const start of [each, each - duration]) {
      const year = Math.floor(start / YEAR);
      if (start < 0 || year >= YEARS) continue;
      found[year] = Math.max(found[year]!, fallen(start + duration) - fallen(start));
    }
  });
  return found;
}

const OFTEN: readonly Rule[] = [
  {
    words: /^The emitter fires (in .+) and lets out ([\d.]+ %|less than 0\.1 %) of what runs in\.$/,
    figures: ([, times, share], page) => [
      ...timesTold(times!, average(page, ({ firingStorms }) => firingStorms)),
      tenths(share, average(page, ({ emitted }) => emitted) / average(page, ({ inflow }) => inflow)),
    ],
  },
  { words: /^How often · (\d+) years of invented rain, each with (\d+) soils$/, figures: ([, told, soils]) => [[told, YEARS], [soils, SOILS]] },
  { words: /; beyond (\d+) years, a third of these, a point is a single year and no estimate\.$/, figures: ([, third]) => [[third, YEARS / 3]] },
  {
    section: /^often$/, words: /^([^|]+) \| ([^|]+)$/,
    figures: ([, name, told], page) => {
      const [figure, share] = told!.replace(/ of (what runs in|the time)$/, "").split(", ");
      const shareOf = (of: (each: YearsOf) => number): number => average(page, of) / average(page, ({ inflow }) => inflow);
      const whole = (of: (each: YearsOf) => number): number => average(page, of);
      switch (name) {
        case "storms in a year in which the emitter lets out water": return [[figure, Math.round(100 * whole((each) => each.firingStorms)) / 100]];
        case "let out by the emitter in a year": return [[figure, whole((each) => each.emitted)], tenths(share, shareOf((each) => each.emitted))];
        case "storms in a year in which water comes out over a rim or the ground": return [[figure, whole((each) => each.spilled) < 1e-9 ? "0" : "some"]];
        case "comes out there in a year": return [[figure, whole((each) => each.spilled)], tenths(share, shareOf((each) => each.spilled))];
        case "pit above half": return [tenths(figure, whole((each) => each.aboveHalf))];
        case "water in the pit": return [tenths(figure, whole((each) => each.wet))];
        case "longest wet spell": return [[figure, Math.max(...likely(page).map((each) => each.longestWet))]];
        default: return [[name, "no recomputation"]];
      }
    },
  },
  { section: /^often$/, head: /^the largest of a year reaches/, words: /^some storm reaches it, all counted, once in \| ([\d.]+) years$/, figures: ([, told]) => [[told, -1 / Math.log(1 - 1 / 2)]] },
  {
    section: /^often$/, head: /^the largest of a year reaches it once in \| 2 years$/, words: /^(?!some storm)([^|]+) \| ([^|]+)$/,
    figures: ([, name, cell], page, { group }) => {
      const runs = group.startsWith("3 soils round") ? likely(page) : [yearsOf(page, page.design, 1 / FACTOR)];
      const byYear = (of: (each: YearsOf) => readonly number[]): number[][] => (
        Array.from({ length: YEARS }, (_, y) => runs.map((each) => of(each)[y]!)));
      const worst = (of: (run: Run) => number): readonly [number, string] => {
        const [duration, run] = Object.entries(evenRuns(page)).reduce((most, each) => (of(each[1]) > of(most[1]) ? each : most));
        return [of(run), duration];
      };
      const [, figure, duration] = /^(.+?)(?: \((.+)\))?$/.exec(cell!)!;
      const even = (of: (run: Run) => number): Told[] => [[figure, worst(of)[0]], [duration ?? worst(of)[1], worst(of)[1]]];
      switch (name) {
        case "let out in a storm": return banded(cell!, onceInTwo(byYear(({ most }) => most)));
        case "the pit's highest level": return banded(cell!, onceInTwo(byYear(({ peaks }) => peaks)));
        case "even rain lets out at most": return even(({ emitted }) => emitted);
        case "even rain lifts the pit to": return even(pitPeak);
        case "all durations nested let out": return [[cell, nestedRun(page).emitted]];
        case "all durations nested lift it to": return [[cell, pitPeak(nestedRun(page))]];
        default: return [[name, "no recomputation"]];
      }
    },
  },
  {
    words: /^About what the emitter lets out once in (\d+) years, these years of rain and single storms of the table (agree within the band|differ: .+)\.$/,
    figures: ([, told, words], page) => {
      const rule = yearsOf(page, page.design, 1 / FACTOR);
      const [, low, high] = onceInTwo(rule.most.map((each) => [each]));
      const single = [Math.max(...Object.values(evenRuns(page)).map(({ emitted }) => emitted)), nestedRun(page).emitted];
      const [least, most] = [Math.min(...single), Math.max(...single)];
      return [[told, 2], [words, words!.startsWith(most < low ? "differ: years have storms" : least > high ? "differ: the table" : "agree")]];
    },
  },
  {
    section: /^often$/, head: /^in \| 2 years, table \| invented$/, words: /^([^|]+) \| ([^|]+) \| ([^|]+)$/,
    figures: ([, duration, table, cell]) => {
      const lasts = { "30 min": HOUR / 2, "2 h": 2 * HOUR, "12 h": 12 * HOUR }[duration!]!;
      return [[table, (WETTER * DEPTHS[duration!]![0]) / 1000], ...banded(cell!, onceInTwo(greatest(lasts).map((each) => [each])))];
    },
  },
  {
    section: /^often$/, head: /^soil, times the one tested or given/, words: /^([^|]+) \| ([^|]+) \| ([^|]+)$/,
    figures: ([, soil, storms, volume], page, { head }) => {
      const row = cellsOf(`${soil} | ${storms} | ${volume}`);
      const factor = /^divided by (\d+), the rule of design$/.exec(row[0]!)?.[1];
      const its = factor === undefined ? FACTORS.find((each) => Math.abs(each / Number(row[0]) - 1) < 0.005)! : 1 / FACTOR;
      const run = yearsOf(page, page.design, its);
      return [[factor ?? row[0], factor === undefined ? its : FACTOR], [row[1], Math.round(100 * run.firingStorms) / 100], [`${row[2]} ${head.split(", ").at(-1)!}`, run.emitted]];
    },
  },
  { section: /^often$/, words: /^(In brackets what other years|Depth that the largest)/, figures: () => [] },
];

// money

type Item = readonly [amount: number, low: number, high: number];
interface Sum {
  readonly low: number;
  readonly high: number;
}
function costOf(page: Page, design: Design): Readonly<Record<string, Item>> {
  const stone = takeOff(siteOf(page, design)).fill.ordered;
  const item = (amount: number, [low, high]: readonly [number, number]): Item => [amount, amount * low, amount * high];
  return {
    digging: item(dug(page, design), PRICES.dig), stone: item(stone, PRICES.stone), chambers: item(design.chambers, PRICES.chamber),
    digger: item(1, PRICES.digger),
  };
}
function sumOf(page: Page, design: Design): Sum {
  const items = Object.values(costOf(page, design));
  return { low: items.reduce((sum, [, low]) => sum + low, 0), high: items.reduce((sum, [, , high]) => sum + high, 0) };
}
const middle = (page: Page, design: Design): number => (sumOf(page, design).low + sumOf(page, design).high) / 2;

/** The three that are set side by side: the cheapest tried, the chosen, and of the dearer the one that lets least out. */
const threes = new Map<Page, readonly Design[]>();
function three(page: Page): readonly Design[] {
  const known = threes.get(page) ?? threeOf(page);
  threes.set(page, known);
  return known;
}

function threeOf(page: Page): readonly Design[] {
  const byCost = [...page.tried].sort((a, b) => middle(page, a) - middle(page, b));
  const dearer = byCost.filter((each) => middle(page, each) > middle(page, page.design));
  const least = Math.min(...dearer.map((each) => letOut(page, each)));
  return [byCost[0]!, page.design, dearer.find((each) => letOut(page, each) <= least + 1e-4)!];
}
const firesIn = (page: Page, design: Design): number => average(page, ({ firingStorms }) => firingStorms, design);
const spanned = (told: string): readonly [string, string] => {
  const [, low, high] = /^([\d.]+) to ([\d.]+) EUR/.exec(told)!;
  return [low!, high!];
};
const apart = (page: Page, a: Design, b: Design): readonly [low: number, high: number] => (
  [Math.abs(sumOf(page, a).low - sumOf(page, b).low), Math.abs(sumOf(page, a).high - sumOf(page, b).high)]);

const MONEY: readonly Rule[] = [
  {
    words: /^The design costs (.+) without what has no price, and its emitter (fires .+); the least of those tried costs (.+) less, and its emitter (fires .+); the generous one costs (.+) more, and its emitter (fires .+|never fires)\.$/,
    figures: ([, cost, times, less, lessTimes, more, moreTimes], page) => {
      const [least, , generous] = three(page) as [Design, Design, Design];
      const sum = sumOf(page, page.design);
      const pair = (told: string, [low, high]: readonly [number, number]): Told[] => [[spanned(told)[0], low], [spanned(told)[1], high]];
      return [
        ...pair(cost!, [sum.low, sum.high]), ...timesTold(times!, firesIn(page, page.design)),
        ...pair(less!, apart(page, least, page.design)),
        ...timesTold(lessTimes!, firesIn(page, least)),
        ...pair(more!, apart(page, generous, page.design)), ...timesTold(moreTimes!, firesIn(page, generous)),
      ];
    },
  },
  {
    section: /^money$/, head: /^\| Least \| As asked \| Generous$/, words: /^([^|]+) \| (.+)$/,
    figures: ([, name], page, { text }) => cellsOf(text).slice(1).flatMap((cell, i): Told[] => {
      const design = three(page)[i]!;
      const by = (long: number, wide: number): Told[] => [[cell.split(" by ")[0], long], [cell.split(" by ")[1], wide]];
      switch (name) {
        case "chambers": return [[cell, design.chambers]];
        case "pit, long and wide": return by(design.pit, WIDTH);
        case "deep": return [[cell, 2]];
        case "trench": return by(design.trench!, 0.5);
        case "cost": return [[spanned(cell)[0], sumOf(page, design).low], [spanned(cell)[1], sumOf(page, design).high]];
        case "against “as asked”": return design === page.design ? [[cell, "–"]]
          : [...spanned(cell).map((told, end): Told => [told, apart(page, design, page.design)[end]!]), [cell, cell.endsWith(middle(page, design) < middle(page, page.design) ? "less" : "more")]];
        case "to dig": return [[cell, dug(page, design)]];
        case "what is asked": return [[cell, does(page, design) ? "does all of it" : "misses 1 of 2 things"]];
        case "the emitter fires": return timesTold(cell, firesIn(page, design));
        case "it lets out in a year": return [[cell, average(page, ({ emitted }) => emitted, design)]];
        case "water comes out over a rim or the ground": return [[cell, average(page, ({ spilled }) => spilled, design) < 1e-9 ? "never" : "at times"]];
        default: return [[name, "no recomputation"]];
      }
    }),
  },
  {
    section: /^money$/, head: /^item \| amount/, words: /^([^|]+) \|([^|]*)\| ([^|]+) \| ([^|]+)$/,
    figures: ([, name = "", asIs = "", low, high], page) => {
      const amount = asIs.trim();
      const its = costOf(page, page.design)[name];
      const sum = sumOf(page, page.design);
      if (its === undefined) return [[name, "in all, EUR"], [low, sum.low], [high, sum.high]];
      return [name === "digger" ? [amount, "once"] : [amount, its[0]], [low, its[1]], [high, its[2]]];
    },
  },
];

// variants

/** Differences of two designs with the same draws, and with those of the second in an order of their own (Fisher & Yates). */
const pairsMade = new Map<string, readonly [Run[], Run[]]>();
function pairs(page: Page, storm: string): readonly [Run[], Run[]] {
  const key = `${page.step} ${storm}`;
  const until = Math.max(...[page.design, LONG(page)].map((design) => caseRun(page, {}, design, storm).until));
  const drawn = Array.from({ length: PAIRS }, (_, i) => drawnAt([...deviatesOf(i).slice(0, 2), 0, 0, 0, 0, 0]));
  const known = pairsMade.get(key) ?? [page.design, LONG(page)].map((design) => (
    drawn.map((each) => caseRun(page, each, design, storm, until)))) as [Run[], Run[]];
  pairsMade.set(key, known);
  return known;
}
const LONG = (page: Page): Design => ({ ...page.drawn, trench: 15 });
const shuffled = (values: readonly number[]): number[] => {
  const order = [...values];
  for (let i = order.length - 1; i > 0; i--) {
    const j = philox([i, 0, 0, 2], [1, 0])[0] % (i + 1);
    [order[i], order[j]] = [order[j]!, order[i]!];
  }
  return order;
};
const COMPARED: Readonly<Record<string, readonly [of: (run: Run) => number, least: number]>> = {
  "let out by the emitter": [({ emitted }) => emitted, 1e-4], "emitter open for": [({ openTime }) => openTime, 1], "comes out elsewhere": [({ spilled }) => spilled, 1e-4],
  "from the box's water to its rim": [box, 0.0005], "half empty after": [({ drainDown }) => drainDown.half!, 1], "empty after": [({ drainDown }) => drainDown.empty!, 1],
  "into the soil within the run": [({ seeped }) => seeped, 1e-4], "pit filled over its floor": [(run) => pitPeak(run) - FLOOR, 0.0005],
};

/** `13 to 116 mm more`, `37 min less to 21 min more`, `the same`. */
function differs(cell: string, [low, high]: readonly [number, number], least: number): Told[] {
  const [from, to] = [low, high].map((end) => (Math.abs(end) < least ? 0 : end)) as [number, number];
  if (cell === "the same") return [[cell, from === 0 && to === 0]];
  const both_ = /^(.+?) less to (.+?) more$/.exec(cell);
  if (both_ !== null) return [[both_[1], -from], [both_[2], to]];
  const [, first, second, way] = /^(?:(.+?) to )?(.+) (less|more)$/.exec(cell)!;
  const [near, far] = way === "less" ? [-to, -from] : [from, to];
  return [...(first === undefined ? [] : [[ranged(first, second!), near] satisfies Told]), [second, far]];
}

const VARIANTS: readonly Rule[] = [
  {
    words: says(String.raw`In “cloudburst” B lets out # less by the emitter \(# to # less in 90 of 100 cases\) for (\d+) more chamber, # more of trench and # more to dig\.`),
    figures: ([, less, low, high, chambers, trenchMore, dugMore], page) => {
      const [a, b] = pairs(page, "cloudburst").map((runs) => runs.map(({ emitted }) => emitted));
      const saved = a!.map((each, i) => each - b![i]!);
      const longer = LONG(page);
      return [
        [less, caseRun(page, {}).emitted - caseRun(page, {}, longer).emitted],
        [ranged(low!, high!), quantile(saved, 0.05)], [high, quantile(saved, 0.95)],
        [chambers, longer.chambers - page.design.chambers], [trenchMore, longer.trench! - page.design.trench!],
        [dugMore, dug(page, longer) - dug(page, page.design)],
      ];
    },
  },
  {
    section: /^variant/, head: /^\| A \| B \|/, words: /^([^|]+) \| (.+)$/,
    figures: ([, name], page, line) => {
      const { text, section } = line;
      const storm = /^In “(.+)”$/.exec(page.lines.slice(0, page.lines.indexOf(line)).findLast((each) => each.section === section && each.head === "")!.text)![1]!;
      const [a, b, against, paired, separate] = cellsOf(text).slice(1) as [string, string, string, string, string];
      const [of, least] = COMPARED[name!.trim()] ?? [() => NaN, 0];
      const [mine, other] = [of(runOf(page, page.design, storm)), of(runOf(page, LONG(page), storm))];
      const figures: Told[] = [[a, mine], [b, other], ...differs(against, [other - mine, other - mine], least)];
      if (paired === "") return figures;
      const [runsA, runsB] = pairs(page, storm).map((runs) => runs.map(of)) as [number[], number[]];
      const bandOf = (second: readonly number[]): readonly [number, number] => {
        const differences = second.map((each, i) => each - runsA[i]!);
        return [quantile(differences, 0.05), quantile(differences, 0.95)];
      };
      return [...figures, ...differs(paired, bandOf(runsB), least), ...differs(separate, bandOf(shuffled(runsB)), least)];
    },
  },
  { words: /^Each band holds 90 of 100 cases, of (\d+) in which both designs/, figures: ([, cases]) => [[cases, PAIRS]] },
  {
    section: /^variant/, head: /^key \| A \| B$/, words: /^([^|]+) \| ([^|]+) \| ([^|]+)$/,
    figures: ([, key, a, b], page) => {
      const { design } = page;
      const known: Readonly<Record<string, readonly [number | string, number | string]>> = {
        "chamberBank.length": [design.pit, PIT], "chamberBank.chambers[0].count": [design.chambers, CHAMBERS], "overflowTrench.length": [design.trench!, 15],
      };
      const [mine, other] = known[key!] ?? ["nothing", "no recomputation"];
      return [[a, mine], [b, other]];
    },
  },
];

const RULES: readonly Rule[] = [...SURE, ...OFTEN, ...MONEY, ...VARIANTS];

describe.each([["in metres", FILE], ["in feet and inches", inFeet(FILE)]])("the parts of many runs are computed again, %s", (_, file) => {
  let page: Page;
  beforeAll(async () => { page = await pageIn(file); }, 120_000);

  test.each([["sure", SURE], ["often", OFTEN], ["money", MONEY], ["variant-1", VARIANTS]] as const)("%s", (section, rules) => {
    const told = page.lines.filter((line) => line.section === section && FIGURE.test(line.text));
    expect(told.length).toBeGreaterThan(5);
    expect(unlike(page, told, rules)).toEqual([]);
    expect(told.flatMap((line) => (unlike(page, [line], RULES).length === 0 ? [] : [line.text]))).toEqual([]);
  });
});
