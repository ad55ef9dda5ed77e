import { basename } from "node:path";
import { comparePage } from "../report/comparePage.ts";
import { compareAnswer } from "../figures/compareAnswer.ts";
import { compare, fileDifferences, type CompareOptions } from "../study/compare.ts";
import type { StudyOptions } from "../study/runStudy.ts";
import { besideFile } from "./beside.ts";
import type { Console } from "./console.ts";
import { writeWhole } from "./files.ts";
import { reportPath } from "./reportPaths.ts";
import { siteRain } from "./siteRain.ts";
import { siteFileWithRain } from "./siteWithRain.ts";

/**
 * Compares the designs of two site files on one page, `<a>-against-<b>.html`: in the storms that both have, or else in those of the first,
 * with the doubts of the first one's `studies.sure`.
 *
 * @returns  the path of the page
 */
export async function runCompare(
  paths: readonly [a: string, b: string], folder: string, console: Console, allowOutside: boolean, how: Pick<StudyOptions, "pool" | "signal">,
): Promise<string> {
  const [a, b] = await Promise.all(paths.map((path) => siteFileWithRain(path, besideFile(path, allowOutside)))) as [Read, Read];
  const alike = a.site.storms.filter((storm) => b.site.storms.some((other) => JSON.stringify(other) === JSON.stringify(storm)));
  const chosen = alike.length > 0 ? alike : a.site.storms;
  const rains = await siteRain(chosen, besideFile(paths[0], allowOutside));
  const { storm: _, until: __, moments: ___, ...doubts } = { ...a.site.studies?.sure } as Record<string, unknown>;
  const options = { ...doubts, storms: chosen.map(({ name }, i) => ({ name, rain: rains[i]!.rain })) } as CompareOptions;
  const comparison = await compare(a.site, b.site, options, how);
  console.out(`${compareAnswer(comparison)}\n`);
  const [nameA, nameB] = paths.map((path) => basename(path).replace(/\.json$/i, "")) as [string, string];
  const page = reportPath(`${nameA}-against-${nameB}`, folder);
  const notes = alike.length > 0 ? [] : ["The two files have no storm alike: both are run in the storms of A."];
  await writeWhole(page, comparePage(comparison, {
    a: `${a.site.name} (${basename(paths[0])})`, b: `${b.site.name} (${basename(paths[1])})`,
  }, fileDifferences(a.file, b.file), { notes }));
  return page;
}

type Read = Awaited<ReturnType<typeof siteFileWithRain>>;
