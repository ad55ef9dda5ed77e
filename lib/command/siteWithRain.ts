import { parseJson } from "../schema/parseJson.ts";
import { readSite, SiteError } from "../site/readSite.ts";
import type { Site } from "../site/site.ts";
import type { Problem } from "../text/problem.ts";
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
