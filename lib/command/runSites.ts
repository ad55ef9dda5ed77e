import { readFileSync } from "node:fs";
import { momentText } from "../units/hours.ts";
import { UserFault } from "../node/userFault.ts";
import { YEAR } from "../units/year.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import { livePage } from "../report/livePage.ts";
import { report } from "../report/report.ts";
import type { StormRun } from "../report/summary.ts";
import { table } from "../report/table.ts";
import type { Run } from "../simulate/run.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { StoppedRun } from "../simulate/simulate.ts";
import type { Site } from "../site/site.ts";
import { InputError } from "../units/problem.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { writeWhole } from "./files.ts";
import { plotlySource } from "../node/plotlySource.ts";
import { progress, type Progress } from "./progress.ts";
import { reportPath, reportPaths } from "./reportPaths.ts";
import { siteRain } from "./siteRain.ts";
import { siteFileWithRain } from "./siteWithRain.ts";

/**
 * Runs every storm of every site: a table to the terminal, a report with its live page, the paths of the reports last. A site
 * that cannot be run is told on stderr and has no report; the others are made all the same.
 *
 * @param paths   of site files
 * @param folder  for the reports
 * @param isWasm  whether live pages step in WebAssembly; else their stepper is script, for browsers that forbid it
 * @returns      the exit status: 1 when any site could not be run
 */
export async function runSites(paths: readonly string[], folder: string, console: Console, isWasm: boolean = true): Promise<number> {
  const tell = progress(console);
  const plotly = plotlySource();
  const program = liveProgram(isWasm);
  const reports = reportPaths(paths, folder);
  const written: string[] = [];
  for (const [i, path] of paths.entries()) {
    try {
      const { file, storms } = await runStorms(path, tell);
      tell(`${path}: writing the report`);
      await writeWhole(reports[i]!, report(storms, { plotly }));
      await writeWhole(livePath(reports[i]!), livePage({ file, storms, run: storms[0]!.run, plotly, program, isWasm }));
      console.out(`${table(storms)}\n`);
      if (reports[i] !== reportPath(path, folder)) console.err(`${path}: its report is ${reports[i]}, as another site file has the same name.\n`);
      written.push(reports[i]!);
    } catch (error) {
      console.err(`${faultText(path, error)}\n`);
    }
  }
  if (written.length > 0) console.out("Beside each report lies its live page, the same name with .live.html.\n");
  for (const path of written) console.out(`${path}\n`);
  return written.length === paths.length ? 0 : 1;
}

/** A site file as it was written, and its storms as they ran. */
interface SiteRuns {
  readonly file: unknown;
  readonly storms: readonly (StormRun & { readonly rain: Hyetograph; readonly isRecorded: boolean })[];
}

async function runStorms(path: string, tell: Progress): Promise<SiteRuns> {
  const { site, file } = await siteFileWithRain(path);
  if (site.storms.length === 0) {
    throw new UserFault(`${path}: expected storms to run, got none; give it some, such as "storms": [{ "name": "wet day", "pattern": "nrcs-ii", "depth": "3 in" }]`);
  }
  const rains = await siteRain(site.storms, path);
  const storms = site.storms.map(({ name, options }, i) => {
    tell(`${path}: ${name}`);
    const { rain, notes } = rains[i]!;
    refuseRecord(rain, `${path}: storms[${i}]`);
    const run = runStorm(site, rain, `${path}: storm ${JSON.stringify(name)}`);
    return { name, run, rainNotes: notes, rain, isRecorded: "file" in options };
  });
  return { file, storms };
}

/** Years of rain are many storms, and one picture of all says nothing of each. */
function refuseRecord({ time }: Hyetograph, where: string): void {
  const years = (time.at(-1)! - time[0]!) / YEAR;
  if (years <= LONGEST) return;
  throw new UserFault(`${where}: expected a storm of ${LONGEST} years at most, got ${Math.round(years)} years of rain, which are a record of many storms; `
    + 'ask how often its water comes in the years: "studies": { "often": { "record": { "file": … } } }, and npm start -- often');
}

/** [years] */
const LONGEST = 2;

/** @param where  which storm of which site a fault belongs to */
function runStorm(site: Site, rain: Hyetograph, where: string): Run {
  try {
    return settledRun(site, rain);
  } catch (error) {
    if (error instanceof InputError) throw new UserFault(`${where}: ${error.message}`);
    if (error instanceof StoppedRun) throw new UserFault(`${where}: the run could not go on at ${momentText(error.time)}: ${error.message}`);
    throw error;
  }
}

/** Beside a report, under its name. */
function livePath(report: string): string {
  return report.replace(/\.html$/, ".live.html");
}

/** The program of the live page, bundled by the build; lib and dist lie side by side. */
function liveProgram(isWasm: boolean): string {
  return readFileSync(new URL(`../../dist/live/${isWasm ? "page" : "scriptPage"}.js`, import.meta.url), "utf8");
}
