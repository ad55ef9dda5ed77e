import { parseJson } from "../schema/parseJson.ts";
import { checkedFileText, checkFile } from "../yard/checkFile.ts";
import type { Problem } from "../text/problem.ts";
import { SiteError } from "../site/readSite.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { readText } from "./files.ts";

/**
 * Tells of each site file what its defaults did and what would matter most, and writes nothing.
 *
 * @returns  the exit status: 1 when one of them cannot be used
 */
export async function runCheck(paths: readonly string[], _folder: string, console: Console): Promise<number> {
  if (paths.length === 0) {
    console.err("check: expected a site file, got none\n");
    return 1;
  }
  let faults = 0;
  for (const path of paths) {
    try {
      const problems: Problem[] = [];
      const file = parseJson(await readText(path), problems);
      if (problems.length > 0) throw new SiteError(problems);
      console.out(checkedFileText(checkFile(file)));
    } catch (error) {
      faults++;
      console.err(`${faultText(path, error)}\n`);
    }
  }
  return faults === 0 ? 0 : 1;
}
