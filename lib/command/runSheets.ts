import { sheetsPage } from "../report/sheetsPage.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { UserFault } from "../node/userFault.ts";
import { besideFile, type Beside } from "./beside.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { writeWhole } from "./files.ts";
import { plotlySource } from "../node/plotlySource.ts";
import { reportPath } from "./reportPaths.ts";
import { siteRain } from "./siteRain.ts";
import { siteWithRain } from "./siteWithRain.ts";

/**
 * Writes the sheets that are left on a site, one page a site, to be printed. The stills of the sheet for the house are of the
 * site's first storm.
 *
 * @returns  the exit status: 1 when a site has none
 */
export async function runSheets(
  paths: readonly string[], folder: string, console: Console, { allowOutside }: { readonly allowOutside: boolean },
): Promise<number> {
  if (paths.length === 0) {
    console.err("sheets: expected a site file, got none; data/ has some to copy\n");
    return 1;
  }
  const written: string[] = [];
  for (const path of paths) {
    try {
      const page = reportPath(path, folder, "-sheets");
      await writeWhole(page, await sheetsOf(path, besideFile(path, allowOutside)));
      written.push(page);
    } catch (error) {
      console.err(`${faultText(path, error)}\n`);
    }
  }
  for (const page of written) console.out(`${page}\n`);
  return written.length === paths.length ? 0 : 1;
}

async function sheetsOf(path: string, beside: Beside): Promise<string> {
  const site = await siteWithRain(path, beside);
  const [storm] = site.storms;
  if (storm === undefined) throw new UserFault(`${path}: expected a storm to show what the works do, got none; give the file some in "storms"`, "missing");
  const rains = await siteRain([storm], beside);
  return sheetsPage({ run: settledRun(site, rains[0]!.rain), storm: storm.name }, { plotly: plotlySource() });
}
