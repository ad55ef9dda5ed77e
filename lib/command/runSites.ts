import { momentText } from "../figures/hours.ts";
import { UserFault } from "../node/userFault.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import { report } from "../report/report.ts";
import type { StormRun } from "../report/summary.ts";
import { table } from "../report/table.ts";
import type { Run } from "../simulate/run.ts";
import { simulate, StoppedRun } from "../simulate/simulate.ts";
import type { Site } from "../site/site.ts";
import { InputError } from "../units/problem.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { writeWhole } from "./files.ts";
import { plotlySource } from "./plotlySource.ts";
import { progress, type Progress } from "./progress.ts";
import { reportPath, reportPaths } from "./reportPaths.ts";
import { siteRain } from "./siteRain.ts";
import { siteWithRain } from "./siteWithRain.ts";

/**
 * Runs every storm of every site: a table to the terminal, a report, the paths of the reports last. A site
 * that cannot be run is told on stderr and has no report; the others are made all the same.
 *
 * @param paths   of site files
 * @param folder  for the reports
 * @returns      the exit status: 1 when any site could not be run
 */
export async function runSites(paths: readonly string[], folder: string, console: Console): Promise<number> {
  const tell = progress(console);
  const plotly = plotlySource();
  const reports = reportPaths(paths, folder);
  const written: string[] = [];
  for (const [i, path] of paths.entries()) {
    try {
      const storms = await runStorms(path, tell);
      tell(`${path}: writing the report`);
      await writeWhole(reports[i]!, report(storms, { plotly }));
      console.out(`${table(storms)}\n`);
      if (reports[i] !== reportPath(path, folder)) console.err(`${path}: its report is ${reports[i]}, as another site file has the same name.\n`);
      written.push(reports[i]!);
    } catch (error) {
      console.err(`${faultText(path, error)}\n`);
    }
  }
  for (const path of written) console.out(`${path}\n`);
  return written.length === paths.length ? 0 : 1;
}

async function runStorms(path: string, tell: Progress): Promise<StormRun[]> {
  const site = await siteWithRain(path);
  if (site.storms.length === 0) {
    throw new UserFault(`${path}: expected storms to run, got none; give it some, such as "storms": [{ "name": "wet day", "pattern": "nrcs-ii", "depth": "3 in" }]`);
  }
  const rains = await siteRain(site.storms, path);
  return site.storms.map(({ name }, i) => {
    tell(`${path}: ${name}`);
    const { rain, notes } = rains[i]!;
    return { name, run: runStorm(site, rain, `${path}: storm ${JSON.stringify(name)}`), rainNotes: notes };
  });
}

/** @param where  which storm of which site a fault belongs to */
function runStorm(site: Site, rain: Hyetograph, where: string): Run {
  try {
    return simulate(site, rain);
  } catch (error) {
    if (error instanceof InputError) throw new UserFault(`${where}: ${error.message}`);
    if (error instanceof StoppedRun) throw new UserFault(`${where}: the run could not go on at ${momentText(error.time)}: ${error.message}`);
    throw error;
  }
}
