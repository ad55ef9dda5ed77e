import { parseJson } from "../schema/parseJson.ts";
import { checkedFileText, checkFile } from "../yard/checkFile.ts";
import type { Problem } from "../text/problem.ts";
import { SiteError } from "../site/readSite.ts";
import { withThreads } from "./manyMachines.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { readText } from "./files.ts";
import { libraryBuild, libraryCommit, libraryVersion } from "../node/thisBuild.ts";
import { UserFault } from "../node/userFault.ts";
import type { PackageFigure } from "../report/papers/packageFigures.ts";
import { describe } from "../text/describe.ts";
import type { StudyOptions } from "../study/runStudy.ts";
import { hashOf, packagePage, packageStudies, type PackageData, type PackageStudy } from "./packageFile.ts";

/**
 * Checks each file by what it is, and writes nothing: of a site file, what its defaults did and what would matter most; a package for
 * review is run again and held against itself, with `--studies` its studies too.
 *
 * @returns  the exit status: 1 when one of them cannot be used, or a package does not hold
 */
export async function runCheck(
  paths: readonly string[], _folder: string, console: Console, { options }: { readonly options: { readonly studies?: boolean } },
): Promise<number> {
  if (paths.length === 0) {
    console.err("check: expected a site file or a package for review, got none\n");
    return 1;
  }
  let faults = 0;
  for (const path of paths) {
    try {
      const text = await readText(path);
      if (isPage(text)) {
        const { holds, lines } = options.studies === true
          ? await withThreads(path, console, (how) => checkPackage(path, text, how)) : await checkPackage(path, text);
        if (!holds) faults++;
        console[holds ? "out" : "err"](`${lines.join("\n")}\n`);
        continue;
      }
      const problems: Problem[] = [];
      const file = parseJson(text, problems);
      if (problems.length > 0) throw new SiteError(problems);
      console.out(checkedFileText(checkFile(file)));
    } catch (error) {
      faults++;
      console.err(`${faultText(path, error)}\n`);
    }
  }
  return faults === 0 ? 0 : 1;
}

/** Whether a text is a page, and no site file; one without a package is refused when it is checked. */
export function isPage(text: string): boolean {
  return /^\ufeff?\s*</.test(text);
}

/** What a check of a package found. */
interface PackageCheck {
  /** whether every figure, and of the same build every word, still holds */
  readonly holds: boolean;
  readonly lines: readonly string[];
}

/**
 * Takes the file out of a package, runs it again and holds the page against what comes out: every figure; and with the library that made
 * it, or one that makes the same page, all that decides what is seen on it: words, tags, drawings, styles. What else is on the page has to
 * be what it carries in any case.
 *
 * @param studied      makes the file's studies again too; null leaves them as the page has them, which is said
 * @throws UserFault   for a page whose data cannot be read
 * @throws InputError  as `readSite` for what was changed in the file inside
 */
export async function checkPackage(path: string, text: string, studied: StudyOptions | null = null): Promise<PackageCheck> {
  const data = dataOf(path, text);
  const { soakstep } = data;
  const studies = studied === null ? data.studies : await packageStudies(data, studied);
  const remade = await packagePage(path, { soakstep, date: data.date, site: data.site, files: data.files, studies });
  const ofStudies = (of: readonly PackageStudy[]): PackageFigure[] => of.flatMap((study) => study.figures);
  // figures of studies that were not made again are no figures that hold
  const again = { page: remade.page, figures: [...remade.figures, ...(studied === null ? [] : ofStudies(studies))] };
  const figures = [...data.figures, ...(studied === null ? [] : ofStudies(data.studies))];
  const left = studied === null ? ofStudies(data.studies).length : 0;
  const not = left === 0 ? [] : [`  Its studies stand as the page carries them, ${left} figures and all that is said of them: --studies computes them again.`];
  const inside = `  The site file inside, SHA-256: ${hashOf(data.site)}`;
  const here = { version: libraryVersion(), commit: libraryCommit(), build: libraryBuild() };
  const same = soakstep.version === here.version && soakstep.commit === here.commit && soakstep.build === here.build;
  const moved = movedFigures(figures, again.figures);
  const made = `made by soakstep ${soakstep.version}, commit ${soakstep.commit}`;
  const mine = same ? "the same" : `this is ${here.version}, commit ${here.commit}`;
  if (moved.length > 0) {
    return { holds: false, lines: [
      `${path}: ${moved.length} of ${again.figures.length} figures ${same ? "are not what the file inside gives" : "moved"} (${made}; ${mine}).`,
      ...moved.map((line) => `  ${line}`),
    ] };
  }
  const marks = marksOf(text);
  const difference = firstDifference(marks, marksOf(again.page));
  if (difference !== null && same) {
    return { holds: false, lines: [`${path}: all ${again.figures.length} figures hold, but the page is not what the file inside makes (${made}; ${mine}).`, `  ${difference}`] };
  }
  const seen = ` ${marks.filter((mark) => !isTag(mark)).join(" ")} `;
  const unseen = figures.filter(({ name, unit, value }) => !seen.includes(` ${[name, unit, value ?? "not reached"].join(" ").split(/\s+/u).filter((word) => word !== "").join(" ")} `));
  if (unseen.length > 0) {
    return { holds: false, lines: [`${path}: the page does not show the figures that it carries.`, ...unseen.slice(0, 20).map(({ name, unit, value }) => `  expected ${name}: ${value ?? "not reached"} ${unit}`)] };
  }
  const what = difference === null ? `and all else on the page is what the file inside makes (${made}; ${mine}).`
    : `the words and drawings of the page are another version's and were not compared (${made}; ${mine}).`;
  return { holds: true, lines: [`${path}: every figure holds (${again.figures.length}), ${what}`, ...not, inside] };
}

function dataOf(path: string, text: string): PackageData {
  const found = /<script[^>]*\bid="package"[^>]*>([\s\S]*?)<\/script>/.exec(text);
  if (found === null) throw new UserFault(`${path}: expected a package that soakstep sheets review made, got a page without one`, "missing");
  let data: unknown;
  try {
    data = JSON.parse(found[1]!);
  } catch (error) {
    throw new UserFault(`${path}: expected the data of a package, got text that is no JSON (${error instanceof Error ? error.message : String(error)})`);
  }
  // packages of before there were studies in them carry none
  const given = { studies: [], ...(typeof data === "object" && data !== null ? data : {}) } as Partial<PackageData>;
  const faults = [
    ...(typeof given.site === "string" ? [] : [["site", "the text of a site file", given.site] as const]),
    ...(typeof given.date === "string" ? [] : [["date", "a date", given.date] as const]),
    ...(isTexts(given.files) ? [] : [["files", "files by name", given.files] as const]),
    ...(isTexts(given.soakstep) && ["version", "commit", "build"].every((key) => key in given.soakstep!) ? [] : [["soakstep", "version, commit and build", given.soakstep] as const]),
    ...(Array.isArray(given.figures) && given.figures.every(isFigure) ? [] : [["figures", "a list of figures", given.figures] as const]),
    ...(Array.isArray(given.studies) && given.studies.every(isStudy) ? [] : [["studies", "a list of studies", given.studies] as const]),
  ];
  if (faults.length > 0) throw new UserFault(`${path}: The package cannot be read:\n${faults.map(([where, expected, got]) => `  ${where}: expected ${expected}, got ${describe(got)}`).join("\n")}`);
  return given as PackageData;
}

function isTexts(value: unknown): boolean {
  return typeof value === "object" && value !== null && Object.values(value).every((each) => typeof each === "string");
}

function isStudy(value: unknown): boolean {
  const { name, section, figures } = (typeof value === "object" && value !== null ? value : {}) as Record<string, unknown>;
  return typeof name === "string" && typeof section === "string" && Array.isArray(figures) && figures.every(isFigure);
}

function isFigure(value: unknown): boolean {
  const { name, unit, value: written } = (typeof value === "object" && value !== null ? value : {}) as Record<string, unknown>;
  return typeof name === "string" && typeof unit === "string" && (written === null || typeof written === "string");
}

/** Figures that are not the same, each with by how much; those that one of the two does not have too. */
function movedFigures(before: readonly PackageFigure[], after: readonly PackageFigure[]): string[] {
  const now = new Map(after.map((figure) => [figure.name, figure]));
  const was = new Map(before.map((figure) => [figure.name, figure]));
  const shown = ({ value, unit }: PackageFigure): string => (value === null ? "not reached" : `${value}${unit === "" ? "" : ` ${unit}`}`);
  return [
    ...after.flatMap((figure) => {
      const old = was.get(figure.name);
      if (old === undefined) return [`${figure.name}: not in the package, now ${shown(figure)}`];
      if (old.value === figure.value && old.unit === figure.unit) return [];
      const by = old.value === null || figure.value === null ? "" : `, by ${Number((Number(figure.value) - Number(old.value)).toPrecision(3))}${figure.unit === "" ? "" : ` ${figure.unit}`}`;
      return [`${figure.name}: ${shown(old)} in the package, now ${shown(figure)}${by}`];
    }),
    ...before.filter(({ name }) => !now.has(name)).map((figure) => `${figure.name}: ${shown(figure)} in the package, no longer computed`),
  ];
}

/** Pieces of a page: a comment, a script, a style, any other tag, and what stands between them. */
const PIECES = /<!--(?:-?>|[\s\S]*?--!?>)|<script\b[\s\S]*?<\/script(?=[\s/>])[^>]*>|<style\b[\s\S]*?<\/style(?=[\s/>])[^>]*>|<[!/]?[a-zA-Z](?:[^"'>]|"[^"]*"|'[^']*')*>|[^<]+|</g;

/** Tags that a browser adds to a page that it saves, or takes out of it. */
const ADDED: ReadonlySet<string> = new Set(["html", "head", "body", "tbody", "meta", "!doctype"]);

/**
 * All that decides what is seen on a page, in its order: every word, every tag with its attributes, every style and script, without the
 * package's own data. What a browser does to a page that it saves is left out: space, comments, quotes and tags that it adds.
 */
function marksOf(page: string): string[] {
  const marks: string[] = [];
  for (const [piece] of page.matchAll(PIECES)) {
    if (piece.startsWith("<!--")) continue;
    const [data] = /^<script\b[^>]*\bid="package"[^>]*>/.exec(piece) ?? [];
    if (data !== undefined) {
      marks.push(`<script ${attributesOf(data.slice("<script".length)).join(" ")}>`);
      continue;
    }
    const [, end, name] = /^<([/]?)([!a-zA-Z][^\s/>]*)/.exec(piece) ?? [];
    if (name === undefined || /^(?:script|style)$/i.test(name)) {
      for (const word of wordsIn(decoded(piece))) marks.push(word);
    } else if (!ADDED.has(name.toLowerCase()) && !(end === "/" && marks.at(-1)?.startsWith(`<${name} `) === true)) {
      // <path></path> is <path/>
      marks.push(end === "/" ? `</${name}>` : `<${name} ${attributesOf(piece.slice(1 + name.length)).join(" ")}>`);
    }
  }
  return marks;
}

/** The attributes of a tag in their order, however they are quoted. */
function attributesOf(tag: string): string[] {
  return [...tag.matchAll(/([^\s"'=<>/]+)(?:\s*=\s*(?:"([^"]*)"|'([^']*)'|([^\s"'>]+)))?/g)]
    .map(([, name, double, single, bare]) => `${name!}=${JSON.stringify(wordsIn(decoded(double ?? single ?? bare ?? "")).join(" "))}`);
}

function wordsIn(text: string): string[] {
  return text.split(/\s+/u).filter((word) => word !== "");
}

function decoded(text: string): string {
  return text.replace(/&#(\d+);/g, (_, code: string) => String.fromCodePoint(Number(code)))
    .replace(/&nbsp;/g, " ").replace(/&quot;/g, '"').replace(/&lt;/g, "<").replace(/&gt;/g, ">").replace(/&amp;/g, "&");
}

function isTag(mark: string): boolean {
  return /^<[/a-zA-Z].*>$/s.test(mark);
}

function firstDifference(page: readonly string[], made: readonly string[]): string | null {
  const most = Math.max(page.length, made.length);
  for (let i = 0; i < most; i++) {
    if (page[i] === made[i]) continue;
    const before = made.slice(0, i).filter((mark) => !isTag(mark)).slice(-6).join(" ");
    const short = (mark: string | undefined): string => (mark === undefined ? "its end" : JSON.stringify(mark.length > 60 ? `${mark.slice(0, 60)}…` : mark));
    return `after "${before}": expected ${short(made[i])}, got ${short(page[i])}`;
  }
  return null;
}
