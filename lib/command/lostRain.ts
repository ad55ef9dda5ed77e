import { parseJson } from "../schema/parseJson.ts";
import type { Problem } from "../text/problem.ts";
import type { Beside } from "./beside.ts";

/**
 * The files of rain that a site file names and that are not there to be read, or not to be read for it, whatever else is wrong with
 * the site.
 *
 * @param text    of the site file
 * @param beside  finds the files
 */
export async function lostRain(text: string, beside: Beside): Promise<Problem[]> {
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
