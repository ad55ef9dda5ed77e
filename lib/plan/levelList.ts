import { isBelow } from "../site/judge.ts";
import type { Site } from "../site/site.ts";
import { depthText, levelText } from "../text/format.ts";
import { optionReader } from "../text/optionReader.ts";
import { type Descent, descents } from "./descents.ts";
import { type LevelRow, levelRows } from "./levelRows.ts";

/** A level, and what the staff shows there. */
export interface StaffRow extends LevelRow {
  /** height of instrument less the level [m], below 0 above the line of sight; null without a benchmark */
  readonly reading: number | null;
}

/** The levels of a site to work by. All lengths are metres. */
export interface LevelList {
  /** in the water's way, from the boxes' rims to the emitter and the low spot */
  readonly rows: readonly StaffRow[];
  /** the site's levels to watch, apart: no water is led there */
  readonly watch: readonly StaffRow[];
  /** level of the line of sight; null without a benchmark */
  readonly heightOfInstrument: number | null;
  readonly descents: readonly Descent[];
  readonly survey: SurveyTells;
  /** what does not descend, and what the list cannot say, in words */
  readonly notes: readonly string[];
}

export interface LevelListOptions {
  /** a known level, and what the staff shows when it stands there; both text with a unit */
  readonly benchmark?: { readonly level: string; readonly reading: string };
}

/**
 * Every level from the boxes to the emitter, with depth below ground, fall and slope, what is to descend and does not, and
 * what the survey can tell of it. With a benchmark each row says what is to be read on the staff:
 *
 *   height of instrument = benchmark's level + reading there,     reading = height of instrument - level
 *
 * @throws InputError  for a benchmark that cannot be read
 * @source  differential levelling, any text on surveying
 */
export function levelList(site: Site, options: LevelListOptions = {}): LevelList {
  const heightOfInstrument = instrumentHeight(options);
  const withReading = (row: LevelRow): StaffRow =>
    ({ ...row, reading: heightOfInstrument === null ? null : heightOfInstrument - row.level });
  const rows = levelRows(site).map(withReading);
  const watch = site.watchLevels
    .map(({ name, level }): StaffRow => withReading({ station: "level to watch", name, level, depth: null, along: null }))
    .sort((a, b) => b.level - a.level);
  const found = descents(site);
  return {
    rows, watch, heightOfInstrument, descents: found, survey: surveyTells(site, found),
    notes: [
      ...found.flatMap(({ words }) => words ?? []),
      ...downpipeNotes(site),
      ...(heightOfInstrument === null ? [] : sightNotes([...rows, ...watch], heightOfInstrument, site)),
    ],
  };
}

function instrumentHeight(options: LevelListOptions): number | null {
  const reader = optionReader("levelList", options, "The level list cannot be made.");
  if (!reader.has("benchmark")) {
    reader.done();
    return null;
  }
  const benchmark = reader.child("benchmark");
  const height = benchmark.quantity("level", "length") + benchmark.quantity("reading", "length", { least: 0 });
  reader.done();
  return height;
}

/** The file has no levels of the pipes that lead into a box, which are set on site by the one that it has. */
function downpipeNotes({ settlingBoxes, units }: Site): string[] {
  return settlingBoxes.map((box) => {
    const name = settlingBoxes.length === 1 ? "the settling box" : `box “${box.name}”`;
    return `The file gives no levels of the pipes into ${name}: they have to come in above ${levelText(box.outlet.crest, units)}, where its water stands between rains.`;
  });
}

function sightNotes(rows: readonly StaffRow[], height: number, { units }: Site): string[] {
  const above = rows.filter(({ level }) => isBelow(height, level));
  if (above.length === 0) return [];
  const listed = above.map(({ station, name }) => `${station}, ${name}`).join("; ");
  return [`Above the line of sight at ${levelText(height, units)}, to be read from a higher set-up: ${listed}.`];
}

/** What a survey of the site's accuracy can tell, and what it cannot. */
interface SurveyTells {
  /** what one level may be off [m] */
  readonly error: number;
  /** what a difference of two levels may be off [m] */
  readonly band: number;
  /** the opening head of the emitter's lid, and whether it is more than the band; null without an emitter */
  readonly lid: { readonly head: number; readonly told: boolean } | null;
  /** the smallest of the falls that descend, and whether it is more than the band; null where none does */
  readonly smallest: { readonly descent: Descent; readonly told: boolean } | null;
  /** of all that is to descend, what is no more than the band either way: which of the two lies higher is not told */
  readonly untold: readonly Descent[];
  /** the same in sentences */
  readonly words: readonly string[];
}

/**
 * The survey's error beside the heads that decide. Two levels taken one from the other, each off by e and independently,
 * are off by
 *
 *   band = sqrt(2) e
 *
 * @source  propagation of independent errors, any text on surveying
 */
function surveyTells({ surveyError: error, emitter, units }: Site, descents: readonly Descent[]): SurveyTells {
  const band = Math.SQRT2 * error;
  const told = (difference: number): boolean => Math.abs(difference) > band;
  const falling = descents.filter(({ runs }) => runs === "down");
  const least = falling.length === 0 ? null : falling.reduce((least, each) => (each.fall < least.fall ? each : least));
  const lid = emitter === null ? null : { head: emitter.opensAtHead, told: told(emitter.opensAtHead) };
  const smallest = least === null ? null : { descent: least, told: told(least.fall) };
  const words = [`Each level may be off by ${depthText(error, units)}, a difference of two by ${depthText(band, units)}.`];
  if (lid !== null) {
    words.push(lid.told
      ? `The lid opens at ${depthText(lid.head, units)} over its crest, more than that: the survey can tell it.`
      : `The lid opens at ${depthText(lid.head, units)} over its crest, which the survey cannot tell: set the crest against standing water.`);
  }
  if (smallest !== null) {
    const { from, to, fall } = smallest.descent;
    const what = falling.length === descents.length ? "The smallest fall" : "The smallest fall of those that do fall";
    words.push(smallest.told
      ? `${what}, ${depthText(fall, units)} from ${from} to ${to}, is more than that: the survey can tell it.`
      : `${what}, ${depthText(fall, units)} from ${from} to ${to}, is no more than that: the survey cannot tell whether it falls.`);
  }
  return { error, band, lid, smallest, untold: descents.filter(({ fall }) => !told(fall)), words };
}
