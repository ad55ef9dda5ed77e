import { basename } from "node:path";
import { asBuilt, dayOf, siteAsBuilt } from "../dips/asBuilt.ts";
import { dayOfPage } from "../dips/dips.ts";
import { diagnosed } from "../dips/failedPit.ts";
import { judgedFill } from "../dips/fillTest.ts";
import { foundEmptying, foundSoil, pitLife } from "../dips/pitLife.ts";
import { readPitLog } from "../dips/pitLog.ts";
import { readFillTest } from "../dips/readFillTest.ts";
import { dayText, fittedSeason, readSeason, type Season } from "../dips/season.ts";
import { readRainFile } from "../node/readRainFile.ts";
import { UserFault } from "../node/userFault.ts";
import { asBuiltPart } from "../report/pitLifePart.ts";
import { failedPitPart } from "../report/failedPitPart.ts";
import { fillTestPart } from "../report/fillTestPart.ts";
import type { PagePart } from "../report/pagePart.ts";
import { pitLifePart } from "../report/pitLifePart.ts";
import { seasonPart } from "../report/pitLifePart.ts";
import { studyPage } from "../report/studyPage.ts";
import { parseJson } from "../schema/parseJson.ts";
import { readSite } from "../site/readSite.ts";
import type { Site } from "../site/site.ts";
import type { RecordedStorm } from "../study/criteria.ts";
import { describe } from "../text/describe.ts";
import { jsonWith } from "../text/jsonText.ts";
import { InputError, type Problem } from "../text/problem.ts";
import { besideFile, namedFile, type Beside } from "./beside.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { readText, writeWhole } from "./files.ts";
import { reportPath } from "./reportPaths.ts";
import { siteRain } from "./siteRain.ts";
import { siteFileWithRain, siteTable } from "./siteWithRain.ts";

/** What was read, as its file holds it. */
type Asked = Readonly<Record<string, unknown>>;

/** What is printed of a measurement, and what of it goes into the site's file where it is kept. */
interface Told {
  readonly part: PagePart;
  readonly entry: { readonly key: "asBuilt" | "diary"; readonly value: Asked };
}

/**
 * Answers what dips tell of a site: of finished works filled by a hose, or of works that do not do what they should, distinguished by what
 * is in the file. The answer to the terminal, a page beside it; where the site's file tells of days (`asBuilt`, `diary`), the life of the
 * pit with it.
 *
 * @param words   a site file, and what was done and read: JSON with the options of `fillTest` or of `failedPit`, which may name a table of
 *                dips by `file` in place of `dips`; or the page of a notebook by itself, of works that were filled; or, with `logger` and
 *                `gauge` naming files of CSV, a season of a logger; or, under `asBuilt`, what was built. A site file alone: its life
 * @param options.keep  whether what was read is written into the site's file too, as an entry of its day, all else byte for byte as it was
 * @returns       the exit status: 1 when there is no answer
 */
export async function runMeasured(
  words: readonly string[], folder: string, console: Console,
  { allowOutside, keep }: { readonly allowOutside: boolean; readonly keep: boolean },
): Promise<number> {
  const [sitePath, dipPath, ...rest] = words;
  if (sitePath === undefined || rest.length > 0) {
    console.err(`measured: expected a site file and a file of what was read, got ${words.length === 0 ? "nothing" : words.map(describe).join(", ")}\n`);
    return 1;
  }
  try {
    const besideSite = besideFile(sitePath, allowOutside);
    const { site: written, file } = await siteFileWithRain(sitePath, besideSite);
    const site = await siteTable(written, besideSite);
    const recorded = await recordedOf(site, besideSite);
    const told = dipPath === undefined ? null : await toldBy(withTable(file, site), dipPath, besideFile(dipPath, allowOutside), recorded);
    const text = keep && told !== null && dipPath !== undefined ? keptText(await readText(sitePath), site, told.entry, dipPath) : null;
    const life = pitLife(withTable(text === null ? file : parseJson(text, []), site), recorded);
    if (told === null && life === null) {
      throw new UserFault(`measured: expected a file of what was read beside ${basename(sitePath)}, or days in that (asBuilt, diary), got neither`);
    }
    const parts = [...(told === null ? [] : [told.part]), ...(life === null ? [] : [pitLifePart(life)])];
    const page = reportPath(sitePath, folder, "-measured");
    await writeWhole(page, studyPage(site, parts));
    if (text !== null) await writeWhole(sitePath, text);
    console.out(`${parts[0]!.answer}\n${text === null ? "" : `Kept in ${sitePath}.\n`}${page}\n`);
    return 0;
  } catch (error) {
    console.err(`${faultText(sitePath, error)}\n`);
    return 1;
  }
}

/** The rain of all storms of the site that stands in files. */
async function recordedOf({ storms }: Site, beside: Beside): Promise<RecordedStorm[]> {
  const inFiles = storms.filter(({ options }) => "file" in options);
  const rains = await siteRain(inFiles, beside);
  return inFiles.map(({ name }, i) => ({ name, rain: rains[i]!.rain }));
}

/** The parsed file with the rainfall of its studies as it was read, where it names a file in its place. */
function withTable(file: unknown, { studies }: Site): unknown {
  if (!isObject(file) || !isObject(file["studies"]) || studies === null) return file;
  return { ...file, studies: { ...file["studies"], ...(studies.rainfall === null ? {} : { rainfall: studies.rainfall }) } };
}

/** Works of which the file says what was built are held against that, as it was until the day they were measured. */
async function toldBy(file: unknown, path: string, beside: Beside, recorded: readonly RecordedStorm[]): Promise<Told> {
  const asked = withDay(await readAsked(path, beside), path);
  try {
    if (asked["asBuilt"] !== undefined) return builtOf(file, asked, recorded);
    const { date: day } = asked;
    if (day !== undefined && (typeof day !== "string" || Number.isNaN(dayOf(day)))) {
      throw new InputError("What was read cannot be used:", [{ where: "date", expected: 'a day such as "2026-05-02"', got: describe(day) }]);
    }
    const site = siteAsBuilt(file, day ?? LAST_DAY);
    if (asked["logger"] !== undefined) return await seasonOf(site, asked, path, beside, recorded);
    const { date, note, ...read } = asked;
    const options = { ...read, recorded };
    const part = ofFailure(read) ? failedPitPart(diagnosed(site, readPitLog(site, options)))
      : fillTestPart(site, judgedFill(site, readFillTest(site, options)));
    const { about: _, ...kept } = read;
    return { part, entry: { key: "diary", value: { date, ...(note === undefined ? {} : { note }), ...kept } } };
  } catch (error) {
    if (error instanceof InputError) throw new UserFault(`${path}: ${error.message}`);
    throw error;
  }
}

/** Later than any entry. */
const LAST_DAY = "9999-12-31";

/** What was built, beside the drawing. */
function builtOf(file: unknown, { asBuilt: entry, ...others }: Asked, recorded: readonly RecordedStorm[]): Told {
  if (!isObject(entry) || Object.keys(others).length > 0) {
    const got = describe(Object.keys(others)[0] ?? entry);
    throw new InputError("What was built cannot be used:", [{ where: "asBuilt", expected: '{ "asBuilt": { "date": …, parts of the site file } } and nothing beside it', got }]);
  }
  return { part: asBuiltPart(asBuilt(file, entry, recorded)), entry: { key: "asBuilt", value: entry } };
}

/** A season of a logger: its readings, the gauge and the barometer stand in files beside. */
async function seasonOf(site: Site, asked: Asked, path: string, beside: Beside, recorded: readonly RecordedStorm[]): Promise<Told> {
  const { logger, gauge, gaugeOptions, barometer, note, date: _, ...others } = asked;
  const fileOf = async (key: string, name: unknown): Promise<string> => {
    if (typeof name !== "string") throw new InputError("The season cannot be used:", [{ where: key, expected: "the name of a CSV file", got: describe(name) }]);
    return await namedFile(path, name, beside);
  };
  const [loggerFile, gaugeFile] = [await fileOf("logger", logger), await fileOf("gauge", gauge)];
  if (gaugeOptions !== undefined && !isObject(gaugeOptions)) {
    throw new InputError("The season cannot be used:", [{ where: "gaugeOptions", expected: "an object of options", got: describe(gaugeOptions) }]);
  }
  const rain = await readRainFile(gaugeFile, gaugeOptions);
  const air = barometer === undefined ? {} : { barometer: await readText(await fileOf("barometer", barometer)) };
  const season = fittedSeason(site, readSeason(site, { ...others, logger: await readText(loggerFile), rain, ...air, recorded }));
  return { part: seasonPart(season), entry: { key: "diary", value: { ...foundBy(season), ...(note === undefined ? {} : { note }) } } };
}

/** What of a season is kept: the soil with its band, on its last day. */
function foundBy({ numbers, start, emptying, record: { time, site } }: Season): Asked {
  const { countedOn, ...soil } = foundSoil(site, numbers.find(({ name }) => name === "soil")!);
  const empties = emptying === null ? null : foundEmptying(emptying);
  const found = { ...soil, since: dayText(start, time[0] ?? 0), ...(empties === null ? {} : { empties }), countedOn };
  return { date: dayText(start, time.at(-1) ?? 0), found };
}

/**
 * The text of the site's file with one more entry behind those that it has.
 *
 * @throws UserFault  where the entry has no day or is there already, or the file could no longer be read
 */
function keptText(text: string, site: Site, { key, value }: Told["entry"], path: string): string {
  if (typeof value["date"] !== "string") {
    const place = key === "asBuilt" ? "" : " (a line “date 2026-05-02” on a page of a notebook, “date” in JSON)";
    throw new UserFault(`${path}: date: expected the day it was read, such as "2026-05-02"${place}, to be kept by, got ${describe(value["date"])}`);
  }
  const file = parseJson(text, []);
  const entries: unknown = isObject(file) ? file[key] : undefined;
  const same = Array.isArray(entries) ? entries.findIndex((entry: unknown) => JSON.stringify(entry) === JSON.stringify(value)) : -1;
  if (same >= 0) throw new UserFault(`${path}: is kept already, as ${key}[${same}] of the site's file`);
  const kept = jsonWith(text, [site[key].length === 0 ? { path: [key], value: [value] } : { path: [key, site[key].length], value }]);
  readSite(kept);
  return kept;
}

/** What is said of works that fail: a storm or a hose they were seen after, and what was seen. */
const OF_FAILURE = ["storm", "hose", "timesFrom", "began", "ended", "seen", "loadError"];
/** What is said of a fill test alone. */
const OF_FILLING = ["inflow", "groundwaterLevel", "suspects"];

/** @throws InputError  where the file tells of both */
function ofFailure(asked: Asked): boolean {
  const given = (keys: readonly string[]): string[] => keys.filter((key) => asked[key] !== undefined);
  const [failure, filling] = [given(OF_FAILURE), given(OF_FILLING)];
  if (failure.length > 0 && filling.length > 0) {
    const expected = `a fill test (${OF_FILLING.join(", ")}) or works that fail (${OF_FAILURE.join(", ")})`;
    throw new InputError("What was read cannot be used:", [{ where: "measured", expected, got: `both: ${[...filling, ...failure].join(", ")}` }]);
  }
  const { dips } = asked;
  const namesBody = Array.isArray(dips) && dips.some((dip: unknown) => isObject(dip) && "body" in dip);
  return failure.length > 0 || (namesBody && filling.length === 0);
}

/** Dips of a page that tells its day, where nothing beside it does. */
function withDay(asked: Asked, path: string): Asked {
  const { dips, date } = asked;
  if (typeof dips !== "string" || date !== undefined) return asked;
  const day = dayOfPage(dips);
  if (typeof day === "string") return { ...asked, date: day };
  if (day !== null) throw new UserFault(`${path}: date: expected one day, got "date ${day[0]}" on the page and ${day[1]} beside its first dip`);
  return asked;
}

async function readAsked(path: string, beside: Beside): Promise<Asked> {
  const text = await readText(path);
  if (!/\.json$/i.test(path) && !text.trimStart().startsWith("{")) return { dips: text };
  const problems: Problem[] = [];
  const asked = parseJson(text, problems);
  if (problems.length > 0) throw new UserFault(`${path}: ${new InputError("What was read cannot be used:", problems).message}`);
  if (!isObject(asked)) throw new UserFault(`${path}: expected an object { … }, got ${describe(asked)}`);
  const { file, ...others } = asked;
  if (file === undefined) return others;
  if (typeof file !== "string") throw new UserFault(`${path}: file: expected the name of a table of dips, got ${describe(file)}`);
  return { ...others, dips: await readText(await namedFile(path, file, beside)) };
}

function isObject(value: unknown): value is Asked {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
