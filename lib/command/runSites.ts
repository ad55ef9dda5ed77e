import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { basename, join } from "node:path";
import { momentText } from "../figures/hours.ts";
import { UserFault } from "../node/userFault.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import { report } from "../report/report.ts";
import type { StormRun } from "../report/summary.ts";
import { table } from "../report/table.ts";
import type { Run } from "../simulate/run.ts";
import { simulate, StoppedRun } from "../simulate/simulate.ts";
import { readSite } from "../site/readSite.ts";
import type { Site } from "../site/site.ts";
import { SiteError } from "../site/siteError.ts";
import { InputError } from "../units/problem.ts";
import type { Console } from "./console.ts";
import { readText, writeWhole } from "./files.ts";
import { lostRain } from "./lostRain.ts";
import { progress, type Progress } from "./progress.ts";
import { siteRain } from "./siteRain.ts";

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

/** The site of a file, whose files of rain are all there; else all that is wrong with either. */
async function siteWithRain(path: string): Promise<Site> {
  const text = await readText(path);
  const problems = await lostRain(text, path);
  let site: Site | null = null;
  try {
    site = readSite(text);
  } catch (error) {
    if (!(error instanceof SiteError)) throw error;
    problems.unshift(...error.problems);
  }
  if (site === null || problems.length > 0) throw new SiteError(problems);
  return site;
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

/** As `reportPath`, told apart where two files have one name, capitals aside. */
function reportPaths(paths: readonly string[], folder: string): string[] {
  const taken = new Set<string>();
  return paths.map((path) => {
    let report = reportPath(path, folder);
    for (let n = 2; taken.has(report.toLowerCase()); n++) report = reportPath(path, folder, `-${n}`);
    taken.add(report.toLowerCase());
    return report;
  });
}

/** <folder>/<name of the site file>.html */
function reportPath(path: string, folder: string, suffix: string = ""): string {
  const stem = basename(path).replace(/\.json$/i, "") || "site";
  return join(folder, `${stem}${suffix}.html`);
}

function plotlySource(): string {
  return readFileSync(createRequire(import.meta.url).resolve("plotly.js-basic-dist-min"), "utf8");
}

/** What a person can put right is told in words; anything else is a fault of the program's own and keeps its stack. */
function faultText(path: string, error: unknown): string {
  if (error instanceof UserFault) return error.message;
  if (error instanceof InputError) return `${path}: ${error.message}`;
  return `${path}: the run failed, which is a fault of soakstep and not of the site file. ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`;
}
