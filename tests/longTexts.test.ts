import { readFileSync } from "node:fs";
import { Session, type Profiler } from "node:inspector";
import { afterAll, describe, expect, test } from "vitest";
import { shareOf } from "./share.ts";
import { regexpSteps } from "./tools/regexpSteps.ts";

// Every reader of text is given texts of growing length, of letters that mean something to it. What it does is counted, not timed: the
// times that each stretch of its program is run, by V8's block counts, and the steps of its patterns, by a second engine. Twice the text
// may take a little over twice of both; what walks a text again for each of its letters takes four times.
//   What the count does not see: built-in functions of strings and lists, each a step whatever its length.

const session = new Session();
session.connect();
const post = <Result>(method: string, params: object = {}): Result => {
  let answer: Result | undefined;
  session.post(method, params, (error, result) => {
    if (error !== null) throw error;
    answer = result as Result;
  });
  return answer!;
};
// counted are programs that are loaded from here on
post("Profiler.enable");
post("Profiler.startPreciseCoverage", { callCount: true, detailed: true });
afterAll(() => {
  post("Profiler.stopPreciseCoverage");
  session.disconnect();
});

const { hyetograph } = await import("../lib/rain/hyetograph.ts");
const { simulate } = await import("../lib/simulate/simulate.ts");
const { readSite } = await import("../lib/site/readSite.ts");
const { InputError } = await import("../lib/text/problem.ts");
const { readQuantity } = await import("../lib/text/quantity.ts");
const { readMass } = await import("../lib/text/format.ts");
const { visible } = await import("../lib/text/words.ts");
const { csvCells } = await import("../lib/rain/record/csvCells.ts");
const { headingOf } = await import("../lib/rain/record/recordColumns.ts");
const { frequencyCsv } = await import("../lib/rain/storms/frequencyCsv.ts");
const { readRain } = await import("../lib/rain/record/readRain.ts");
const { readNotebook } = await import("../lib/dips/dips.ts");
const { stateOf } = await import("../lib/live/address.ts");
const { plainText, plotText } = await import("../lib/text/plainText.ts");

/** Since the last count, of which what went before is a few steps. */
async function stepsOf(work: () => unknown): Promise<number> {
  const inPatterns = await regexpSteps(work, 1e7);
  const { result } = post<Profiler.TakePreciseCoverageReturnType>("Profiler.takePreciseCoverage");
  let inProgram = 0;
  for (const { url, functions } of result) {
    if (!url.includes("/lib/")) continue;
    for (const { ranges } of functions) for (const { count } of ranges) inProgram += count;
  }
  return inPatterns + inProgram;
}

async function told(read: () => unknown): Promise<void> {
  try {
    await read();
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
  }
}

const HEADER = "interval end,rain [mm],remark\n";
const READERS: readonly (readonly [string, (text: string) => unknown])[] = [
  ["a site file", (text) => told(() => readSite(text))],
  ["a text in a site file", (text) => told(() => readSite(`{ "name": "${text}`))],
  ["a value of a site file", (text) => told(() => readSite({ [text]: text, name: text, about: text, region: text, groundwater: { level: text } }))],
  ["a record's header", (text) => told(() => readRain(`${text}\n2026-03-01,1`))],
  ["a record's line", (text) => told(() => readRain(`${HEADER}2026-03-01,1,\n${text}\n2026-03-02,${text}\n${text},1`))],
  ["a line of CSV", (text) => csvCells(text, ",")],
  ["a heading", (text) => headingOf(text)],
  ["a table of a place's rain", (text) => told(() => frequencyCsv(`Point precipitation frequency estimates (${text}\nTime series type: ${text}\n${text}\nby duration for ARI (years):, ${text}\n${text}:, 1`))],
  ["a table of dips", (text) => readNotebook(`time (min), depth (in)\n${text}, 3\n1, ${text}\n${text}`, "dips", [])],
  ["a table of dips without a header", (text) => readNotebook(text, "dips", [])],
  ["an address", (text) => stateOf(`#rain=${text}&${text}=3&storm=${text}`, 2)],
  ["a quantity", (text) => [readQuantity(text, "length"), readQuantity(`3 ${text}`, "speed"), readQuantity(`${text} ft`, "area")]],
  ["a mass", (text) => readMass(`3 ${text}`)],
  ["a name on a page", (text) => [plainText(text, 60), plotText(text), visible(text)]],
  ["the place of a problem", (text) => new InputError("", [{ where: text, expected: text, got: text }])],
];

const PIECES = [
  " ", "\t", "\n", "\r", '"', '""', '" ', "\\", '\\"', "'", "(", ")", "[", "]", "[]", "{", "}", '{"a":', '"a":1,', ",", ";", ", ", ":", "-", "--", "/", ".", "0", "1e",
  "1,", "1 ", "a", "a ", "ä", "_", "#", "%", "&", "=", "+", "\u0000", "\u001b", "\u202e", "\ud800", "ft ", "5 ft ", "2026-", "1/", "null", "[0]", '["a"]', "a.", " (", "( ", "mm",
];

/** letters of the shorter text: what is done once has to be little beside it */
const SHORT = 250;

/** pieces counted in one go, as each count takes V8 long: one in five that is walked again is still seen; each alone in `npm run prove` */
const TOGETHER = Math.max(1, Math.round(5 / shareOf(10)));

/** what may stand round the pieces: nothing in `npm test`, a letter too in `npm run prove` */
const AROUND = [["", ""], ["x", "x"]] as const;

describe.each(READERS)("%s", (_, read) => {
  test.each(AROUND.slice(0, Math.ceil(shareOf(20) / 10)))("takes steps as its letters are many, between %j and %j", async (before, after) => {
    const counted = async (pieces: readonly string[]): Promise<{ readonly short: number; readonly long: number }> => {
      const all = (letters: number) => async (): Promise<void> => {
        for (const piece of pieces) await read(before + piece.repeat(Math.ceil(letters / piece.length)) + after);
      };
      // once unmeasured: some things are made when they are first asked for
      await all(10)();
      return { short: await stepsOf(all(SHORT)), long: await stepsOf(all(2 * SHORT)) };
    };
    const worse: unknown[] = [];
    for (let first = 0; first < PIECES.length; first += TOGETHER) {
      const pieces = PIECES.slice(first, first + TOGETHER);
      const { short, long } = await counted(pieces);
      if (long > 2.3 * short + 1000) worse.push([pieces, short, long]);
    }
    expect(worse).toEqual([]);
  });
});

const HOURS = (lines: number, mixed: boolean): string => {
  // an odd step runs through all places of a power of two: no line stands beside its neighbour in time
  const places = Array.from({ length: lines }, (_, i) => (mixed ? (i * 997) % lines : i));
  return `interval end [h],rain [mm]\n${places.map((place) => `${place + 1},0.${place % 10}`).join("\n")}\n`;
};
const LEVELS = (points: number): string => JSON.stringify({ groundwater: { level: Array.from({ length: points }, (_, i) => ({ time: `${i} h`, level: `${9 + (i % 7) / 10} m` })) } });
const DIPS = (lines: number): string => `time (min),depth (in)\n${Array.from({ length: lines }, (_, i) => `${i},${(40 - (30 * i) / lines).toFixed(3)}`).join("\n")}`;

test.each<[string, (lines: number) => unknown]>([
  ["lines of a record in their order", (lines) => told(() => readRain(HOURS(lines, false)))],
  ["lines of a record shuffled", (lines) => told(() => readRain(HOURS(lines, true)))],
  ["points of groundwater", (lines) => told(() => readSite(LEVELS(lines)))],
  ["dips of a fill test", (lines) => readNotebook(DIPS(lines), "dips", [])],
])("many %s take steps as they are many", async (_, read) => {
  await read(64);
  const [short, long] = [await stepsOf(() => read(1024)), await stepsOf(() => read(2048))];
  // sorting once takes n log n of them
  expect(long / short).toBeLessThan(2.4);
  expect(short).toBeGreaterThan(1024);
});

test("a flow of a run is found in steps that hardly grow with the run", async () => {
  const site = readSite(readFileSync(new URL("../data/linden-row.json", import.meta.url), "utf8"));
  const steps = async (intervals: number): Promise<number> => {
    const depth = Array.from({ length: intervals }, (_, i) => 1e-4 * (1 + (i % 5)));
    const run = simulate(site, hyetograph({ time: Array.from({ length: intervals + 1 }, (_, i) => i * 300), depth }));
    run.flow("trenchInlet", 100);
    return stepsOf(() => Array.from({ length: 50 }, (_, i) => run.flow("trenchInlet", (i / 50) * run.until)));
  };
  const [short, long] = [await steps(200), await steps(1600)];
  // one that walks the run for each flow takes eight times
  expect(long / short).toBeLessThan(4);
});

test("the count sees a pattern and a loop that walk a text again for each of its letters", async () => {
  for (const [pattern, text] of [[/(\s*\s*)$/, " "], [/\s+$/, " "], [/^(?:a|b|ab)*?b*b*c/, "b"], [/a+a+b/, "a"]] as const) {
    const steps = (letters: number): Promise<number> => regexpSteps(() => pattern.test(`${text.repeat(letters)}x`), 1e8);
    expect(await steps(200) / await steps(100)).toBeGreaterThan(3);
  }
  const steps = (letters: number): Promise<number> => regexpSteps(() => /^\s*\w+\s*:/.test(`${" ".repeat(letters)}x`), 1e8);
  expect(await steps(200) / await steps(100)).toBeLessThan(2.1);
  // the same among texts that are walked once, by the dearest of the readers
  const among = (letters: number): Promise<number> => stepsOf(() => {
    for (const piece of ["1,", "a ", " ", "=", "mm"].slice(0, TOGETHER)) {
      const text = piece.repeat(Math.ceil(letters / piece.length));
      if (piece === " " || TOGETHER === 1) /\s+$/.test(`${" ".repeat(letters)}x`);
      readNotebook(`time (min), depth (in)\n${text}, 3\n1, ${text}\n${text}`, "dips", []);
    }
  });
  await among(10);
  expect(await among(2 * SHORT)).toBeGreaterThan(2.3 * await among(SHORT) + 1000);
  // a name without its closing bracket, read letter by letter
  expect(await stepsOf(() => headingOf("rain [mm"))).toBeGreaterThan(5);
});
