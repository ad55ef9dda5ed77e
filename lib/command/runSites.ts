import { basename } from "node:path";
import { pageProgram } from "../node/pageProgram.ts";
import { UserFault } from "../node/userFault.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import { type PageLink, sitePage } from "../report/sitePage.ts";
import { shortTable, table } from "../report/table.ts";
import type { Run } from "../simulate/run.ts";
import { settledRun } from "../simulate/settledRun.ts";
import type { Site } from "../site/site.ts";
import { InputError } from "../text/problem.ts";
import { YEAR } from "../text/unitTable.ts";
import { type Beside, besideFile } from "./beside.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { writeWhole, exists } from "./files.ts";
import { reportPath, reportPaths } from "./reportPaths.ts";
import { runStorms, siteRain, type StormRuns } from "./siteRain.ts";
import { siteFileWithRain } from "./siteWithRain.ts";

/** Tells what is under way; says nothing as long as all is quick. */
type Progress = (what: string) => void;

/**
 * Progress on stderr: a line when more than a second has gone by since the start or since the last line.
 *
 * @param now  a clock [ms]
 */
export function progress(console: Console, now: () => number = Date.now): Progress {
  let told = now();
  return (what) => {
    if (now() - told < QUICK_MS) return;
    told = now();
    console.err(`… ${what}\n`);
  };
}

const QUICK_MS = 1000;

/**
 * Runs every storm of every site: a table to the terminal, a page a site, the paths of the pages last. A site
 * that cannot be run is reported on stderr and has no page; the others are made all the same. A storm whose run stops is told on
 * stderr and in the report of its site's other storms.
 *
 * @param paths   of site files
 * @param folder  for the reports
 * @param run     runs a storm
 * @returns       the exit status: 1 when any site or storm could not be run
 */
export async function runSites(
  paths: readonly string[], folder: string, console: Console, { isWasm, isFull, isPlain = false, allowOutside = false }: SitesOptions,
  run: RunStorm = settledRun,
): Promise<number> {
  const tell = progress(console);
  const program = isPlain ? null : pageProgram("page", isWasm);
  const pages = reportPaths(paths, folder);
  const made: {
    readonly path: string; readonly page: string; readonly told: string; readonly text: (links: readonly PageLink[]) => string;
  }[] = [];
  const written: string[] = [];
  let failed = false;
  const tellFault = (path: string, error: unknown): void => {
    failed = true;
    console.err(`${faultText(path, error)}\n`);
  };
  for (const [i, path] of paths.entries()) {
    try {
      const { file, rains, storms, stopped, first } = await runSite(path, besideFile(path, allowOutside), tell, run);
      for (const { name, why } of stopped) console.err(`${path}: storm ${JSON.stringify(name)}: ${why}\n`);
      if (stopped.length > 0) failed = true;
      if (storms.length === 0) continue;
      const live = program === null ? {} : { live: { file, rains, shown: first, program } };
      made.push({
        path, page: pages[i]!, told: (isFull ? table : shortTable)(storms, stopped),
        text: (links) => sitePage(storms, { stopped, links, ...live }),
      });
    } catch (error) {
      tellFault(path, error);
    }
  }
  // only now is it known which of them have a page to link to
  for (const { path, page, text, told } of made) {
    try {
      tell(`${path}: writing the page`);
      await writeWhole(page, text(await pageLinks(page, made.map((each) => each.page))));
      console.out(`${told}\n`);
      if (page !== reportPath(path, folder)) console.err(`${path}: its report is ${page}, as another site file has the same name.\n`);
      written.push(page);
    } catch (error) {
      tellFault(path, error);
    }
  }
  if (written.length > 0 && !isFull) console.out("The whole table of a site: --full, or its page.\n");
  for (const path of written) console.out(`${path}\n`);
  return failed ? 1 : 0;
}

interface SitesOptions {
  /** whether pages step in WebAssembly; else their stepper is script, for browsers that forbid it */
  readonly isWasm: boolean;
  /** whether pages are made without a program */
  readonly isPlain?: boolean;
  /** whether the terminal gets the whole table, or six lines a site */
  readonly isFull: boolean;
  /** whether files outside the folder of a site file are read for it */
  readonly allowOutside?: boolean;
}

type RunStorm = (site: Site, rain: Hyetograph) => Run;

/** A site file as it was written, the rain of its storms, and what became of them. */
interface SiteRuns extends StormRuns {
  readonly file: unknown;
  readonly rains: readonly { readonly name: string; readonly rain: Hyetograph; readonly isRecorded: boolean }[];
}

async function runSite(path: string, beside: Beside, tell: Progress, run: RunStorm): Promise<SiteRuns> {
  const { site, file } = await siteFileWithRain(path, beside);
  if (site.storms.length === 0) {
    throw new UserFault(`${path}: expected storms to run, got none; give it some, such as "storms": [{ "name": "wet day", "pattern": "nrcs-ii", "depth": "3 in" }]`, "missing");
  }
  const made = await siteRain(site.storms, beside);
  made.forEach(({ rain }, i) => { refuseRecord(rain, `${path}: storms[${i}]`); });
  const runs = runStorms(site, made, (rain, name) => {
    tell(`${path}: ${name}`);
    try {
      return run(site, rain);
    } catch (error) {
      if (error instanceof InputError) throw new UserFault(`${path}: storm ${JSON.stringify(name)}: ${error.message}`);
      throw error;
    }
  });
  const rains = site.storms.map(({ name, options }, i) => ({ name, rain: made[i]!.rain, isRecorded: "file" in options }));
  return { ...runs, file, rains };
}

/** Years of rain are many storms, and one picture of all says nothing of each. */
export function refuseRecord({ time }: Hyetograph, where: string): void {
  const years = (time.at(-1)! - time[0]!) / YEAR;
  if (years <= LONGEST) return;
  throw new UserFault(`${where}: expected a storm of ${LONGEST} years at most, got ${Math.round(years)} years of rain, which are a record of many storms; `
    + 'ask how often its water comes in the years: "studies": { "often": { "record": { "file": … } } }, and soakstep decide --only often');
}

/** [years] */
const LONGEST = 2;

/** The pages that lie beside a site's page: what was decided, its sheets, what was measured, and the sites that were asked for with it. */
async function pageLinks(page: string, sisters: readonly string[]): Promise<PageLink[]> {
  const links: PageLink[] = [];
  for (const [suffix, words] of BESIDE) {
    const path = page.replace(/\.html$/, `${suffix}.html`);
    if (await exists(path)) links.push({ words, href: hrefOf(path) });
  }
  return [...links, ...sisters.filter((path) => path !== page).map((path) => ({ words: basename(path, ".html"), href: hrefOf(path) }))];
}

const BESIDE: readonly (readonly [suffix: string, words: string])[] = [
  ["-decide", "what to decide"], ["-sheets", "sheets for the site"], ["-measured", "what was measured"],
];

/** The address of a file in the same folder. */
function hrefOf(path: string): string {
  return encodeURIComponent(basename(path));
}
