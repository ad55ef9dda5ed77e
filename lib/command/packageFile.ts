import { createHash } from "node:crypto";
import { libraryBuild, libraryCommit, libraryVersion } from "../node/thisBuild.ts";
import { UserFault } from "../node/userFault.ts";
import { designStormAt } from "../rain/storms/designStorm.ts";
import { readRain } from "../rain/record/readRain.ts";
import { paperFrame } from "../report/papers/paperFrame.ts";
import { packageFigures, type PackageFigure } from "../report/papers/packageFigures.ts";
import { readerOf } from "../report/papers/reader.ts";
import { reviewPaper } from "../report/papers/reviewPaper.ts";
import { html, scriptData } from "../report/markup.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { parseJson } from "../schema/parseJson.ts";
import { readSite } from "../site/readSite.ts";
import type { Site, StormChoice } from "../site/site.ts";
import { size, type Sizing } from "../study/size.ts";
import { checkSize } from "../study/sizeCases.ts";
import { InputError } from "../text/problem.ts";
import { namedFile, type Beside } from "./beside.ts";
import { readText } from "./files.ts";
import { recordedRain } from "./siteRain.ts";
import { runStorms, type StormRain } from "./siteRain.ts";
import { refuseRecord } from "./runSites.ts";

/** What a package carries: all that its figures and words are made of. */
export interface PackageData {
  readonly soakstep: { readonly version: string; readonly commit: string; readonly build: string };
  readonly date: string;
  /** the site file as it was written, and every file of rain that its storms name */
  readonly site: string;
  readonly files: Readonly<Record<string, string>>;
  readonly figures: readonly PackageFigure[];
}

/** The package of a site file: one page with the file inside. */
export async function packageOf(path: string, beside: Beside, date: string): Promise<string> {
  const text = await readText(path);
  const files: Record<string, string> = {};
  for (const { options } of readSite(text).storms) {
    if (typeof options["file"] === "string") files[options["file"]] = await readText(await namedFile(path, options["file"], beside));
  }
  const soakstep = { version: libraryVersion(), commit: libraryCommit(), build: libraryBuild() };
  return (await packagePage(path, { soakstep, date, site: text, files })).page;
}

/** The page of what a package carries, and its figures, both made afresh. */
export async function packagePage(path: string, given: Omit<PackageData, "figures">): Promise<{ readonly page: string; readonly figures: readonly PackageFigure[] }> {
  const site = readSite(given.site);
  if (site.storms.length === 0) throw new UserFault(`${path}: expected storms to run, got none; give it some in "storms"`, "missing");
  const rains = await Promise.all(site.storms.map((storm) => rainInside(storm, given.files)));
  rains.forEach(({ rain }, i) => { refuseRecord(rain, `${path}: storms[${i}]`); });
  const { storms, stopped } = runStorms(site, rains, (rain) => settledRun(site, rain));
  if (storms.length === 0) throw new UserFault(`${path}: ${stopped.map(({ name, why }) => `storm ${JSON.stringify(name)}: ${why}`).join("; ")}`);
  const figures = packageFigures(site, storms);
  const reader = readerOf(site.units === "us" ? "en-US" : "en-GB", site.units);
  const { revision = "", prepared = "", checked = "" } = site.papers ?? {};
  const { soakstep: { version, commit, build }, date } = given;
  const sheets = reviewPaper({
    site, file: parseJson(given.site, []), text: given.site, storms, stopped, figures, criteria: await criteriaOf(site, rains),
    identity: {
      version, commit, build, date, revision, prepared, checked, hash: hashOf(given.site),
      files: Object.entries(given.files).map(([name, text]) => ({ name, hash: hashOf(text) })),
    },
  }, reader);
  const data: PackageData = { ...given, figures };
  const page = paperFrame(reader, "for review", { site: site.name, revision, date, version: `soakstep ${version} (${commit})` }, sheets, {
    flows: true, extra: html`<script type="application/json" id="package">${scriptData(data)}</script>`,
  });
  return { page, figures };
}

/** Rain of a storm from the texts that the package carries. */
async function rainInside({ name, options: { file, ...options } }: StormChoice, files: Readonly<Record<string,
  string>>): Promise<StormRain> {
  if (typeof file !== "string") {
    return { rain: designStormAt("designStorm", options), notes: [] };
  }
  const text = files[file];
  if (text === undefined) throw new InputError("The package cannot be run:", [{ where: `files: ${file}`, expected: `the file of rain of storm ${JSON.stringify(name)}`, got: "nothing", code: "missing" }]);
  if (/\.json$/i.test(file)) return { rain: recordedRain(parseJson(text, [])), notes: [] };
  const { rain, notes } = await readRain(text, options);
  return { rain, notes: notes.map((note) => `${file}: ${note}`) };
}

/** What the file asks for, tried on the design as it is; null where it asks for nothing. */
async function criteriaOf(site: Site, rains: readonly StormRain[]): Promise<Sizing | null> {
  const asked = site.studies?.size ?? null;
  if (asked === null) return null;
  const rainfall = site.studies?.rainfall ?? null;
  const recorded = site.storms.flatMap(({ name, options }, i) => ("file" in options ? [{ name, rain: rains[i]!.rain }] : []));
  const options: unknown = {
    ...(rainfall === null ? {} : { rainfall }), criteria: asked["criteria"], ...("sidesOnly" in asked ? { sidesOnly: asked["sidesOnly"] } : {}),
    ...(recorded.length === 0 ? {} : { recorded }), steps: { pitWidth: [`${site.chamberBank.width} m`] },
  };
  checkSize(site, options);
  return size(site, options);
}

/** SHA-256 of a text in UTF-8, hexadecimal. */
function hashOf(text: string): string {
  return createHash("sha256").update(text).digest("hex");
}
