import { textureNames } from "../ground/soilTexture.ts";
import { emptyFindings } from "../schema/field.ts";
import { parseJson } from "../schema/parseJson.ts";
import { regionName } from "../site/region.ts";
import { surveyPoints, surveyRain, wishes } from "../site/surveyField.ts";
import type { UnitSystem } from "../text/format.ts";
import { typedQuantity, typedSoilRate, typedTimes, plainSpelling, type TypedField } from "../text/typedQuantity.ts";
import { describe } from "../text/describe.ts";
import type { Problem } from "../text/problem.ts";
import { nearest } from "../text/nearest.ts";
import { unitsOf, type Told } from "./yard.ts";

/**
 * What was typed and tapped, by the key of its question; a key that is missing or empty is not known. Both doors, page and terminal, fill
 * one.
 */
export type Answers = Readonly<Record<string, string>>;

/** A question of the first call, as both doors ask it. */
export interface Question {
  readonly key: string;
  readonly asks: string;
  /** how to type it, in the units of the place */
  readonly hint: (units: UnitSystem) => string;
  /** the unit of a bare number; null where the answer is no quantity */
  readonly unit: ((units: UnitSystem) => string) | null;
  /** what can be chosen; null where it is typed */
  readonly choices: readonly string[] | null;
  /** one of the twelve that make a first answer */
  readonly isFact: boolean;
}

const plain = (text: string) => (): string => text;
const feet =
  (us: string, si: string) =>
  (units: UnitSystem): string =>
    units === "us" ? us : si;
const along = feet("ft", "m");

const READING_ASKS: Readonly<Record<string, string>> = Object.freeze({
  benchmark: "Reading at the benchmark",
  house: "at the floor of the house",
  box: "on the ground at the box",
  pit: "on the ground over the pit",
  trench: "at the head of the trench",
  lid: "where the lid will be",
  "low point": "at the low point of the lot",
  neighbour: "at the neighbour's line",
});

function typed(key: string, asks: string, hint: Question["hint"], unit: Question["unit"], isFact = false): Question {
  return { key, asks, hint, unit, choices: null, isFact };
}

/** Countries that are offered first; any other is typed by its code. */
export const offeredCountries: readonly string[] = Object.freeze(["US", "CA", "GB", "IE", "AU", "NZ", "DE", "FR", "NL"]);

/** The questions in their order, but for further set-ups, tape distances and a test at the hole, which come in any number. */
export const questions: readonly Question[] = Object.freeze([
  typed("name", "What is the yard called?", plain("a name to find the file by"), null),
  {
    key: "region",
    asks: "Which country is it in?",
    hint: plain("it gives units, rules and the rain where that is not known"),
    unit: null,
    choices: offeredCountries,
    isFact: true,
  },
  typed(
    "rain",
    "Rain in an hour of a normal summer storm?",
    feet("1.5 in, or the town's table from a file", "20 mm, or the town's table from a file"),
    feet("in", "mm"),
    true,
  ),
  typed(
    "roof",
    "Which roof drains to it?",
    feet("1600 sf, or in plan 42 x 28 - 10 x 8 + 20 x 12", "150, or in plan 12,5 x 8 - 3 x 2 + 6 x 4"),
    feet("sq ft", "m^2"),
    true,
  ),
  ...surveyPoints.map((point): Question =>
    typed(
      `reading 1 ${point}`,
      READING_ASKS[point] ?? point,
      feet("4.21, or 4' 2 1/2\"", "1,285"),
      along,
      ["house", "box", "pit", "lid"].includes(point),
    ),
  ),
  typed("boxToPit", "From the box to the pit's edge?", feet("12, or 12' 6\"", "3,5"), along, true),
  typed("pitToLid", "From the pit's edge to the lid?", plain("the trench lies there"), along, true),
  typed("houseToPit", "From the house wall to the pit's edge?", plain("rules ask for it"), along),
  typed("lidToLowPoint", "From the lid on to the low point?", plain("only where the low point was read"), along),
  {
    key: "soil",
    asks: "What is the soil?",
    hint: feet("a name, a rate such as 0.5 in/hr or 30 min/in, or not yet", "a name, a rate such as 12 mm/h, or not yet"),
    unit: null,
    choices: ["not yet", "test at the hole", ...textureNames()],
    isFact: true,
  },
  {
    key: "groundwater",
    asks: "Groundwater, below the ground at the pit?",
    hint: feet("seen 6 ft, none 8 ft, or not known", "seen 1,8 m, none 2,5 m, or not known"),
    unit: along,
    choices: ["not known", "seen", "none"],
    isFact: true,
  },
  typed("room", "Free ground for the pit?", feet("30 x 12", "9 x 4"), along),
  { key: "wanted", asks: "What is wanted?", hint: plain("the least that would do"), unit: null, choices: wishes, isFact: true },
]);

/** Facts that make a first answer. */
export const factKeys: readonly string[] = Object.freeze(questions.filter(({ isFact }) => isFact).map(({ key }) => key));

/** Whether a question has this key: one of the list, or a reading, a fill, a figure of the hole or of the tape. */
export function isAnswerKey(key: string): boolean {
  return (
    questions.some((question) => question.key === key) ||
    ["rain table", "benchmark level", "tape corners", "hole diameter", "hole bottom", "hole water"].includes(key) ||
    /^(?:reading \d{1,2} .+|fill \d{1,2}|tape [AB] .+)$/.test(key)
  );
}

/** What came of the answers so far. */
export interface AnswersRead {
  /** null until there is enough for works: a roof, and readings at the box and at the pit */
  readonly told: Told | null;
  /** what can be read of the survey so far, for sketches */
  readonly draft: Readonly<Record<string, unknown>>;
  readonly units: UnitSystem;
  /** what cannot be read, by key */
  readonly problems: Readonly<Record<string, string>>;
  /** answers that further ones have to follow, by key: what is still to be answered about a hole */
  readonly waiting: Readonly<Record<string, string>>;
  /** what is unlikely and to be confirmed, by key; a confirmed one is given again with `=` before it */
  readonly asks: Readonly<Record<string, string>>;
  /** how many of the twelve facts are known; "not known" does not count */
  readonly facts: number;
  /** what is still needed before anything can be said, in words */
  readonly lacking: readonly string[];
}

/**
 * Reads what was typed and tapped: every figure kindly (`typedQuantity`), in the order of the questions, into the words of a site file's
 * `survey`. Page
 * and terminal both go through here, so that the same answers make the same file.
 */
export function readAnswers(answers: Answers): AnswersRead {
  const problems: Record<string, string> = {};
  const waiting: Record<string, string> = {};
  const asks: Record<string, string> = {};
  const given = (key: string): string => (answers[key] ?? "").trim();
  const region = regionOf(given("region"), problems);
  const units = unitsOf(region);
  const field = (dimension: TypedField["dimension"], unit: string, likely?: TypedField["likely"]): TypedField => ({
    dimension,
    unit,
    units,
    ...(likely && { likely }),
  });
  const measured = (key: string, text: string, how: TypedField): string | null => {
    if (text === "") return null;
    // what was asked back and meant is confirmed by an equals sign before it
    const isMeant = text.startsWith("=");
    const read = typedQuantity(isMeant ? text.slice(1) : text, how);
    if ("problem" in read) {
      problems[key] = read.problem;
      return null;
    }
    if (read.value < 0 && !key.startsWith("reading")) {
      problems[key] = `expected 0 or more, got ${describe(text)}`;
      return null;
    }
    if (read.ask !== null && !isMeant) asks[key] = read.ask;
    return read.text;
  };
  const length = (key: string, likely: TypedField["likely"]): string | null =>
    measured(key, given(key), field("length", along(units), likely));
  const rain = measured("rain", unknown(given("rain")).replace(IN_AN_HOUR, ""), field("length", units === "us" ? "in" : "mm", [0.005, 0.12]));
  const rainfall = tableOf(given("rain table"), problems);
  if (rainfall !== null && rain !== null) problems["rain"] = "expected a depth of rain or the town’s table, got both";
  const roof = roofOf(
    given("roof"),
    (text) => measured("roof", text, field("area", units === "us" ? "sq ft" : "m^2", [10, 2000])),
    (text) => measured("roof", text, field("length", along(units), [0.5, 60])),
    problems,
  );
  const setUps = setUpsOf(answers, (key) => measured(key, given(key), field("length", along(units), [0, 5])));
  const likelyWays: readonly (readonly [key: string, least: number, most: number])[] = [
    ["houseToPit", 0.5, 60], ["boxToPit", 0.5, 40], ["pitToLid", 1.5, 80], ["lidToLowPoint", 0.5, 150],
  ];
  const distances: Record<string, string> = {};
  for (const [key, least, most] of likelyWays) {
    const text = length(key, [least, most]);
    if (text !== null) distances[key] = text;
  }
  const tape = tapeOf(answers, (key) => length(key, [0.2, 100]));
  const soil = soilOf(answers, units, measured, field, problems, waiting);
  const groundwater = waterOf(
    given("groundwater"),
    (text) => measured("groundwater", text, field("length", along(units), [0.1, 30])),
    problems,
  );
  const room = pairOf("room", given("room"), (text) => measured("room", text, field("length", along(units), [0.5, 100])), problems);
  const wanted = choiceOf("wanted", given("wanted"), wishes, problems) ?? "dry lawn in a normal storm";
  const points = new Set(setUps.flatMap((sights) => sights.map(([point]) => point)));
  const lacking = [
    ...(region === "" ? ["the country"] : []),
    ...(roof === null ? ["the roof"] : []),
    ...["box", "pit"].filter((point) => !points.has(point)).map((point) => `a reading at the ${point}`),
  ];
  // a point counts wherever the instrument stood
  const taped = new Set(tape === null ? [] : tape.points.map(({ point }) => point));
  const isTold = (key: string): boolean => {
    if (key.startsWith("reading ")) return points.has(key.replace(/^reading \d+ /, ""));
    if (key === "rain" && rainfall !== null) return true;
    // from two corners of the house, too
    const ends = TAPED[key];
    return ends?.every((point) => taped.has(point)) === true || (unknown(given(key)) !== "" && problems[key] === undefined && waiting[key] === undefined);
  };
  const facts = factKeys.filter(isTold).length;
  const draft = {
    ...(rain === null ? {} : { rain }),
    ...(rainfall === null ? {} : { rainfall }),
    ...roof,
    benchmark: measured("benchmark level", given("benchmark level"), field("length", along(units))) ?? `100 ${along(units)}`,
    setUps,
    distances,
    ...(tape === null ? {} : { tape }),
    ...(room === null ? {} : { room: { length: room[0], width: room[1] } }),
    ...(soil === null ? {} : { soil }),
    ...(groundwater === null ? {} : { groundwater }),
    wanted,
  };
  const told =
    lacking.length > 0 || Object.keys({ ...problems, ...waiting }).length > 0 ? null : { name: given("name") || "My yard", region, survey: draft };
  return { told, draft, units, problems, waiting, asks, facts, lacking };
}

/** Points between which a distance lies that the tape tells too. */
const TAPED: Readonly<Partial<Record<string, readonly string[]>>> = { boxToPit: ["box", "pit"], pitToLid: ["pit", "lid"] };

type Problems = Record<string, string>;

/** The hour's rain is often said as a rate: over an hour that is the same depth. */
const IN_AN_HOUR = /(?:\s*\/\s*|\s+(?:per|in an|an|in one)\s+)(?:h|hr|hour)$/i;

/** Words by which people say that they do not know. */
function unknown(text: string): string {
  return /^(?:not known|unknown|not yet|no idea|don't know|\?|-)$/i.test(text) ? "" : text;
}

function regionOf(text: string, problems: Problems): string {
  if (text === "") return "";
  const code = text.toUpperCase() === "UK" ? "GB" : text.toUpperCase() === "USA" ? "US" : text.toUpperCase();
  if (/^[A-Z]{2}$/.test(code) && regionName(code) !== null) return code;
  const named = allCountries().find(([, name]) => name.toLowerCase() === text.toLowerCase());
  if (named !== undefined) return named[0];
  problems["region"] = `expected a country by its name or its code of two letters such as US or GB, got ${describe(text)}`;
  return "";
}

function allCountries(): (readonly [code: string, name: string])[] {
  const letters = [..."ABCDEFGHIJKLMNOPQRSTUVWXYZ"];
  return letters.flatMap((a) =>
    letters.flatMap((b) => {
      const name = regionName(a + b);
      return name === null ? [] : [[a + b, name] as const];
    }),
  );
}

/** Key `rain table`: the town's table of rain as JSON, which a door read from a file; what it lacks is said beside the question of rain. */
function tableOf(text: string, problems: Problems): unknown {
  if (text === "") return null;
  const wrong: Problem[] = [];
  const table = parseJson(text, wrong);
  const findings = emptyFindings();
  if (wrong.length === 0) surveyRain.read(table, "the table", findings);
  const said = [...wrong, ...findings.problems].map(({ where, expected, got }) => `${where}: expected ${expected}, got ${got}`);
  if (said.length === 0) return table;
  problems["rain"] = said.join("; ");
  return null;
}

/** An area, or rectangles with what is cut out of them: `42 x 28 - 10 x 8 + 20 x 12`. */
function roofOf(
  text: string,
  area: (text: string) => string | null,
  length: (text: string) => string | null,
  problems: Problems,
): { readonly roofArea: string } | { readonly roof: readonly Readonly<Record<string, string>>[] } | null {
  const meant = text.startsWith("=") ? "=" : "";
  const body = meant === "" ? text : text.slice(1);
  if (unknown(body) === "") return null;
  if (!TIMES.test(body)) {
    const roofArea = area(text);
    return roofArea === null ? null : { roofArea };
  }
  const pieces: Record<string, string>[] = [];
  for (const [, sign = "+", rectangle = ""] of ` + ${body}`.matchAll(/\s([+−-])\s*((?:(?!\s[+−-]\s?).)+)/g)) {
    const sides = rectangle.trim().split(TIMES);
    if (sides.length !== 2 || sides.some((side) => side.trim() === "")) {
      problems["roof"] = `expected rectangles such as 42 x 28, with + and − between them, got ${describe(rectangle.trim())}`;
      return null;
    }
    const [a, b] = sides.map((side) => length(meant + side.trim()));
    if (a === null || a === undefined || b === null || b === undefined) return null;
    const last = pieces.at(-1);
    if (sign === "+") pieces.push({ length: a, width: b });
    else if (last === undefined || last["notchLength"] !== undefined) {
      problems["roof"] = `expected one notch at most behind each rectangle, got ${describe(text)}`;
      return null;
    } else pieces[pieces.length - 1] = { ...last, notchLength: a, notchWidth: b };
  }
  return { roof: pieces };
}

const TIMES = /\s*[x×*]\s*/i;

/** `30 x 12` */
function pairOf(key: string, text: string, length: (text: string) => string | null, problems: Problems): [string, string] | null {
  const meant = text.startsWith("=") ? "=" : "";
  const body = meant === "" ? text : text.slice(1);
  if (unknown(body) === "") return null;
  const sides = body.split(TIMES);
  if (sides.length !== 2 || sides.some((side) => side.trim() === "")) {
    problems[key] = `expected length x width, got ${describe(text)}`;
    return null;
  }
  const [a, b] = sides.map((side) => length(meant + side.trim()));
  return a === null || a === undefined || b === null || b === undefined ? null : [a, b];
}

/** Keys `reading 1 box`, `reading 2 benchmark again`; a book without a benchmark has it at the first point that was read. */
function setUpsOf(answers: Answers, reading: (key: string) => string | null): [string, string][][] {
  const sights = Object.keys(answers).flatMap((key) => {
    const match = /^reading (\d{1,2}) (.+?)((?: again)*)$/.exec(key);
    if (match === null || (answers[key] ?? "").trim() === "") return [];
    const text = reading(key);
    return text === null ? [] : [{ setUp: Number(match[1]), point: match[2]!, isAgain: match[3] !== "", text }];
  });
  const numbers = [...new Set(sights.map(({ setUp }) => setUp))].sort((a, b) => a - b);
  const order = (point: string): number => (surveyPoints.includes(point) ? surveyPoints.indexOf(point) : surveyPoints.length);
  return numbers.map((number) => {
    const its = sights.filter(({ setUp }) => setUp === number);
    // the first set-up in the order of the questions, whatever was typed first; a second reading stays last
    if (number === numbers[0]) its.sort((a, b) => Number(a.isAgain) - Number(b.isAgain) || order(a.point) - order(b.point));
    const pairs = its.map(({ point, text }): [string, string] => [point, text]);
    return number === numbers[0] && pairs[0]![0] !== "benchmark" ? [["benchmark", pairs[0]![1]], ...pairs] : pairs;
  });
}

/** Keys `tape corners`, `tape A pit`, `tape B pit`. */
function tapeOf(
  answers: Answers, length: (key: string) => string | null,
): { readonly corners: string; readonly points: readonly Readonly<Record<"point" | "fromA" | "fromB", string>>[] } | null {
  const corners = length("tape corners");
  const points = Object.keys(answers).flatMap((key) => {
    const point = /^tape A (.+)$/.exec(key)?.[1];
    if (point === undefined) return [];
    const [fromA, fromB] = [length(key), length(`tape B ${point}`)];
    return fromA === null || fromB === null ? [] : [{ point, fromA, fromB }];
  });
  return corners === null || points.length === 0 ? null : { corners, points };
}

function waterOf(text: string, length: (text: string) => string | null, problems: Problems): Readonly<Record<string, string>> | null {
  const meant = text.startsWith("=") ? "=" : "";
  const body = unknown(meant === "" ? text : text.slice(1));
  if (body === "") return null;
  const match = /^(seen|none)(?: (?:at|to|down to))? ?(.*)$/i.exec(body);
  if (match?.[2] === "") {
    problems["groundwater"] = match[1]!.toLowerCase() === "seen" ? "At what depth was it seen?" : "Down to what depth was there none?";
    return null;
  }
  if (match === null) {
    problems["groundwater"] = `expected seen or none with a depth, such as none 8 ft, or not known, got ${describe(text)}`;
    return null;
  }
  const depth = length(meant + match[2]!);
  return depth === null ? null : { [match[1]!.toLowerCase() === "seen" ? "seen" : "noneTo"]: depth };
}

function choiceOf<Word extends string>(key: string, text: string, words: readonly Word[], problems: Problems): Word | null {
  if (text === "") return null;
  const found =
    words.find((word) => word.toLowerCase() === text.toLowerCase()) ?? (/^\d$/.test(text) ? words[Number(text) - 1] : undefined);
  if (found !== undefined) return found;
  const meant = nearest(text, words);
  problems[key] =
    `expected one of ${words.map((word, i) => `${i + 1} ${word}`).join(", ")}${meant === null ? "" : ` (did you mean ${meant}?)`}, got ${describe(text)}`;
  return null;
}

type Measured = (key: string, text: string, how: TypedField) => string | null;

function soilOf(
  answers: Answers,
  units: UnitSystem,
  measured: Measured,
  field: (dimension: TypedField["dimension"], unit: string, likely?: TypedField["likely"]) => TypedField,
  problems: Problems,
  waiting: Problems,
): Readonly<Record<string, unknown>> | null {
  const text = unknown((answers["soil"] ?? "").trim());
  if (text === "") return null;
  const inch = field("length", units === "us" ? "in" : "cm", [0.02, 3]);
  const tape = (key: string, text: string = (answers[key] ?? "").trim()): string | null => measured(key, text, inch);
  if (/^test(?: at the hole)?$/i.test(text)) {
    const test = holeTest(answers, tape, problems, waiting);
    return test === null ? null : { test };
  }
  if (/^\d|^\./.test(text)) {
    const rate = typedSoilRate(text, units);
    if ("problem" in rate) {
      problems["soil"] = rate.problem;
      return null;
    }
    if ("text" in rate) return { conductivity: rate.text };
    const [diameter, waterDepth] = [tape("hole diameter"), tape("hole water")];
    if (diameter === null || waterDepth === null) {
      waiting["soil"] = "Of the hole in which the minutes were read are still to be told: its diameter, and how deep the water stood.";
      return null;
    }
    return { test: { kind: "percolationHole", diameter, waterDepth, minutesPerInch: rate.minutesPerInch } };
  }
  const texture = choiceOf("soil", text, textureNames(), problems);
  return texture === null ? null : { texture };
}

/**
 * Keys `hole diameter`, `hole bottom` (from the tape's mark down) and `fill 1`: readings such as `8:15 3 1/2; 8:45 5`, the watch and the
 * tape down to the water.
 */
function holeTest(
  answers: Answers,
  tape: (key: string, text?: string) => string | null,
  problems: Problems,
  waiting: Problems,
): Readonly<Record<string, unknown>> | null {
  const [diameter, bottomDown] = [tape("hole diameter"), tape("hole bottom")];
  const fills = Object.keys(answers)
    .filter((key) => /^fill \d{1,2}$/.test(key) && (answers[key] ?? "").trim() !== "")
    .sort((a, b) => Number(a.slice(5)) - Number(b.slice(5)));
  const lacking = [
    ...(diameter === null ? ["the hole's diameter"] : []),
    ...(bottomDown === null ? ["how far its bottom lies below the tape's mark"] : []),
    ...(fills.length === 0 ? ["readings"] : []),
  ];
  if (lacking.length > 0) {
    waiting["soil"] = `Of the test at the hole are still to be told: ${lacking.join(", ")}.`;
    return null;
  }
  const read = fills.map((key) => {
    const rows = (answers[key] ?? "")
      .split(/[;\n]/)
      .map((row) => row.trim())
      .filter((row) => row !== "");
    const pairs = rows.map((row) => /^(\S+(?: ?(?:min|h|am|pm|s))?)[ ,]+(.+)$/i.exec(plainSpelling(row)));
    const wrong = pairs.findIndex((pair) => pair === null);
    if (wrong >= 0 || pairs.length < 2) {
      problems[key] =
        `expected two readings or more, each a time and the tape, such as 8:15 3 1/2, got ${describe(wrong >= 0 ? rows[wrong] : answers[key])}`;
      return null;
    }
    const times = typedTimes(pairs.map((pair) => pair![1]!));
    if ("problem" in times) {
      problems[key] = times.problem;
      return null;
    }
    const down = pairs.map((pair) => tape(key, pair![2]));
    if (down.some((each) => each === null)) return null;
    return { time: times.times.map((time) => (time % 60 === 0 ? `${time / 60} min` : `${time} s`)), down };
  });
  return read.some((each) => each === null) ? null : { kind: "percolationHole", diameter, bottomDown, fills: read };
}

/** The answers that a file's survey was made of, to be asked on from there. */
export function answersOf({ name, region, survey }: Told): Answers {
  const answers: Record<string, string> = { name, region };
  const put = (key: string, text: unknown): void => {
    if (typeof text === "string") answers[key] = text;
  };
  const inside = (key: string): Readonly<Record<string, string | undefined>> =>
    (survey[key] ?? {}) as Readonly<Record<string, string | undefined>>;
  if (survey["rainfall"] === undefined) put("rain", survey["rain"] ?? "not known");
  else answers["rain table"] = JSON.stringify(survey["rainfall"]);
  put(
    "roof",
    survey["roofArea"] ??
      ((survey["roof"] ?? []) as Readonly<Record<string, string>>[])
        .map(
          ({ length, width, notchLength, notchWidth }) =>
            `${length!} x ${width!}${notchLength === undefined ? "" : ` - ${notchLength} x ${notchWidth!}`}`,
        )
        .join(" + "),
  );
  put("benchmark level", survey["benchmark"]);
  ((survey["setUps"] ?? []) as [string, string][][]).forEach((sights, s) => {
    for (const [point, reading] of sights) {
      let key = `reading ${s + 1} ${point}`;
      while (answers[key] !== undefined) key += " again";
      answers[key] = reading;
    }
  });
  for (const key of ["boxToPit", "pitToLid", "houseToPit", "lidToLowPoint"]) put(key, inside("distances")[key]);
  const tape = inside("tape");
  put("tape corners", tape["corners"]);
  for (const { point, fromA, fromB } of (survey["tape"] as { readonly points?: Readonly<Record<string, string>>[] } | undefined)
    ?.points ?? []) {
    put(`tape A ${point!}`, fromA);
    put(`tape B ${point!}`, fromB);
  }
  if (survey["room"] !== undefined) answers["room"] = `${inside("room")["length"]!} x ${inside("room")["width"]!}`;
  const water = inside("groundwater");
  answers["groundwater"] =
    water["seen"] !== undefined ? `seen ${water["seen"]}` : water["noneTo"] !== undefined ? `none ${water["noneTo"]}` : "not known";
  put("wanted", survey["wanted"]);
  const soil = inside("soil");
  const test = (survey["soil"] as { readonly test?: Readonly<Record<string, unknown>> } | undefined)?.test;
  answers["soil"] =
    test === undefined
      ? (soil["texture"] ?? soil["conductivity"] ?? "not yet")
      : typeof test["minutesPerInch"] === "number"
        ? `${test["minutesPerInch"]} min/in`
        : "test at the hole";
  if (test !== undefined) {
    put("hole diameter", test["diameter"]);
    put("hole bottom", test["bottomDown"]);
    put("hole water", test["waterDepth"]);
    ((test["fills"] ?? []) as { readonly time: string[]; readonly down: string[] }[]).forEach(({ time, down }, i) => {
      answers[`fill ${i + 1}`] = time.map((each, k) => `${each} ${down[k] ?? ""}`).join("; ");
    });
  }
  // what was confirmed once is not asked again
  for (const key of Object.keys(readAnswers(answers).asks)) answers[key] = `=${answers[key]!}`;
  return answers;
}
