import { philox } from "../numerics/draw.ts";
import type { DesignStormOptions } from "../rain/storms/designStorm.ts";
import { designStormAt } from "../rain/storms/designStorm.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import type { Run } from "../simulate/run.ts";
import { settledRun } from "../simulate/settledRun.ts";
import type { Site } from "../site/site.ts";
import { takeOff } from "../plan/takeOff.ts";
import { describe } from "../text/describe.ts";
import { optionReader, type OptionReader } from "../text/optionReader.ts";
import { InputError } from "../text/problem.ts";
import { ANSWERS, rowFrom, type AnswerName } from "./answerRow.ts";
import { readDoubts, soilScatter, type Doubts } from "./ensembleCases.ts";
import { chamberCount } from "./resized.ts";
import { columnOf, runStudy, type StudyOptions, type StudyTable } from "./runStudy.ts";

/** A storm in which two sites are compared: a name that both have with the same options, options of `designStorm`, or rain under a name. */
export type ComparedStorm = string | DesignStormOptions | { readonly name: string; readonly rain: Hyetograph };

/** What is compared. The doubts are those of `ensemble`; without any the soil alone is in doubt, within the scatter of soils on a site. */
export interface CompareOptions extends Doubts {
  readonly storms?: readonly ComparedStorm[];
  /** cases of each storm; 200 where missing, 0 for none */
  readonly runs?: number;
  /** 1 where missing */
  readonly seed?: number;
}

/** By how much an answer of B is more than that of A. */
export interface Difference {
  /** as the files say, B less A; NaN where one of them has no such answer */
  readonly value: number;
  /** in which 90 of 100 cases lie, with one soil, one storm, one water table for both: paired; null where some case has no such answer */
  readonly paired: Spread90 | null;
  /** the same were each of the two given draws of its own: what is to be seen of two separate studies */
  readonly separate: Spread90 | null;
  /** share of the cases in which B has less, and in which it has more */
  readonly less: number;
  readonly more: number;
}

export interface Spread90 {
  readonly low: number;
  readonly middle: number;
  readonly high: number;
}

/** One storm on both sites. */
export interface StormCompared {
  readonly name: string;
  readonly rain: Hyetograph;
  readonly a: Run;
  readonly b: Run;
  readonly answers: { readonly a: Readonly<Record<AnswerName, number>>; readonly b: Readonly<Record<AnswerName, number>> };
  readonly difference: Readonly<Record<AnswerName, Difference>>;
  /** cases that both came to the end of, of those asked for */
  readonly cases: number;
  readonly of: number;
}

/** Two sites in the same storms. */
export interface Comparison {
  readonly a: Site;
  readonly b: Site;
  readonly storms: readonly StormCompared[];
  /** what B asks more of: dug [m3], stone [m3], trench [m], chambers */
  readonly works: { readonly dug: number; readonly stone: number; readonly trench: number; readonly chambers: number };
  readonly runs: number;
  readonly seed: number;
}

/**
 * Two sites in the same storms, case by case with the same draws: every quantity in doubt is drawn by its name, so that one which only
 * one of the two has moves no other, and what both share takes no part in the difference. Its band is then far narrower than that of two
 * studies on their own.
 *
 * @param options.storms  those of A that B has too, with the same options, where missing
 * @throws InputError  with all problems
 *
 *   (await compare(site, longer, { storms: [{ pattern: "block", depth: "2 in", duration: "1 h" }] })).storms[0]!.difference.emitterVolume;
 */
export async function compare(a: Site, b: Site, options: CompareOptions = {}, how: StudyOptions = {}): Promise<Comparison> {
  const { storms, runs, seed, doubts } = comparePlan(a, b, options);
  const compared: StormCompared[] = [];
  for (const { name, rain } of storms) {
    how.signal?.throwIfAborted();
    const [runA, runB] = [settledRun(a, rain), settledRun(b, rain)];
    const until = Math.max(runA.until, runB.until);
    const tables = runs === 0 ? null : await Promise.all([a, b].map(async (site) => (
      runStudy({ kind: "ensemble", site, options: { ...doubts, ...onlyOf(site, doubts), storm: rain, runs, seed, until } }, how))));
    const answers = { a: answersOf(runA), b: answersOf(runB) };
    const kept = tables === null ? [] : finishedOfBoth(tables[0]!, tables[1]!);
    const difference = Object.fromEntries(ANSWERS.map(({ name: answer }) => (
      [answer, differenceOf(answer as AnswerName, answers, tables, kept, seed)]))) as Record<AnswerName, Difference>;
    compared.push({ name, rain, a: runA, b: runB, answers, difference, cases: kept.length, of: runs });
  }
  const [mine, other] = [takeOff(a), takeOff(b)];
  return {
    a, b, storms: compared, runs, seed,
    works: {
      dug: other.dig.volume - mine.dig.volume, stone: other.fill.stone - mine.fill.stone,
      trench: (b.overflowTrench?.length ?? 0) - (a.overflowTrench?.length ?? 0), chambers: chamberCount(b) - chamberCount(a),
    },
  };
}

/** What `compare` is going to run. */
export interface ComparePlan {
  readonly storms: readonly { readonly name: string; readonly rain: Hyetograph }[];
  readonly runs: number;
  readonly seed: number;
  readonly doubts: Doubts;
}

/** @throws InputError  with all problems */
export function comparePlan(a: Site, b: Site, options: CompareOptions): ComparePlan {
  const read = optionReader("compare", options, "The sites cannot be compared:");
  const runs = read.number("runs", { least: 0, most: 1e6, missing: 200 });
  const seed = read.number("seed", { least: 0, most: 4294967295, missing: 1 });
  for (const [key, value] of [["runs", runs], ["seed", seed]] as const) {
    if (Number.isFinite(value) && !Number.isInteger(value)) read.problem(key, "a whole number");
  }
  const keys = ["conductivityWithin", "depthWithin", "groundwaterWithin", "porosityWithin", "levelsWithin", "soils"] as const;
  const given = Object.fromEntries(keys.flatMap((key) => (read.has(key) ? [[key, read.raw(key)]] : []))) as Doubts;
  const storms = stormsOf(read, a, b);
  const said = new Set<string>();
  for (const site of [a, b]) {
    const own = optionReader("compare", { ...given, ...onlyOf(site, given) }, "The sites cannot be compared:");
    readDoubts(own, site);
    try {
      own.done();
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      for (const { where, expected, got } of error.problems) {
        if (!said.has(where)) read.problem(where.slice(read.where.length + 1), expected, got);
        said.add(where);
      }
    }
  }
  read.done();
  // together, for the same soil lies under both
  const anyDoubt = keys.some((key) => key !== "soils" && given[key] !== undefined);
  return { storms, runs, seed, doubts: anyDoubt ? given : { ...given, conductivityWithin: Math.max(soilScatter(a), soilScatter(b)) } };
}

/** Doubt about groundwater does not apply to a site whose groundwater lies far below. */
function onlyOf(site: Site, doubts: Doubts): Doubts {
  const hasTable = site.groundwater.level !== null || site.chamberBank.groundwater !== null;
  return doubts.groundwaterWithin !== undefined && !hasTable ? { groundwaterWithin: "0 m" } : {};
}

function stormsOf(read: OptionReader, a: Site, b: Site): ComparePlan["storms"] {
  const alike = a.storms.filter((storm) => b.storms.some((other) => JSON.stringify(other) === JSON.stringify(storm)));
  if (!read.has("storms")) {
    const made = alike.filter(({ options }) => !("file" in options)).map(({ name, options }) => ({ name, rain: designStormAt("storms", options) }));
    if (made.length === 0) read.problem("storms", "storms, where the two sites have none alike", "none");
    return made;
  }
  return read.list("storms", (storm, where): ComparePlan["storms"][number] => {
    if (typeof storm === "object" && storm !== null && "rain" in storm) return storm as ComparePlan["storms"][number];
    const named = typeof storm === "string" ? alike.find(({ name }) => name === storm) : undefined;
    const written = named?.options ?? storm;
    const key = where.slice(read.where.length + 1);
    if (typeof written !== "object" || written === null || "file" in written) {
      const names = alike.filter(({ options }) => !("file" in options)).map(({ name }) => JSON.stringify(name));
      read.problem(key, [...names, "a storm as designStorm takes it", "rain under a name"].join(", or "), describe(storm));
      return { name: "", rain: { time: new Float64Array(1), depth: new Float64Array(0) } };
    }
    try {
      return { name: named?.name ?? wordsOf(written as Readonly<Record<string, unknown>>), rain: designStormAt(where,
        written) };
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      for (const problem of error.problems) read.problem(problem.where.slice(read.where.length + 1), problem.expected, problem.got);
      return { name: "", rain: { time: new Float64Array(1), depth: new Float64Array(0) } };
    }
  });
}

function wordsOf(storm: Readonly<Record<string, unknown>>): string {
  return [storm["returnPeriod"], storm["depth"], storm["duration"], storm["pattern"]].filter((each) => typeof each === "string").join(", ");
}

function answersOf(run: Run): Record<AnswerName, number> {
  const row = rowFrom(() => run, 0);
  return Object.fromEntries(ANSWERS.map(({ name }, i) => [name, row[i]!])) as Record<AnswerName, number>;
}

function finishedOfBoth(a: StudyTable, b: StudyTable): number[] {
  const [stoppedA, stoppedB] = [columnOf(a, "stopped"), columnOf(b, "stopped")];
  return Array.from(stoppedA.keys()).filter((i) => stoppedA[i] === 0 && stoppedB[i] === 0);
}

function differenceOf(
  answer: AnswerName, answers: StormCompared["answers"], tables: readonly StudyTable[] | null, kept: readonly number[], seed: number,
): Difference {
  const value = answers.b[answer] - answers.a[answer];
  if (tables === null || kept.length === 0) return { value, paired: null, separate: null, less: NaN, more: NaN };
  const [a, b] = tables.map((table) => { const column = columnOf(table, answer); return kept.map((i) => column[i]!); }) as [number[],
    number[]];
  const paired = a.map((each, i) => b[i]! - each);
  // draws of its own for B: the same cases in an order that has nothing to do with A's
  const separate = shuffled(b, seed).map((each, i) => each - a[i]!);
  const share = (test: (difference: number) => boolean): number => paired.filter(test).length / paired.length;
  return { value, paired: spreadOf(paired), separate: spreadOf(separate), less: share((each) => each < -ROUND_OFF), more: share((each) =>
    each > ROUND_OFF) };
}

/** Coarse runs of the same works differ by less than this of an answer's unit. */
const ROUND_OFF = 1e-6;

/** @source  definition 7 of Hyndman & Fan, The American Statistician 50, 1996 */
function spreadOf(values: readonly number[]): Spread90 | null {
  if (values.some(Number.isNaN)) return null;
  const sorted = [...values].sort((x, y) => x - y);
  const at = (share: number): number => {
    const place = share * (sorted.length - 1);
    const [low, high] = [sorted[Math.floor(place)]!, sorted[Math.ceil(place)]!];
    return low + (place - Math.floor(place)) * (high - low);
  };
  return { low: at(0.05), middle: at(0.5), high: at(0.95) };
}

/** @source  Fisher & Yates's shuffle, from memory; numbers of `philox` */
function shuffled(values: readonly number[], seed: number): number[] {
  const order = [...values];
  for (let i = order.length - 1; i > 0; i--) {
    const j = philox([i, 0, 0, 2], [seed, 0])[0] % (i + 1);
    [order[i], order[j]] = [order[j]!, order[i]!];
  }
  return order;
}

/** Where two files differ: the place, and what each has there, as written; null where one has nothing. */
export interface FileDifference {
  readonly where: string;
  readonly a: string | null;
  readonly b: string | null;
}

/**
 * What differs between two site files, key by key; a list whose lengths differ is shown whole. What a reader is told about the file
 * (`name`, `about`, `$schema`) is left out.
 *
 * @param a  as JSON.parse makes it
 * @example fileDifferences({ pit: { length: "3 m" } }, { pit: { length: "4 m" } }); // => [{ where: "pit.length", a: "3 m", b: "4 m" }]
 */
export function fileDifferences(a: unknown, b: unknown, where: string = ""): FileDifference[] {
  if (JSON.stringify(a) === JSON.stringify(b)) return [];
  const isPair = (x: unknown, y: unknown, test: (value: unknown) => boolean): boolean => test(x) && test(y);
  const isObject = (value: unknown): boolean => typeof value === "object" && value !== null && !Array.isArray(value);
  if (isPair(a, b, isObject)) {
    const [one, other] = [a as Record<string, unknown>, b as Record<string, unknown>];
    return [...new Set([...Object.keys(one), ...Object.keys(other)])]
      .filter((key) => key !== "about" && !(where === "" && (key === "name" || key === "$schema")))
      .flatMap((key) => fileDifferences(one[key], other[key], where === "" ? key : `${where}.${key}`));
  }
  if (isPair(a, b, Array.isArray) && (a as unknown[]).length === (b as unknown[]).length) {
    return (a as unknown[]).flatMap((each, i) => fileDifferences(each, (b as unknown[])[i], `${where}[${i}]`));
  }
  const text = (value: unknown): string | null => (value === undefined ? null : typeof value === "string" ? value : JSON.stringify(value));
  return [{ where, a: text(a), b: text(b) }];
}
