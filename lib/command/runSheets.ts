import { join } from "node:path";
import { libraryCommit, libraryVersion } from "../node/thisBuild.ts";
import { UserFault } from "../node/userFault.ts";
import { crewPaper } from "../report/papers/crewPaper.ts";
import { inspectPaper } from "../report/papers/inspectPaper.ts";
import { orderCsv } from "../report/papers/buying.ts";
import { ownerPaper } from "../report/papers/ownerPaper.ts";
import { paperFrame, type Sheet } from "../report/papers/paperFrame.ts";
import { languages, type Language, type PhraseKey } from "../report/papers/phrases.ts";
import { quotePaper } from "../report/papers/quotePaper.ts";
import { languageOf, readerOf, type Reader } from "../report/papers/reader.ts";
import { regionTaken } from "../site/region.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { shownIn } from "../site/shownIn.ts";
import type { Site } from "../site/site.ts";
import { often } from "../study/often.ts";
import type { StudyOptions } from "../study/runStudy.ts";
import { size } from "../study/size.ts";
import { worksOptions } from "../study/worksOptions.ts";
import { describe } from "../text/describe.ts";
import type { UnitSystem } from "../text/format.ts";
import { nearest } from "../text/nearest.ts";
import { besideFile, type Beside } from "./beside.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { writeTogether, type Written } from "./files.ts";
import { withThreads } from "./manyMachines.ts";
import { packageOf } from "./packageFile.ts";
import { reportPaths } from "./reportPaths.ts";
import { siteRain } from "./siteRain.ts";
import { siteWithRain, siteWithTables } from "./siteWithRain.ts";
import { oftenOptionsOf, sizeOptionsOf } from "./studies.ts";

/** How papers are asked for. */
export interface SheetsOptions {
  readonly allowOutside: boolean;
  /** in place of that of the site */
  readonly language?: string | undefined;
  readonly units?: string | undefined;
  /** `2026-11-29`; today where missing */
  readonly date?: string;
}

/**
 * Writes the papers of sites for one reader, or a folder of all with the order list as CSV.
 *
 * @param words  the reader, then the paths of site files
 * @returns      the exit status: 1 when a paper could not be made
 */
export async function runSheets(words: readonly string[], folder: string, console: Console, options: SheetsOptions): Promise<number> {
  const [reader, ...paths] = words;
  const fault = wordsFault(reader, paths, options);
  if (fault !== null) {
    console.err(`${fault}\n`);
    return 1;
  }
  const asked = reader === "all" ? Object.keys(PAPERS) : [reader!];
  const places = reportPaths(paths, folder);
  const written: string[] = [];
  let failed = false;
  for (const [i, path] of paths.entries()) {
    try {
      const files = await papersOf(path, places[i]!, asked, reader === "all", console, options);
      await writeTogether(files);
      for (const file of files) written.push(file.path);
    } catch (error) {
      failed = true;
      console.err(`${faultText(path, error)}\n`);
    }
  }
  for (const path of written) console.out(`${path}\n`);
  return failed ? 1 : 0;
}

function wordsFault(reader: string | undefined, paths: readonly string[], { language, units }: SheetsOptions): string | null {
  const names = [...Object.keys(PAPERS), "all"];
  if (reader === undefined || !names.includes(reader)) {
    const meant = reader === undefined ? null : nearest(reader, names);
    const site = reader !== undefined && /\.json$/i.test(reader) ? `; all of them: soakstep sheets all ${reader}` : "";
    return `sheets: expected a reader, ${meant === null ? `one of ${names.join(", ")}` : `(did you mean "${meant}"?)`}, got ${reader === undefined ? "nothing" : describe(reader)}${site}`;
  }
  if (paths.length === 0) return `sheets ${reader}: expected a site file, got none; data/ has some to copy`;
  if (language !== undefined && !languages.some((each) => each === language)) return `--language: expected one of ${languages.join(", ")}, got ${describe(language)}`;
  if (units !== undefined && units !== "us" && units !== "si") return `--units: expected "us" or "si", got ${describe(units)}`;
  return null;
}

async function papersOf(path: string, place: string, asked: readonly string[], isAll: boolean, console: Console,
  options: SheetsOptions): Promise<Written[]> {
  const beside = besideFile(path, options.allowOutside);
  const date = options.date ?? new Date().toISOString().slice(0, 10);
  const site = await siteWithRain(path, beside);
  const shown = options.units === undefined ? site : shownIn(site, options.units as UnitSystem);
  const language = (options.language ?? site.papers?.language ?? languageOf(site)) as Language;
  const reader = readerOf(language, shown.units, site.writtenIn, regionTaken(site).code);
  const stem = place.replace(/\.html$/, "");
  const where = (name: string): string => (isAll ? join(`${stem}-sheets`, name) : `${stem}-${name}`);
  const files: Written[] = [];
  for (const name of asked) {
    // a quote needs prices, which a site may do without
    if (isAll && name === "quote" && site.prices === null) continue;
    files.push({ path: where(`${name}.html`), text: await PAPERS[name]!({ path, site: shown, reader, date, beside, console }) });
  }
  if (isAll || asked.includes("crew")) files.push({ path: where("order.csv"), text: `\ufeff${orderCsv(shown, reader)}` });
  return files;
}

/** What a paper is made of. */
interface PaperParts {
  readonly path: string;
  /** in the units asked for */
  readonly site: Site;
  readonly reader: Reader;
  readonly date: string;
  readonly beside: Beside;
  readonly console: Console;
}

/** The papers by the word that asks for them, each as the text of its page; `all` makes a folder of them. */
const PAPERS: Readonly<Record<string, (parts: PaperParts) => string | Promise<string>>> = {
  crew: (parts) => framed(parts, "paper.crew", crewPaper(parts.site, parts.reader)),
  review: ({ path, beside, date, console }) => withThreads(path, console, (how) => packageOf(path, beside, date, how)),
  owner: async (parts) => framed(parts, "paper.owner", await ownerSheets(parts), { large: true }),
  inspect: (parts) => framed(parts, "paper.inspect", inspectPaper(parts.site, parts.reader)),
  quote: async (parts) => framed(parts, "paper.quote", await withThreads(parts.path, parts.console, (how) => quoteSheets(parts, how))),
};

async function ownerSheets({ path, site, reader, beside }: PaperParts): Promise<Sheet[]> {
  const [storm] = site.storms;
  if (storm === undefined) throw new UserFault(`${path}: expected a storm to show what the works do, got none; give the file some in "storms"`, "missing");
  const rains = await siteRain([storm], beside);
  return ownerPaper(settledRun(site, rains[0]!.rain), storm.name, reader);
}

/** The designs of a quote are those of `decide`: sized where the file asks for sizes, run through the years where it has some. */
async function quoteSheets({ path, site: shown, reader, beside }: PaperParts, how: StudyOptions): Promise<Sheet[]> {
  const site = await siteWithTables(shown, beside);
  const { prices, studies } = site;
  if (prices === null || "file" in prices) {
    throw new UserFault(`${path}: prices: expected the prices of a yard, such as { "currency": "USD", "stone": { "per": "1 ton", "from": 38, "to": 62 } }, got none; a quote is made of them`, "missing");
  }
  const sizing = (studies?.size ?? null) === null ? null : await size(site, await sizeOptionsOf(site, beside), how);
  const years = (studies?.often ?? null) === null ? null : await oftenOptionsOf(site, beside);
  const chosen = sizing?.best?.site ?? site;
  const options = await worksOptions(sizing, chosen, prices, years && ((each) => often(each, years, how)));
  return quotePaper(options, prices, site, reader);
}

function framed(
  { site, reader, date }: PaperParts, title: PhraseKey, sheets: readonly Sheet[], look: { readonly large?: boolean } = {},
): string {
  return paperFrame(reader, reader.say(title), {
    site: site.name, revision: site.papers?.revision ?? "", date, version: `soakstep ${libraryVersion()} (${libraryCommit()})`,
  }, sheets, look);
}
