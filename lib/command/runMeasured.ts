import { UserFault } from "../node/userFault.ts";
import { failedPitPart } from "../report/failedPitPart.ts";
import { fillTestPart } from "../report/fillTestPart.ts";
import { asBuilt, type BuiltEntry } from "../dips/asBuilt.ts";
import { asBuiltPart } from "../report/asBuiltPart.ts";
import { seasonPart } from "../report/seasonPart.ts";
import { season, type SeasonOptions } from "../dips/season.ts";
import { readRainFile } from "../node/readRainFile.ts";
import type { RecordOptions } from "../rain/record/recordOptions.ts";
import type { PagePart } from "../report/pagePart.ts";
import { studyPage } from "../report/studyPage.ts";
import { parseJson } from "../schema/parseJson.ts";
import type { Site } from "../site/site.ts";
import { failedPit } from "../dips/failedPit.ts";
import { fillTest } from "../dips/fillTest.ts";
import { describe } from "../text/describe.ts";
import { InputError, type Problem } from "../text/problem.ts";
import { besideFile, namedFile, type Beside } from "./beside.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { readText, writeWhole } from "./files.ts";
import { reportPath } from "./reportPaths.ts";
import { siteWithRain } from "./siteWithRain.ts";

/** What was read, as its file holds it. */
type Asked = Readonly<Record<string, unknown>>;

/**
 * Answers what dips tell of a site: of finished works filled by a hose, or of works that do not do what they should, told apart by what
 * is in the file. The answer to the terminal, a page beside it.
 *
 * @param words   a site file, and what was done and read: JSON with the options of `fillTest` or of `failedPit`, which may name a table of
 *                dips by `file` in place of `dips`; or the page of a notebook by itself, of works that were filled; or, with `logger` and
 *                `gauge` naming files of CSV, a season of a logger; or, under `asBuilt`, what was built
 * @returns       the exit status: 1 when there is no answer
 */
export async function runMeasured(
  words: readonly string[], folder: string, console: Console, { allowOutside }: { readonly allowOutside: boolean },
): Promise<number> {
  const [sitePath, dipPath, ...rest] = words;
  if (sitePath === undefined || dipPath === undefined || rest.length > 0) {
    console.err(`measured: expected a site file and a file of what was read, got ${words.length === 0 ? "nothing" : words.map(describe).join(", ")}\n`);
    return 1;
  }
  try {
    const site = await siteWithRain(sitePath, besideFile(sitePath, allowOutside));
    const beside = besideFile(dipPath, allowOutside);
    const asked = await readAsked(dipPath, beside);
    const part = asked["asBuilt"] !== undefined ? await builtOf(sitePath, asked, dipPath)
      : asked["logger"] === undefined ? answered(site, asked, dipPath) : await seasonOf(site, asked, dipPath, beside);
    const page = reportPath(sitePath, folder, "-measured");
    await writeWhole(page, studyPage(site, [part]));
    console.out(`${part.answer}\n${page}\n`);
    return 0;
  } catch (error) {
    console.err(`${faultText(sitePath, error)}\n`);
    return 1;
  }
}

function answered(site: Site, asked: Asked, path: string): PagePart {
  try {
    return ofFailure(asked) ? failedPitPart(failedPit(site, asked as never)) : fillTestPart(site, fillTest(site, asked as never));
  } catch (error) {
    if (error instanceof InputError) throw new UserFault(`${path}: ${error.message}`);
    throw error;
  }
}

/** What was built, beside the drawing. */
async function builtOf(sitePath: string, { asBuilt: entry, ...others }: Asked, path: string): Promise<PagePart> {
  if (typeof entry !== "object" || entry === null || Object.keys(others).length > 0) {
    throw new UserFault(`${path}: expected { "asBuilt": { "date": …, parts of the site file } } and nothing beside it, got ${describe(Object.keys(others)[0] ?? entry)}`);
  }
  const problems: Problem[] = [];
  const file = parseJson(await readText(sitePath), problems) as Readonly<Record<string, unknown>>;
  try {
    return asBuiltPart(asBuilt(file, entry as BuiltEntry));
  } catch (error) {
    if (error instanceof InputError) throw new UserFault(`${path}: ${error.message}`);
    throw error;
  }
}

/** A season of a logger: its readings, the gauge and the barometer stand in files beside. */
async function seasonOf(site: Site, asked: Asked, path: string, beside: Beside): Promise<PagePart> {
  const { logger, gauge, gaugeOptions, barometer, ...others } = asked;
  const fileOf = async (key: string, name: unknown): Promise<string> => {
    if (typeof name !== "string") throw new UserFault(`${path}: ${key}: expected the name of a CSV file, got ${describe(name)}`);
    return await namedFile(path, name, beside);
  };
  const [loggerFile, gaugeFile] = [await fileOf("logger", logger), await fileOf("gauge", gauge)];
  try {
    const rain = await readRainFile(gaugeFile, gaugeOptions as RecordOptions | undefined);
    const air = barometer === undefined ? {} : { barometer: await readText(await fileOf("barometer", barometer)) };
    return seasonPart(season(site, { ...(others as Partial<SeasonOptions>), logger: await readText(loggerFile), rain, ...air }));
  } catch (error) {
    if (error instanceof InputError) throw new UserFault(`${path}: ${error.message}`);
    throw error;
  }
}

/** What is said of works that fail: a storm or a hose they were seen after, and what was seen. */
const OF_FAILURE = ["storm", "hose", "timesFrom", "seen", "loadError"];
/** What is said of a fill test alone. */
const OF_FILLING = ["inflow", "groundwaterLevel", "suspects", "markLevel"];

/** @throws InputError  where the file tells of both */
function ofFailure(asked: Asked): boolean {
  const [failure, filling] = [OF_FAILURE, OF_FILLING].map((keys) => keys.filter((key) => asked[key] !== undefined)) as [string[], string[]];
  if (failure.length > 0 && filling.length > 0) {
    const expected = `a fill test (${OF_FILLING.join(", ")}) or works that fail (${OF_FAILURE.join(", ")})`;
    throw new InputError("What was read cannot be used:", [{ where: "measured", expected, got: `both: ${[...filling, ...failure].join(", ")}` }]);
  }
  const { dips } = asked;
  const namesBody = Array.isArray(dips) && dips.some((dip) => typeof dip === "object" && dip !== null && "body" in dip);
  return failure.length > 0 || (namesBody && filling.length === 0);
}

async function readAsked(path: string, beside: Beside): Promise<Asked> {
  const text = await readText(path);
  if (!/\.json$/i.test(path) && !text.trimStart().startsWith("{")) return { dips: text };
  const problems: Problem[] = [];
  const asked = parseJson(text, problems);
  if (problems.length > 0) throw new UserFault(`${path}: ${new InputError("What was read cannot be used:", problems).message}`);
  if (typeof asked !== "object" || asked === null || Array.isArray(asked)) throw new UserFault(`${path}: expected an object { … }, got ${describe(asked)}`);
  const { file, ...others } = asked as Asked;
  if (file === undefined) return others;
  if (typeof file !== "string") throw new UserFault(`${path}: file: expected the name of a table of dips, got ${describe(file)}`);
  return { ...others, dips: await readText(await namedFile(path, file, beside)) };
}
