import { levelText } from "../text/format.ts";
import { optionReader } from "../text/optionReader.ts";
import { descents, type Descent } from "./descents.ts";
import { isBelow } from "../site/judge.ts";
import { levelRows, type LevelRow } from "./levelRows.ts";
import type { Site } from "../site/site.ts";
import { surveyTells, type SurveyTells } from "./surveyTells.ts";

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
    const name = settlingBoxes.length === 1 ? "the settling box" : `box "${box.name}"`;
    return `The file gives no levels of the pipes into ${name}: they have to come in above ${levelText(box.outlet.crest, units)}, where its water stands between rains.`;
  });
}

function sightNotes(rows: readonly StaffRow[], height: number, { units }: Site): string[] {
  const above = rows.filter(({ level }) => isBelow(height, level));
  if (above.length === 0) return [];
  const listed = above.map(({ station, name }) => `${station}, ${name}`).join("; ");
  return [`Above the line of sight at ${levelText(height, units)}, to be read from a higher set-up: ${listed}.`];
}
