import type { Site } from "../site/site.ts";
import { UserFault } from "../node/userFault.ts";
import { parseJson } from "../schema/parseJson.ts";
import type { LotsStudy } from "../study/lotCases.ts";
import { LOT_WORDS, lotPattern, type LotPattern } from "../study/lotSite.ts";
import { lotTable, type LotTable } from "../study/lotTable.ts";
import type { LotYearsStudy } from "../study/lotYears.ts";
import { oftenPlan } from "../study/oftenCases.ts";
import { describe } from "../text/describe.ts";
import { InputError } from "../text/problem.ts";
import { besideFile, type Beside } from "./beside.ts";
import { readText } from "./files.ts";
import type { ManyOptions } from "./manyMachines.ts";
import { siteRain, type StormRain } from "./siteRain.ts";
import { siteFileWithRain, siteTable, siteWithTables } from "./siteWithRain.ts";
import { oftenOptionsOf, sizeOptionsOf } from "./studies.ts";

/** What `soakstep lots` is given beside its table. */
export interface LotsAsked extends ManyOptions {
  readonly stop: () => AbortSignal;
  readonly allowOutside: boolean;
  readonly site?: string | undefined;
  readonly map?: string | undefined;
  readonly storm?: string | undefined;
  readonly soils?: string | undefined;
  readonly within?: string | undefined;
  readonly neighbours?: string | undefined;
  /** sizes the works of every lot by the pattern's study of sizes */
  readonly size?: boolean | undefined;
  /** runs years of rain too, those of the pattern's study of years */
  readonly years?: boolean | undefined;
  /** makes the whole report of one lot */
  readonly lot?: string | undefined;
}

/** A table of lots and its pattern, read and checked. */
export interface ReadyLots {
  /** the pattern's file as it is */
  readonly file: Readonly<Record<string, unknown>>;
  readonly pattern: LotPattern;
  /** as its file has it, with name, storms and units */
  readonly site: Site;
  readonly table: LotTable;
  readonly storm: { readonly name: string } & StormRain;
  readonly study: LotsStudy;
  /** years of rain on every lot; null where they are not asked for */
  readonly years: LotYearsStudy | null;
}

/**
 * Reads the table, its map and its pattern.
 *
 * @throws UserFault | InputError  with what is wrong with them, or with an option
 */
export async function readLots(path: string, asked: LotsAsked): Promise<ReadyLots> {
  const patternPath = asked.site!;
  const beside = besideFile(patternPath, asked.allowOutside);
  const { site, file } = await inFile(patternPath, () => siteFileWithRain(patternPath, beside));
  const names = site.storms.map(({ name }) => JSON.stringify(name)).join(", ");
  const choice = asked.storm === undefined ? site.storms[0] : site.storms.find(({ name }) => name === asked.storm);
  if (choice === undefined) {
    throw new UserFault(
      asked.storm === undefined
        ? `${patternPath}: storms: expected a storm to run the lots in, got none`
        : `--storm: expected a storm of ${patternPath}: ${names || "which has none"}, got ${describe(asked.storm)}`,
    );
  }
  const [rain] = await inFile(patternPath, () => siteRain([choice], beside));
  const soils = whole(
    "--soils",
    asked.soils,
    9,
    (n) => n >= 1 && n <= 999 && n % 2 === 1,
    "an odd whole number from 1 to 999, so that the middle one is the lot's own",
  );
  const conductivityWithin = whole("--within", asked.within, 3, (n) => n >= 1 && n <= 1000, "a factor from 1 to 1000", false);
  const map = asked.map === undefined ? {} : await readMapFile(asked.map);
  const pattern = await inFile(patternPath, () => Promise.resolve(lotPattern(file)));
  const text = await readText(path);
  const table = lotTable(text, pattern, map);
  const size =
    asked.size === true
      ? await inFile(patternPath, async () => sizeOptionsOf(await siteWithTables(site, beside), beside, { forOthers: true }))
      : undefined;
  const strange = size === undefined ? [] : Object.keys(size.steps).filter((key) => !(LOT_WORDS as readonly string[]).includes(key));
  if (strange.length > 0) {
    const expected = "steps of chambers, pitWidth, stoneBase and trenchLength alone";
    throw new UserFault(`${patternPath}: studies.size.steps: expected ${expected} for lots, got ${strange.join(", ")}`);
  }
  const options = {
    storms: [{ name: choice.name, rain: rain!.rain }],
    soils,
    conductivityWithin: soils === 1 ? 1 : conductivityWithin,
    ...(size === undefined ? {} : { size }),
  };
  const given = { file: pattern.file, keys: table.keys, values: table.lots.map(({ values }) => values) };
  return {
    file: file as Readonly<Record<string, unknown>>,
    pattern,
    site,
    table,
    storm: { name: choice.name, ...rain! },
    study: { kind: "lots", ...given, options },
    years:
      asked.years === true ? { kind: "lotYears", ...given, options: await inFile(patternPath, () => yearsOf(site, beside, options)) } : null,
  };
}

/** The years that the pattern's study of years asks for, in the soils of the table. */
async function yearsOf(
  pattern: Site,
  beside: Beside,
  { soils, conductivityWithin, size }: LotsStudy["options"],
): Promise<LotYearsStudy["options"]> {
  const asked = await oftenOptionsOf(await siteTable(pattern, beside), beside);
  // soils that are all the same are one
  const often = { ...asked, soils: conductivityWithin === 1 ? 1 : soils, conductivityWithin };
  oftenPlan(often);
  return { often, ...(size === undefined ? {} : { size }) };
}

async function readMapFile(path: string): Promise<unknown> {
  const problems: { where: string; expected: string; got: string }[] = [];
  const map = parseJson(await readText(path), problems);
  if (problems.length > 0) throw new UserFault(`${path}: ${new InputError("The map of the table cannot be used:", problems).message}`);
  return map;
}

/** A fault of a file is said with its name. */
async function inFile<Result>(path: string, work: () => Promise<Result>): Promise<Result> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof InputError) throw new UserFault(`${path}: ${error.message}`);
    throw error;
  }
}

function whole(
  option: string,
  text: string | undefined,
  missing: number,
  fits: (n: number) => boolean,
  expected: string,
  isWhole = true,
): number {
  if (text === undefined) return missing;
  const value = Number(text);
  if (text.trim() === "" || !Number.isFinite(value) || (isWhole && !Number.isInteger(value)) || !fits(value))
    throw new UserFault(`${option}: expected ${expected}, got ${describe(text)}`);
  return value;
}
