import { frequencyCsv } from "../rain/storms/frequencyCsv.ts";
import { frequencyGrid, gridNames, type GridFile } from "../rain/storms/frequencyGrid.ts";
import type { RainfallTable } from "../rain/storms/tableDepth.ts";
import { emptyFindings } from "../schema/field.ts";
import { parseJson } from "../schema/parseJson.ts";
import { pricesObject, type Prices } from "../site/prices.ts";
import { readSite, SiteError } from "../site/readSite.ts";
import type { Site } from "../site/site.ts";
import { describe } from "../text/describe.ts";
import { InputError, type Problem, type ProblemCode } from "../text/problem.ts";
import type { Beside } from "./beside.ts";
import { readText } from "./files.ts";

/** The site of a file, whose files of rain are all there; else all that is wrong with either. */
export async function siteWithRain(path: string, beside: Beside): Promise<Site> {
  return (await siteFileWithRain(path, beside)).site;
}

/** As `siteWithRain`, with the file beside it as JSON.parse makes it. */
export async function siteFileWithRain(path: string, beside: Beside): Promise<{ readonly site: Site; readonly file: unknown }> {
  const text = await readText(path);
  let problems: readonly Problem[] = await lostRain(text, beside);
  let site: Site | null = null;
  try {
    site = readSite(text);
  } catch (error) {
    if (!(error instanceof SiteError)) throw error;
    problems = [...error.problems, ...problems];
  }
  if (site === null || problems.length > 0) throw new SiteError(problems);
  return { site, file: parseJson(text, []) };
}

/**
 * The files of rain that a site file names and that are not there to be read, or not to be read for it, whatever else is wrong with
 * the site.
 *
 * @param text    of the site file
 * @param beside  finds the files
 */
async function lostRain(text: string, beside: Beside): Promise<Problem[]> {
  const site = parseJson(text, []) as { readonly storms?: unknown } | null | undefined;
  const storms: readonly unknown[] = Array.isArray(site?.storms) ? site.storms : [];
  const problems: Problem[] = [];
  for (const [i, storm] of storms.entries()) {
    const file = (storm as { readonly file?: unknown } | null)?.file;
    if (typeof file !== "string" || file.trim() === "") continue;
    const found = await beside(file);
    if ("path" in found) continue;
    const expected = found.code === "file" ? "a file of rain, which is looked for beside the site file" : found.expected;
    problems.push({ ...found, where: `storms[${i}].file`, expected });
  }
  return problems;
}

/**
 * The site with what its studies and papers look up read, where it names a file in its place, each looked for beside the site file:
 * `"rainfall": { "file": "town.csv" }`, the CSV of the US precipitation-frequency server as downloaded;
 * `"rainfall": { "file": "rain/StatRR_KOSTRA-DWD-2020_D*.csv", "cell": 49011 }`, one cell of the German weather service's open grid, whose
 * files have the minutes of their duration where the `*` stands; and `"prices": { "file": "yard.json" }`, the same prices as a site file
 * holds.
 *
 * @throws InputError  with what is wrong with the files
 */
export async function siteWithTables(site: Site, beside: Beside): Promise<Site> {
  const { prices } = site;
  return siteTable(prices === null || !("file" in prices) ? site : { ...site, prices: await pricesIn(prices.file, beside) }, beside);
}

async function pricesIn(file: string, beside: Beside): Promise<Prices> {
  const found = await beside(file);
  if (!("path" in found)) throw new InputError("The prices cannot be used:", [{ where: "prices.file", ...found }]);
  const findings = emptyFindings();
  const parsed = parseJson(await readText(found.path), findings.problems);
  const prices = findings.problems.length > 0 ? null : pricesObject().read(parsed, file, findings);
  if (prices === null || findings.problems.length > 0) throw new InputError("The prices cannot be used:", findings.problems);
  return prices;
}

/**
 * The same with its table of rain alone.
 *
 * @throws InputError  with what is wrong with the file
 */
export async function siteTable(site: Site, beside: Beside): Promise<Site> {
  const { file, cell, ...others } = site.studies?.rainfall ?? {};
  if (file === undefined) return site;
  const refuse = (key: string, expected: string, got: string, code: ProblemCode = "value"): InputError => (
    new InputError("The studies cannot be made:", [{ where: `studies.rainfall.${key}`, expected, got, code }]));
  if (typeof file !== "string") throw refuse("file", "the name of a file", describe(file));
  if (Object.keys(others).length > 0) throw refuse("file", "no other keys beside a file", Object.keys(others).join(", "));
  let table: RainfallTable;
  if (file.includes("*")) {
    if (typeof cell !== "number") throw refuse("cell", "the cell of the grid, its INDEX_RC", describe(cell));
    const files = await gridFiles(file, beside);
    if (files.length === 0) throw refuse("file", "tables of the grid, with the minutes of their duration in the place of *", `${describe(file)}, nothing of that name`, "file");
    table = frequencyGrid(files, cell).table;
  } else {
    if (cell !== undefined) throw refuse("cell", "no cell beside a file of one table", describe(cell));
    const found = await beside(file);
    if (!("path" in found)) throw refuse("file", found.expected, found.got, found.code);
    table = frequencyCsv(await readText(found.path)).table;
  }
  return { ...site, studies: { ...site.studies!, rainfall: { ...table } } };
}

/** The tables of a grid that lie beside the file that names them, each with its name. */
export async function gridFiles(name: string, beside: Beside): Promise<GridFile[]> {
  const files: GridFile[] = [];
  for (const names of gridNames(name)) {
    for (const each of names) {
      const found = await beside(each);
      if ("path" in found) files.push({ name: each, text: await readText(found.path) });
    }
  }
  return files;
}
