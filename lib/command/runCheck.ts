import { parseJson } from "../schema/parseJson.ts";
import { checkedFileText, checkFile } from "../yard/checkFile.ts";
import type { Problem } from "../text/problem.ts";
import { SiteError } from "../site/readSite.ts";
import { checkPackage, isPage } from "./checkPackage.ts";
import { withThreads } from "./manyMachines.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { readText } from "./files.ts";

/**
 * Checks each file by what it is, and writes nothing: of a site file, what its defaults did and what would matter most; a package for
 * review is run again and held against itself, with `--studies` its studies too.
 *
 * @returns  the exit status: 1 when one of them cannot be used, or a package does not hold
 */
export async function runCheck(
  paths: readonly string[], _folder: string, console: Console, { options }: { readonly options: { readonly studies?: boolean } },
): Promise<number> {
  if (paths.length === 0) {
    console.err("check: expected a site file or a package for review, got none\n");
    return 1;
  }
  let faults = 0;
  for (const path of paths) {
    try {
      const text = await readText(path);
      if (isPage(text)) {
        const { holds, lines } = options.studies === true
          ? await withThreads(path, console, (how) => checkPackage(path, text, how)) : await checkPackage(path, text);
        if (!holds) faults++;
        console[holds ? "out" : "err"](`${lines.join("\n")}\n`);
        continue;
      }
      const problems: Problem[] = [];
      const file = parseJson(text, problems);
      if (problems.length > 0) throw new SiteError(problems);
      console.out(checkedFileText(checkFile(file)));
    } catch (error) {
      faults++;
      console.err(`${faultText(path, error)}\n`);
    }
  }
  return faults === 0 ? 0 : 1;
}
