import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { basename, join } from "node:path";
import { momentText } from "../figures/hours.ts";
import { report } from "../report/report.ts";
import type { StormRun } from "../report/summary.ts";
import { table } from "../report/table.ts";
import type { Run } from "../simulate/run.ts";
import { simulate, StoppedRun } from "../simulate/simulate.ts";
import { readSite } from "../site/readSite.ts";
import type { Site, StormChoice } from "../site/site.ts";
import { InputError } from "../units/problem.ts";
import type { Console } from "./console.ts";
import { readText, UserFault, writeWhole } from "./files.ts";
import { progress, type Progress } from "./progress.ts";
import { stormRain } from "./stormRain.ts";

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
      const storms = await runStorms(path, tell, console);
      tell(`${path}: writing the report`);
      await writeWhole(reports[i]!, report(storms, { plotly }));
      console.out(`${table(storms)}\n`);
      written.push(reports[i]!);
    } catch (error) {
      console.err(`${faultText(path, error)}\n`);
    }
  }
  for (const path of written) console.out(`${path}\n`);
  return written.length === paths.length ? 0 : 1;
}

async function runStorms(path: string, tell: Progress, console: Console): Promise<StormRun[]> {
  const site = readSite(await readText(path));
  if (site.storms.length === 0) {
    throw new UserFault(`${path}: expected storms to run, got none; give it some, such as "storms": [{ "name": "wet day", "pattern": "nrcs-ii", "depth": "3 in" }]`);
  }
  const storms: StormRun[] = [];
  for (const storm of site.storms) {
    tell(`${path}: ${storm.name}`);
    storms.push({ name: storm.name, run: await runStorm(site, storm, path, console) });
  }
  return storms;
}

/** A storm's faults say which storm of which site they belong to. */
async function runStorm(site: Site, storm: StormChoice, path: string, console: Console): Promise<Run> {
  const where = `${path}: storm ${JSON.stringify(storm.name)}`;
  try {
    return simulate(site, await stormRain(storm, path, (note) => console.err(`${note}\n`)));
  } catch (error) {
    if (error instanceof InputError || error instanceof UserFault) throw new UserFault(`${where}: ${error.message}`);
    if (error instanceof StoppedRun) throw new UserFault(`${where}: the run could not go on at ${momentText(error.time)}: ${error.message}`);
    throw error;
  }
}

/** <folder>/<name of the site file>.html, told apart where two files have one name, capitals aside. */
function reportPaths(paths: readonly string[], folder: string): string[] {
  const taken = new Set<string>();
  return paths.map((path) => {
    const stem = basename(path).replace(/\.json$/i, "") || "site";
    let name = stem;
    for (let n = 2; taken.has(name.toLowerCase()); n++) name = `${stem}-${n}`;
    taken.add(name.toLowerCase());
    return join(folder, `${name}.html`);
  });
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
