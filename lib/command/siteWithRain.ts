import { parseJson } from "../schema/parseJson.ts";
import { readSite } from "../site/readSite.ts";
import type { Site } from "../site/site.ts";
import { SiteError } from "../site/siteError.ts";
import type { Problem } from "../text/problem.ts";
import type { Beside } from "./beside.ts";
import { readText } from "./files.ts";
import { lostRain } from "./lostRain.ts";

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
