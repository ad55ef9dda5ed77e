import { createHash } from "node:crypto";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { extname, join } from "node:path";
import { libraryBuild, libraryCommit, libraryVersion } from "../node/thisBuild.ts";
import { UserFault } from "../node/userFault.ts";
import { gridCellText } from "../rain/storms/frequencyGrid.ts";
import { paperFrame } from "../report/papers/paperFrame.ts";
import { packageFigures, type PackageFigure } from "../report/papers/packageFigures.ts";
import { readerOf } from "../report/papers/reader.ts";
import { reviewPaper } from "../report/papers/reviewPaper.ts";
import { html, scriptData, trusted } from "../report/markup.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { parseJson } from "../schema/parseJson.ts";
import { readSite } from "../site/readSite.ts";
import type { Site } from "../site/site.ts";
import type { StudyOptions } from "../study/runStudy.ts";
import { size, type Sizing } from "../study/size.ts";
import { describe } from "../text/describe.ts";
import { namedFile, type Beside } from "./beside.ts";
import { readText } from "./files.ts";
import { gridFiles, siteTable } from "./siteWithRain.ts";
import { refuseRecord } from "./runSites.ts";
import { runStorms, siteRain } from "./siteRain.ts";
import { readyStudies, sizeOptionsOf, type StudyName } from "./studies.ts";

/** What a package carries: all that its figures and words are made of. */
export interface PackageData {
  readonly soakstep: { readonly version: string; readonly commit: string; readonly build: string };
  readonly date: string;
  /** the site file as it was written, and every file that its storms and studies name */
  readonly site: string;
  readonly files: Readonly<Record<string, string>>;
  readonly figures: readonly PackageFigure[];
  /** what the file's studies found, which takes longer to make than all else; empty where it asks for none */
  readonly studies: readonly PackageStudy[];
}

/** A study of the file's own design: its part of the page without pictures, and its figures. */
export interface PackageStudy {
  readonly name: string;
  readonly section: string;
  readonly figures: readonly PackageFigure[];
}

/** Studies that a package makes of a design; what to build is found by `decide`, and its design has a package of its own. */
const STUDIED = ["sweep", "sure", "often"] as const satisfies readonly StudyName[];

/** The package of a site file: one page with the file inside. */
export async function packageOf(path: string, beside: Beside, date: string, how: StudyOptions = {}): Promise<string> {
  const text = await readText(path);
  const files: Record<string, string> = {};
  const site = readSite(text);
  for (const name of namedFiles(site)) files[name] = await readText(await namedFile(path, name, beside));
  const { file, cell } = site.studies?.rainfall ?? {};
  if (typeof file === "string" && file.includes("*")) {
    for (const each of await gridFiles(file, beside)) files[each.name] = gridCellText(each.text, Number(cell));
  }
  const soakstep = { version: libraryVersion(), commit: libraryCommit(), build: libraryBuild() };
  const given = { soakstep, date, site: text, files };
  return (await packagePage(path, { ...given, studies: await packageStudies(given, how) })).page;
}

/** Names of files in what a site file asks for; those of a grid of rain apart, of which its cell's lines alone are carried. */
function namedFiles({ storms, studies }: Site): string[] {
  const named = [...storms.map(({ options }) => options["file"]), studies?.rainfall?.["file"], recordOf(studies?.often?.["record"])];
  return [...new Set(named.filter((each): each is string => typeof each === "string" && !each.includes("*")))];
}

function recordOf(record: unknown): unknown {
  return typeof record === "object" && record !== null && "file" in record ? record.file : undefined;
}

/** What the file's studies find of its design, each made again. */
export async function packageStudies({ site: text, files }: Pick<PackageData, "site" | "files">, how: StudyOptions = {}): Promise<PackageStudy[]> {
  return withFiles(files, async (beside) => {
    const site = await siteTable(readSite(text), beside);
    const names = STUDIED.filter((name) => (site.studies?.[name] ?? null) !== null);
    const { others } = await readyStudies(names, site, beside);
    const made: PackageStudy[] = [];
    for (const [i, make] of others.entries()) {
      const { section, figures } = await make(how);
      made.push({ name: names[i]!, section: withoutPictures(section.markup), figures });
    }
    return made;
  });
}

function withoutPictures(markup: string): string {
  return markup.replace(/<figure>[\s\S]*?<\/figure>\s*/g, "").replaceAll("<details>", "<details open>");
}

/** The page of what a package carries, and its figures, both made again; its studies are those it carries. */
export async function packagePage(path: string, given: Omit<PackageData, "figures">): Promise<{ readonly page: string; readonly figures: readonly PackageFigure[] }> {
  return withFiles(given.files, async (beside) => {
    const site = await siteTable(readSite(given.site), beside);
    if (site.storms.length === 0) throw new UserFault(`${path}: expected storms to run, got none; give it some in "storms"`, "missing");
    const rains = await siteRain(site.storms, beside);
    rains.forEach(({ rain }, i) => { refuseRecord(rain, `${path}: storms[${i}]`); });
    const { storms, stopped } = runStorms(site, rains, (rain) => settledRun(site, rain));
    if (storms.length === 0) throw new UserFault(`${path}: ${stopped.map(({ name, why }) => `storm ${JSON.stringify(name)}: ${why}`).join("; ")}`);
    const figures = packageFigures(site, storms);
    const reader = readerOf(site.units === "us" ? "en-US" : "en-GB", site.units);
    const { revision = "", prepared = "", checked = "" } = site.papers ?? {};
    const { soakstep: { version, commit, build }, date, studies } = given;
    const sheets = reviewPaper({
      site, file: parseJson(given.site, []), text: given.site, storms, stopped, figures, criteria: await criteriaOf(site, beside),
      studies: studies.map(({ name, section, figures: found }) => ({ name, section: trusted(section), figures: found })),
      identity: {
        version, commit, build, date, revision, prepared, checked, hash: hashOf(given.site),
        files: Object.entries(given.files).map(([name, text]) => ({ name, hash: hashOf(text), about: aboutFile(text) })),
      },
    }, reader);
    const data: PackageData = { ...given, figures };
    const page = paperFrame(reader, "for review", { site: site.name, revision, date, version: `soakstep ${version} (${commit})` }, sheets, {
      flows: true, extra: html`<script type="application/json" id="package">${scriptData(data)}</script>`,
    });
    return { page, figures };
  });
}

/** What a file of rain says of itself: name and source of an object, the notes at the head of a table. */
function aboutFile(text: string): string {
  if (!text.trimStart().startsWith("{")) return text.split(/\r?\n/).filter((line) => line.startsWith("#")).map((line) => line.slice(1).trim()).join(" ");
  const { name, source, about } = parseJson(text, []) as { readonly name?: unknown; readonly source?: unknown; readonly about?: unknown };
  return [name, source, about].filter((each) => typeof each === "string").join(". ");
}

/** Does something with the files that a package carries: they lie in a folder of their own meanwhile, under names they did not choose. */
async function withFiles<T>(files: Readonly<Record<string, string>>, use: (beside: Beside) => Promise<T>): Promise<T> {
  const folder = await mkdtemp(join(tmpdir(), "soakstep-package-"));
  try {
    const paths = new Map<string, string>();
    for (const [i, [name, text]] of Object.entries(files).entries()) {
      const path = join(folder, `${i}${/\.json$/i.test(extname(name)) ? ".json" : ".csv"}`);
      await writeFile(path, text);
      paths.set(name, path);
    }
    return await use((name) => {
      const path = paths.get(name);
      return Promise.resolve(path === undefined
        ? { expected: "a file that the package carries", got: `${describe(name)}, which is not inside`, code: "missing" } : { path });
    });
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/** What the file asks for, tried on the design as it is; null where it asks for nothing. */
async function criteriaOf(priced: Site, beside: Beside): Promise<Sizing | null> {
  // a package says nothing of money
  const site: Site = { ...priced, prices: null };
  if ((site.studies?.size ?? null) === null) return null;
  const { rulesOfThumb: _rulesOfThumb, ...asked } = await sizeOptionsOf(site, beside);
  return size(site, { ...asked, steps: { pitWidth: [`${site.chamberBank.width} m`] } });
}

/** SHA-256 of a text in UTF-8, hexadecimal. */
export function hashOf(text: string): string {
  return createHash("sha256").update(text).digest("hex");
}
