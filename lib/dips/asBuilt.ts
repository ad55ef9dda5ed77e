import { drainText } from "./emptying.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import { designStormAt } from "../rain/storms/designStorm.ts";
import { timeStamp } from "../rain/record/timeStamp.ts";
import { drainedWithin } from "../simulate/drainTime.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { rainToFill } from "../simulate/rainToFill.ts";
import { BUILT_PARTS, type DatedEntry } from "../site/diaryField.ts";
import { readSite } from "../site/readSite.ts";
import { overlaid } from "../site/variants.ts";
import type { Site } from "../site/site.ts";
import type { RecordedStorm } from "../study/criteria.ts";
import { volumeText } from "../text/format.ts";
import { describe } from "../text/describe.ts";
import { InputError, type Problem } from "../text/problem.ts";

/** The works as they were found in the open dig: a date, and the parts of the site file that differ, in the file's own keys. */
export type BuiltEntry = DatedEntry;

type Data = Readonly<Record<string, unknown>>;

/** One storm of the file with the works as drawn and as built. */
export interface BuiltStorm {
  readonly storm: string;
  readonly drawn: StormAnswer;
  readonly built: StormAnswer;
}

/**
 * What works do in a storm: highest water of the pit [m], let out by the emitter and come to the surface elsewhere [m3], time to empty
 * [s].
 */
export interface StormAnswer {
  readonly peak: number;
  readonly emitted: number;
  readonly spilled: number;
  readonly empty: number | null;
}

/** The works as built beside the drawing. */
export interface AsBuiltResult {
  readonly date: string;
  readonly drawn: Site;
  readonly built: Site;
  /** what differs, key by key as it stands in the file */
  readonly changes: readonly { readonly key: string; readonly drawn: unknown; readonly built: unknown }[];
  /** room up to where water comes out [m3] */
  readonly storage: { readonly drawn: number; readonly built: number };
  readonly storms: readonly BuiltStorm[];
  /** what held for the drawing and does not hold for what was built, in sentences */
  readonly noLonger: readonly string[];
  readonly answer: string;
}

/**
 * Reruns the storms of a site file with the works as they were built: levels, lengths, the soil found in the dig. What the file itself has
 * under `asBuilt` of that day or an earlier one counts too; where both speak of a key the entry does.
 *
 * @param file   the parsed site file
 * @param entry  a date, and what differs, in the keys of the file: `{ date: "2026-05-02", chamberBank: { floor: "92.0 ft" } }`; a list
 *               stands in place of the whole list
 * @param recorded  rain of the site's recorded storms; those that are not here are not rerun
 * @throws InputError  where the entry has no date, or no part of the file
 * @throws SiteError   where the file, or the works as built, are no site that runs
 */
export function asBuilt(file: unknown, entry: unknown, recorded: readonly RecordedStorm[] = []): AsBuiltResult {
  const drawn = readSite(file);
  const { date, works } = readEntry(entry);
  const data = isPlain(file) ? file : {};
  const parts = overlaid(partsUntil(drawn, date), works);
  const changes = changesOf(data, parts, "");
  const built = readSite(overlaid(data, parts));
  const storage = { drawn: rainToFill(drawn).freeVolume, built: rainToFill(built).freeVolume };
  const storms = drawn.storms.flatMap(({ name, options }): BuiltStorm[] => {
    const record = recorded.find((each) => each.name === name)?.rain;
    if ("file" in options && record === undefined) return [];
    const rain = record ?? designStormAt("designStorm", options);
    return [{ storm: name, drawn: stormAnswer(drawn, rain), built: stormAnswer(built, rain) }];
  });
  const noLonger = losses(drawn, built, storage, storms);
  const { units } = built;
  const room = `built to hold ${volumeText(storage.built, units)} where ${volumeText(storage.drawn, units)} were drawn`;
  const answer = noLonger.length === 0 ? `As built on ${date} all that held for the drawing still holds: ${room}.` : `As built on ${date}, ${room}: ${lower(noLonger[0]!)}`;
  return { date, drawn, built, changes, storage, storms, noLonger, answer };
}

/** The site of a file with the works as they were built until a day: `readSite` of the file with its `asBuilt` entries in their places. */
export function siteAsBuilt(file: unknown, date: string): Site {
  const drawn = readSite(file);
  const parts = partsUntil(drawn, date);
  return Object.keys(parts).length === 0 || !isPlain(file) ? drawn : readSite(overlaid(file, parts));
}

/** What a file's own entries say was built until a day, the later over the earlier ones. */
function partsUntil({ asBuilt: entries }: Site, date: string): Data {
  return entries.filter((each) => dayOf(each.date) <= dayOf(date)).toSorted((a, b) => dayOf(a.date) - dayOf(b.date))
    .reduce<Data>((parts, { date: _, about: __, ...works }) => overlaid(parts, works), {});
}

/** A moment of the calendar [s]; NaN for a text that is no date. */
export function dayOf(date: string): number {
  return timeStamp(date, "year-month-day")?.time ?? NaN;
}

function readEntry(entry: unknown): { readonly date: string; readonly works: Data } {
  const { date, about: _, ...works }: Data = isPlain(entry) ? entry : {};
  const problems: Problem[] = [];
  if (typeof date !== "string" || Number.isNaN(dayOf(date))) problems.push({ where: "asBuilt.date", expected: 'a day such as "2026-05-02"', got: describe(date) });
  if (Object.keys(works).length === 0) problems.push({ where: "asBuilt", expected: "parts of the site file as they were built, such as chamberBank: { floor: … }", got: isPlain(entry) ? "none" : describe(entry) });
  for (const key of Object.keys(works)) if (!BUILT_PARTS.includes(key)) problems.push({ where: `asBuilt.${key}`, expected: `one of ${BUILT_PARTS.join(", ")}`, got: describe(works[key]), code: "unknown" });
  if (problems.length > 0 || typeof date !== "string") throw new InputError("What was built cannot be used:", problems);
  return { date, works };
}

/** How long after the rain is looked [s]. */
const LOOKED = 20 * 86_400;

/** A smaller volume counts as no water [m3]. */
const NOTHING = 1e-3;
/** A pit that empties later by less than this share empties as drawn. */
const LATER = 0.1;

function losses(drawn: Site, built: Site, storage: AsBuiltResult["storage"], storms: readonly BuiltStorm[]): string[] {
  const { units } = built;
  const out: string[] = [];
  for (const { storm, drawn: was, built: is } of storms) {
    if (was.spilled < NOTHING && is.spilled >= NOTHING) out.push(`In “${storm}” ${volumeText(is.spilled, units)} come to the surface beside the emitter; as drawn none did.`);
    if (was.emitted < NOTHING && is.emitted >= NOTHING) out.push(`In “${storm}” the emitter opens and lets out ${volumeText(is.emitted, units)}; as drawn it stayed shut.`);
    if (is.empty === null ? was.empty !== null : was.empty !== null && is.empty > (1 + LATER) * was.empty) {
      out.push(`After “${storm}” the pit is empty ${drainText(is.empty)}; as drawn ${drainText(was.empty)}.`);
    }
  }
  if (storage.built < (1 - LATER / 2) * storage.drawn) out.push(`There is room for ${volumeText(storage.drawn - storage.built, units)} less than was drawn.`);
  // the same words with other figures are no news
  const wordsOf = (note: string): string => note.replace(/\d[\d.,]*/g, "");
  const known = new Set(drawn.notes.map(wordsOf));
  built.notes.filter((note) => !known.has(wordsOf(note))).forEach((note) => out.push(note));
  return out;
}

function lower(words: string): string {
  return words.charAt(0).toLowerCase() + words.slice(1);
}

function isPlain(value: unknown): value is Data {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function changesOf(file: Data, parts: Data, path: string): AsBuiltResult["changes"][number][] {
  return Object.entries(parts).flatMap(([key, value]) => {
    const [before, at] = [file[key], path === "" ? key : `${path}.${key}`];
    if (isPlain(before) && isPlain(value)) return changesOf(before, value, at);
    return JSON.stringify(before) === JSON.stringify(value) ? [] : [{ key: at, drawn: before, built: value }];
  });
}

/** One storm on a site, watched for 20 days after the rain. */
export function stormAnswer(site: Site, rain: Hyetograph): StormAnswer {
  const run = settledRun(site, rain, { until: rain.time.at(-1)! + LOOKED });
  return { peak: run.peaks["chamberBank"]!.level, emitted: run.emitted, spilled: run.spilled, empty: drainedWithin(run).empty };
}
