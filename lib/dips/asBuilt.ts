import { drainText } from "./emptying.ts";
import { designStormAt } from "../rain/storms/designStorm.ts";
import { timeStamp } from "../rain/record/timeStamp.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { rainToFill } from "../simulate/rainToFill.ts";
import { readSite } from "../site/readSite.ts";
import type { Site } from "../site/site.ts";
import { depthText, levelText, volumeText } from "../text/format.ts";
import { describe } from "../text/describe.ts";
import { InputError, type Problem } from "../text/problem.ts";

/** The works as they were found in the open dig: a date, and the parts of the site file that differ, in the file's own keys. */
export type BuiltEntry = Readonly<Record<string, unknown>> & { readonly date: string };

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
 * Reruns the storms of a site file with the works as they were built: levels, lengths, the soil found in the dig.
 *
 * @param file   the parsed site file
 * @param entry  a date, and what differs, in the keys of the file: `{ date: "2026-05-02", chamberBank: { floor: "92.0 ft" } }`; a list
 *               stands in place of the whole list
 * @throws InputError  where the entry has no date, or no part of the file
 * @throws SiteError   where the works as built are no site that runs
 */
export function asBuilt(file: Readonly<Record<string, unknown>>, entry: BuiltEntry): AsBuiltResult {
  const { date, about: _, ...works } = entry as Record<string, unknown>;
  const problems: Problem[] = [];
  if (typeof date !== "string" || timeStamp(date, "year-month-day") === null) problems.push({ where: "asBuilt.date", expected: 'a day such as "2026-05-02"', got: describe(date) });
  if (Object.keys(works).length === 0) problems.push({ where: "asBuilt", expected: "parts of the site file as they were built, such as chamberBank: { floor: … }", got: "none" });
  for (const key of Object.keys(works)) if (!PARTS.includes(key)) problems.push({ where: `asBuilt.${key}`, expected: `one of ${PARTS.join(", ")}`, got: describe(works[key]), code: "unknown" });
  if (problems.length > 0) throw new InputError("What was built cannot be used:", problems);
  const changes = changesOf(file, works, "");
  const [drawn, built] = [readSite(file), readSite(merged(file, works))];
  const storage = { drawn: rainToFill(drawn).freeVolume, built: rainToFill(built).freeVolume };
  const storms = drawn.storms.flatMap(({ name, options }): BuiltStorm[] => {
    if ("file" in options) return [];
    const rain = designStormAt("designStorm", options);
    const of = (site: Site): StormAnswer => {
      const run = settledRun(site, rain, { until: rain.time.at(-1)! + LOOKED });
      return { peak: run.peaks["chamberBank"]!.level, emitted: run.emitted, spilled: run.spilled, empty: run.drainDown.empty };
    };
    return [{ storm: name, drawn: of(drawn), built: of(built) }];
  });
  const noLonger = losses(drawn, built, storage, storms);
  const { units } = built;
  const room = `built to hold ${volumeText(storage.built, units)} where ${volumeText(storage.drawn, units)} were drawn`;
  const answer = noLonger.length === 0 ? `As built on ${date as string} all that held for the drawing still holds: ${room}.` : `As built on ${date as string}, ${room}: ${lower(noLonger[0]!)}`;
  return { date: date as string, drawn, built, changes, storage, storms, noLonger, answer };
}

/** Parts of a site file that are built, or found in the dig. */
const PARTS: readonly string[] = ["catchments", "settlingBox", "chamberBank", "overflowTrench", "emitter", "lowSpot", "soil", "groundwater"];

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
  const known = new Set(drawn.notes);
  built.notes.filter((note) => !known.has(note)).forEach((note) => out.push(note));
  return out;
}

function lower(words: string): string {
  return words.charAt(0).toLowerCase() + words.slice(1);
}

function isPlain(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function merged(file: Readonly<Record<string, unknown>>, parts: Readonly<Record<string, unknown>>): Record<string, unknown> {
  const out: Record<string, unknown> = { ...file };
  for (const [key, value] of Object.entries(parts)) {
    const before = file[key];
    out[key] = isPlain(before) && isPlain(value) ? merged(before, value) : value;
  }
  return out;
}

function changesOf(file: Readonly<Record<string, unknown>>, parts: Readonly<Record<string, unknown>>, path: string): AsBuiltResult["changes"][number][] {
  return Object.entries(parts).flatMap(([key, value]) => {
    const [before, at] = [file[key], path === "" ? key : `${path}.${key}`];
    if (isPlain(before) && isPlain(value)) return changesOf(before, value, at);
    return JSON.stringify(before) === JSON.stringify(value) ? [] : [{ key: at, drawn: before, built: value }];
  });
}

/** The pit's highest water and what else a table of storms has, as people write them. */
export function stormText({ peak, emitted, spilled, empty }: StormAnswer, { units, chamberBank: { floor } }: Site): string {
  const out = [emitted >= NOTHING ? `${volumeText(emitted, units)} by the emitter` : "", spilled >= NOTHING ? `${volumeText(spilled, units)} elsewhere` : ""].filter((each) => each !== "");
  return `pit up to ${levelText(peak, units)} (${depthText(peak - floor, units)}), ${out.length === 0 ? "nothing comes out" : `out: ${out.join(", ")}`}, empty ${drainText(empty)}`;
}
