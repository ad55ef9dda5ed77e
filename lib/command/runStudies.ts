import { basename, join, dirname, isAbsolute, relative, resolve } from "node:path";
import { readFile } from "node:fs/promises";
import { studyFile } from "../node/studyFile.ts";
import { UserFault } from "../node/userFault.ts";
import { designPart } from "../report/designPart.ts";
import { hangsOnPart } from "../report/hangsOnPart.ts";
import { moneyPart } from "../report/moneyPart.ts";
import { sizePart } from "../report/sizePart.ts";
import { withPart } from "../report/withPart.ts";
import type { PagePart } from "../report/pagePart.ts";
import { failedPart, notePart, stoppedPart, studyPage } from "../report/studyPage.ts";
import { parseJson } from "../schema/parseJson.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { readSite } from "../site/readSite.ts";
import { often } from "../study/often.ts";
import { ShareMade, type StudyOptions } from "../study/runStudy.ts";
import type { Sizing } from "../study/size.ts";
import { withByDuration } from "../study/withWorks.ts";
import { worksOptions } from "../study/worksOptions.ts";
import { changedSite } from "../site/changedSite.ts";
import { jsonWith } from "../text/jsonText.ts";
import { withFoundSoil } from "../dips/pitLife.ts";
import { besideFile, type Beside } from "./beside.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { writeWhole, readText, writeTogether } from "./files.ts";
import { openPool, openStore, shareOption, sharePath, shareSentence, withNote, type ManyOptions, type OpenPool } from "./manyMachines.ts";
import { progressBar } from "./progressBar.ts";
import { reportPath } from "./reportPaths.ts";
import { runStorms, siteRain } from "./siteRain.ts";
import { siteWithTables, siteFileWithRain } from "./siteWithRain.ts";
import { oftenOptionsOf, readyStudies, type StudyName } from "./studies.ts";
import { comparePage, comparePart } from "../report/comparePage.ts";
import { compareAnswer } from "../figures/compareAnswer.ts";
import { compare, fileDifferences, type CompareOptions } from "../study/compare.ts";
import type { Site } from "../site/site.ts";
import { fileOfVariant } from "../site/variants.ts";
import { sizedText } from "../study/sizedText.ts";

/**
 * Decides about one site, or compares two, on all cores: the answers to the terminal, a page a site, and every row in a CSV file as soon
 * as it is
 * made. Ctrl-C finishes what is under way and keeps it; the same command then goes on from there.
 *
 * @param names   of the studies; "all" for every one that the site file asks for
 * @param paths   of one site file, or of two to be compared
 * @param folder  for pages and rows
 * @param how     makes the signal that stops the studies; whether files outside the folder of a site file are read for it
 * @returns       the exit status: 1 when a site could not be studied, 130 when it was stopped
 */
export async function runStudies(
  names: readonly StudyName[] | "all", paths: readonly string[], folder: string, console: Console,
  { stop, allowOutside, ...many }: { readonly stop: () => AbortSignal; readonly allowOutside: boolean } & ManyOptions,
): Promise<number> {
  if (paths.length === 0) {
    console.err(`decide: expected a site file, got none; data/ has some to copy\n`);
    return 1;
  }
  if (paths.length > 2 || (paths.length === 2 && names !== "all")) {
    console.err(paths.length > 2 ? `decide: expected one site file, or two to compare, got ${paths.length}\n`
      : "decide: expected one site file with --only, got two; two files are always compared in full\n");
    return 1;
  }
  const signal = stop();
  const written: string[] = [];
  let status = 0;
  let pool: OpenPool | null = null;
  try {
    const share = shareOption(many.share);
    const store = await openStore(many);
    pool = await openPool(many, console);
    const how = { pool, signal, ...(share === undefined ? {} : { share }) };
    if (paths.length === 2) {
      try {
        written.push(await runCompare([paths[0]!, paths[1]!], folder, console, allowOutside, { pool, signal }));
      } catch (error) {
        status = signal.aborted ? 130 : 1;
        console.err(`${signal.aborted ? `${paths.join(" against ")}: stopped` : faultText(`${paths.join(" against ")}`, error)}\n`);
      }
      paths = [];
    }
    for (const path of paths) {
      try {
        const { page, failed, saved } = await studySite(names, path, besideFile(path, allowOutside), folder, console, how);
        for (const each of page) written.push(each);
        if (saved !== null) written.push(saved);
        if (failed) status = 1;
      } catch (error) {
        status = signal.aborted ? 130 : 1;
        const kept = `${path}: stopped; what was made is kept in ${folder}, and the same command goes on from there`;
        console.err(`${signal.aborted ? kept : faultText(path, error)}\n`);
        if (signal.aborted) break;
      }
    }
    const isShare = (path: string): boolean => share !== undefined && path.endsWith(".csv");
    for (const each of await store(written.flatMap((path) => (isShare(path) ? withNote(path) : [path])))) written.push(each);
  } catch (error) {
    for (const path of written) console.out(`${path}\n`);
    console.err(`${faultText("decide", error)}\n`);
    return 1;
  } finally {
    await pool?.close();
  }
  for (const path of written) console.out(`${path}\n`);
  return status;
}

/**
 * A study that fails leaves the others their page, which says so in its place; if all fail no page is written, nor is one of shares.
 *
 * @returns  the paths of its page, of shares those of their rows, and whether a study or a storm failed
 */
async function studySite(
  names: readonly StudyName[] | "all", path: string, beside: Beside, folder: string, console: Console,
  how: Pick<StudyOptions, "signal" | "share"> & { readonly pool: OpenPool },
): Promise<{ readonly page: readonly string[]; readonly failed: boolean; readonly saved: string | null }> {
  const { site: measured, notes } = await siteMeasured(path, beside);
  const drawn = await siteWithTables(measured, beside);
  const asked = names === "all" ? STUDY_ORDER.filter((name) => (drawn.studies?.[name] ?? null) !== null) : names;
  if (asked.length === 0) {
    throw new UserFault(`${path}: expected studies to make, got none; give the file some, such as "studies": { "sure": { "conductivityWithin": 3 } }`, "missing");
  }
  const parts: PagePart[] = [];
  const faults: unknown[] = [];
  const shares: string[] = [];
  /** Makes parts of the page with a bar and a file of rows; a study that fails has its place on the page. */
  const make = async (name: StudyName | "money" | "variants", part: (told: StudyOptions) => Promise<readonly PagePart[]>): Promise<void> => {
    const bar = progressBar(console, () => `${path}: ${name}${how.pool.who()}`);
    const rows = join(folder, `${stemOf(path)}-${name}.csv`);
    const told: StudyOptions = { ...how, onRows: (_, rows, count) => { bar.tell(rows, count); } };
    const before = parts.length;
    try {
      for (const each of await part(storedIn(sharePath(rows, how.share), told, console))) parts.push(each);
    } catch (error) {
      if (how.signal?.aborted === true) throw error;
      if (error instanceof ShareMade && how.share !== undefined) {
        shares.push(sharePath(rows, how.share));
        console.out(`${shareSentence(rows, how.share)}\n`);
        return;
      }
      faults.push(error);
      parts.push(failedPart(name));
      console.err(`${error instanceof UserFault ? `${path}: ${name}: ${error.message}` : faultText(`${path}: ${name}`, error)}\n`);
    } finally {
      bar.clear();
    }
    for (const { answer } of parts.slice(before)) console.out(`${answer}\n`);
  };
  // all are made ready before any is begun, so that the faults of all are reported together
  const ready = await readyStudies(asked, drawn, beside);
  let chosen: SavedDesign = { site: drawn, path: null };
  let sizing: Sizing | null = null;
  let others = ready.others;
  if (ready.size !== null) {
    await make("size", async (told) => {
      sizing = await ready.size!(told);
      if (sizing.best !== null) chosen = await savedDesign(path, drawn, sizing.best.site, folder, beside, (text) =>
        siteWithTables(readSite(text), beside));
      return [designPart(sizing, chosen.site, chosen.path), sizePart(sizing)];
    });
    // what follows is about the chosen design
    if (chosen.site !== drawn) ({ others } = await readyStudies(asked.filter((name) => name !== "size"), chosen.site, beside));
  }
  const left = asked.filter((name) => name !== "size");
  for (const [i, makePart] of others.entries()) await make(left[i]!, async (told) => [await makePart(told)]);
  const { prices } = chosen.site;
  if (names === "all" && shares.length === 0 && prices !== null && !("file" in prices)) {
    await make("money", async (told) => {
      const years = (drawn.studies?.often ?? null) === null ? null : await oftenOptionsOf(chosen.site, beside);
      const { store: _, ...unkept } = told;
      return [moneyPart(await worksOptions(sizing, chosen.site, prices, years && ((each) => often(each, years, unkept))), prices)];
    });
  }
  if (names === "all" && shares.length === 0 && chosen.site.variants.length > 0) {
    await make("variants", async ({ store: _, onRows: __, ...unkept }) => {
      const [file, drawnFile] = await Promise.all([chosen.path ?? path, path].map(async (each) => parseJson(await readText(each), [])));
      return comparedVariants({ site: chosen.site, file }, drawnFile, beside, unkept);
    });
  }
  if (shares.length > 0) return { page: shares, failed: faults.length > 0, saved: null };
  for (const note of notes) {
    console.out(`${note}\n`);
    parts.push(notePart(note));
  }
  if (faults.length === asked.length) throw new UserFault(`${path}: none of the studies could be made`);
  const { site } = chosen;
  const { storms, stopped } = names !== "all" ? { storms: [], stopped: [] }
    : runStorms(site, await siteRain(site.storms, beside), (rain) => settledRun(site, rain));
  for (const { name, why } of stopped) console.err(`${path}: storm ${JSON.stringify(name)}: ${why}\n`);
  if (storms.length > 0) parts.push(withPart(storms, withByDuration(site)), hangsOnPart(storms));
  for (const storm of stopped) parts.push(stoppedPart(storm));
  const page = reportPath(path, folder, names === "all" ? "-decide" : `-${asked.join("-")}`);
  await writeWhole(page, studyPage(site, parts));
  return { page: [page], failed: faults.length + stopped.length > 0, saved: chosen.path };
}

/** The order of a page: the size and its reason, the storms that decide it, how sure, how often. */
export const STUDY_ORDER: readonly StudyName[] = ["size", "sweep", "sure", "often"];

/** A study of a site has one file of rows: those of the study as it was before a change make place, which is said. */
function storedIn(path: string, how: StudyOptions, console: Console): StudyOptions {
  const onOther = (): void => {
    console.err(`${path}: its rows came from another version of the study, of soakstep or of Node; they are replaced\n`);
  };
  return { ...how, store: (study) => studyFile(path, study, { onOther }) };
}

function stemOf(path: string): string {
  return basename(path).replace(/\.json$/i, "");
}

/**
 * Compares the designs of two site files on one page, `<a>-against-<b>.html`: in the storms that both have, or else in those of the first,
 * with the doubts of the first one's `studies.sure`.
 *
 * @returns  the path of the page
 */
async function runCompare(
  paths: readonly [a: string, b: string], folder: string, console: Console, allowOutside: boolean, how: Pick<StudyOptions, "pool" | "signal">,
): Promise<string> {
  const [a, b] = await Promise.all(paths.map((path) => siteMeasured(path, besideFile(path, allowOutside)))) as [Read, Read];
  const alike = a.site.storms.filter((storm) => b.site.storms.some((other) => JSON.stringify(other) === JSON.stringify(storm)));
  const chosen = alike.length > 0 ? alike : a.site.storms;
  const rains = await siteRain(chosen, besideFile(paths[0], allowOutside));
  const options: CompareOptions = { ...doubtsToCompare(a.site), storms: chosen.map(({ name }, i) => ({ name, rain: rains[i]!.rain })) };
  const comparison = await compare(a.site, b.site, options, how);
  console.out(`${compareAnswer(comparison)}\n`);
  const [nameA, nameB] = paths.map((path) => basename(path).replace(/\.json$/i, "")) as [string, string];
  const page = reportPath(`${nameA}-against-${nameB}`, folder);
  const notes = [
    ...(alike.length > 0 ? [] : ["The two files have no storm alike: both are run in the storms of A."]),
    ...a.notes.map((note) => `${nameA}: ${note}`), ...b.notes.map((note) => `${nameB}: ${note}`),
  ];
  await writeWhole(page, comparePage(comparison, {
    a: `${a.site.name} (${basename(paths[0])})`, b: `${b.site.name} (${basename(paths[1])})`,
  }, fileDifferences(a.file, b.file), { notes }));
  return page;
}

/** The doubts that a file's `sure` has, as a comparison takes them. */
function doubtsToCompare({ studies }: Site): CompareOptions {
  const { storm: _, until: __, moments: ___, ...doubts } = { ...studies?.sure } as Record<string, unknown>;
  return doubts;
}

/**
 * The variants of a file beside the design that a page is about, a part of it each: the same storms, the same draws.
 *
 * @param chosen  the design, and its file as JSON.parse makes it
 * @param drawn   the file that has the variants
 */
async function comparedVariants(
  chosen: { readonly site: Site; readonly file: unknown }, drawn: unknown, beside: Beside, how: Pick<StudyOptions, "pool" | "signal">,
): Promise<PagePart[]> {
  const { site } = chosen;
  const rains = await siteRain(site.storms, beside);
  const storms = site.storms.map(({ name }, i) => ({ name, rain: rains[i]!.rain }));
  const parts: PagePart[] = [];
  for (const [i, variant] of site.variants.entries()) {
    const file = fileOfVariant(drawn, variant);
    // what was measured is of the ground of both
    const comparison = await compare(site, changedSite(readSite(file), { diary: site.diary }), { ...doubtsToCompare(site), storms }, how);
    const { variants: _, ...own } = chosen.file as Readonly<Record<string, unknown>>;
    parts.push(comparePart(comparison, { a: "the design of this page", b: variant.name }, fileDifferences(own, file), `variant-${i + 1}`));
  }
  return parts;
}

type Read = Awaited<ReturnType<typeof siteMeasured>>;

/** As `siteFileWithRain`, with what fill tests of its diary found; of those that are not counted a sentence each. */
async function siteMeasured(path: string, beside: Beside): Promise<{
  readonly site: Site; readonly file: unknown; readonly notes: readonly string[];
}> {
  const { site, file } = await siteFileWithRain(path, beside);
  return { file, ...withFoundSoil(file, site) };
}

/** A chosen design as a site that was read from its own file. */
interface SavedDesign {
  /** as read from the written text, so that what is said of it is said of the file */
  readonly site: Site;
  /** where it was written; null where the file has that design already */
  readonly path: string | null;
}

/**
 * Writes the site file of a chosen design into a folder, `<name>-sized.json`, with the files of rain that it names beside it, so that it
 * runs from there; and reads it back.
 *
 * @param path    of the site file
 * @param drawn   as it was read
 * @param sized   the chosen design
 * @param beside  finds the files that the site file names
 * @param read    makes a site of a text as `drawn` was made
 */
async function savedDesign(
  path: string, drawn: Site, sized: Site, folder: string, beside: Beside, read: (text: string) => Promise<Site>,
): Promise<SavedDesign> {
  const before = await readText(path);
  const resized = sizedText(before, drawn, sized);
  if (resized === before) return { site: drawn, path: null };
  // dips were read in the works as they stand, of which the sized file tells no more: it has what they found
  const lacking = readSite(before).diary.map((entry, i) => entry["found"] === undefined && drawn.diary[i]!["found"] !== undefined);
  const text = jsonWith(resized, drawn.diary.flatMap(({ found }, i) => (lacking[i] === true ? [{ path: ["diary", i, "found"], value: found }] : [])));
  const site = await read(text);
  const to = join(folder, `${basename(path).replace(/\.json$/i, "")}-sized.json`);
  const named: { path: string; text: string }[] = [];
  for (const name of filesNamed(JSON.parse(text.replace(/^\uFEFF/, "")))) {
    const found = await beside(name);
    const copy = resolve(folder, name);
    const isBelow = !/^\.\.([\\/]|$)/.test(relative(folder, copy)) && !isAbsolute(relative(folder, copy));
    if ("path" in found && isBelow && copy !== resolve(dirname(path), name)) named.push({ path: copy, text: await readFile(found.path, "utf8") });
  }
  await writeTogether([...named, { path: to, text }]);
  return { site, path: to };
}

/** Every name under a key `file`, wherever it stands: files of rain, of a storm, a table or a record. */
function filesNamed(part: unknown): string[] {
  if (typeof part !== "object" || part === null) return [];
  const names = Object.entries(part).flatMap(([key, value]) => (key === "file" && typeof value === "string" ? [value] : filesNamed(value)));
  return [...new Set(names)];
}
