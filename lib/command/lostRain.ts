import { dirname, resolve } from "node:path";
import { unreadable } from "../node/fileFault.ts";
import { parseJson } from "../site/parseJson.ts";
import { describe } from "../units/describe.ts";
import type { Problem } from "../units/problem.ts";

/**
 * The files of rain that a site file names and that are not there to be read, whatever else is wrong with the site.
 *
 * @param text      of the site file
 * @param sitePath  from whose folder the files' paths count
 */
export async function lostRain(text: string, sitePath: string): Promise<Problem[]> {
  const site = parseJson(text, []) as { readonly storms?: unknown } | null | undefined;
  const storms: readonly unknown[] = Array.isArray(site?.storms) ? site.storms : [];
  const problems: Problem[] = [];
  for (const [i, storm] of storms.entries()) {
    const file = (storm as { readonly file?: unknown } | null)?.file;
    if (typeof file !== "string" || file.trim() === "") continue;
    const fault = await unreadable(resolve(dirname(sitePath), file));
    if (fault === null) continue;
    problems.push({
      where: `storms[${i}].file`, expected: "a file of rain, which is looked for beside the site file", got: `${describe(file)}, ${fault}`, code: "file",
    });
  }
  return problems;
}
