import { frequencyCsv } from "../rain/storms/frequencyCsv.ts";
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
 * `"rainfall": { "file": "town.csv" }`, the CSV of the US precipitation-frequency server as downloaded, and
 * `"prices": { "file": "yard.json" }`, the same prices as a site file holds.
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
  const { file, ...others } = site.studies?.rainfall ?? {};
  if (file === undefined) return site;
  const where = "studies.rainfall.file";
  const refuse = (expected: string, got: string, code: ProblemCode = "value"): InputError => (
    new InputError("The studies cannot be made:", [{ where, expected, got, code }]));
  if (typeof file !== "string") throw refuse("the name of a file", describe(file));
  if (Object.keys(others).length > 0) throw refuse("no other keys beside a file", Object.keys(others).join(", "));
  const found = await beside(file);
  if (!("path" in found)) throw refuse(found.expected, found.got, found.code);
  const { table } = frequencyCsv(await readText(found.path));
  return { ...site, studies: { ...site.studies!, rainfall: { ...table } } };
}
