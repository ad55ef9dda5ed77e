import { isBelow } from "../site/judge.ts";
import type { SettlingBox, Site } from "../site/site.ts";
import { depthText, levelText } from "../text/format.ts";
import { optionReader } from "../text/optionReader.ts";
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

/** Two levels of which the first is to lie higher. */
interface Descent {
  readonly from: string;
  readonly to: string;
  /** from the first down to the second [m], less than 0 where it climbs */
  readonly fall: number;
  readonly runs: "down" | "level" | "up";
  /** what comes of it where it does not descend; null where it does, or where level does no harm */
  readonly words: string | null;
}

/**
 * What is to descend on the water's way: each pipe and the trench along themselves; the box's outlet down to where the trench
 * takes over and to where the emitter opens, or water stands back into the box; and every place where water could come
 * up sooner, rims, grounds, grate and the levels to watch, down to where the emitter opens. What does not is lawful, and said.
 */
function descents(site: Site): Descent[] {
  return [...site.settlingBoxes.flatMap((box) => boxDescents(box, site)), ...trenchDescents(site), ...waysUp(site)];
}

type Words = Partial<Record<"level" | "up", string>>;

function descent(from: string, high: number, to: string, low: number, words: Words): Descent {
  const runs = isBelow(low, high) ? "down" : isBelow(high, low) ? "up" : "level";
  return { from, to, fall: high - low, runs, words: runs === "down" ? null : words[runs] ?? null };
}

function boxDescents(box: SettlingBox, site: Site): Descent[] {
  const { overflowTrench: trench, emitter, units } = site;
  const name = site.settlingBoxes.length === 1 ? "the settling box" : `box “${box.name}”`;
  const { outlet } = box;
  const { crest } = outlet;
  return [
    descent(`outlet of ${name}`, outlet.invert, "its end in the pit", outlet.outletInvert, {
      up: `The pipe from ${name} runs uphill: it stands full of water.`,
      level: `The pipe from ${name} has no fall: what settles in it stays there.`,
    }),
    ...(trench === null ? [] : [descent(`outlet of ${name}`, crest, "where the trench takes over", trench.inlet.crest, {
      up: `The trench takes over at ${levelText(trench.inlet.crest, units)}, above the outlet of ${name} at ${levelText(crest, units)}: water stands back into the box before it does.`,
    })]),
    ...(emitter === null ? [] : [
      descent(`outlet of ${name}`, crest, "where the emitter opens", emitter.opensAt, {
        up: `The emitter opens at ${levelText(emitter.opensAt, units)}, above the outlet of ${name} at ${levelText(crest, units)}: water stands back into the box before it does.`,
      }),
      descent(`rim of ${name}`, box.rim, "where the emitter opens", emitter.opensAt, { up: sooner(`the rim of ${name}`, box.rim, emitter.opensAt, site) }),
    ]),
  ];
}

function trenchDescents({ overflowTrench: trench, chamberBank: pit, units }: Site): Descent[] {
  if (trench === null) return [];
  const { inlet, floor, lowFloor } = trench;
  const { stoneTop } = pit;
  const { crest } = inlet;
  return [
    descent("stone top of the pit", stoneTop, "where the trench takes over", crest, {
      up: `The trench takes over at ${levelText(crest, units)}, above the stone top of the pit at ${levelText(stoneTop, units)}: the soil over the stone is soaked before it does.`,
    }),
    descent("pipe to the trench", inlet.invert, "its end in the trench", inlet.outletInvert, {
      up: "The pipe into the overflow trench runs uphill.",
      level: "The pipe into the overflow trench has no fall.",
    }),
    descent("trench floor, high end", floor, "its low end", lowFloor, {
      level: "The floor of the overflow trench has no fall: no water runs along it to the emitter by itself.",
    }),
  ];
}

/** Where water comes up, or stands over what is watched, if that lies lower than the emitter opens. */
function waysUp(site: Site): Descent[] {
  const { overflowTrench: trench, chamberBank: pit, lowSpot, watchLevels, emitter } = site;
  if (emitter === null) return [];
  const opens = emitter.opensAt;
  const way = (from: string, level: number): Descent =>
    descent(from, level, "where the emitter opens", opens, { up: sooner(`the ${from}`, level, opens, site) });
  return [
    way("ground over the pit", pit.ground),
    ...(trench === null ? [] : [way("ground over the trench", trench.lowestGround)]),
    ...(lowSpot === null || lowSpot.grate === null ? [] : [way("grate", lowSpot.grate.level)]),
    ...watchLevels.map(({ name, level }) => descent(`“${name}”`, level, "where the emitter opens", opens, {
      up: `“${name}” at ${levelText(level, site.units)} lies lower than the emitter opens, ${levelText(opens, site.units)}: where water can get there, it stands over it first.`,
    })),
  ];
}

function sooner(place: string, level: number, opens: number, { units }: Site): string {
  return `Water comes up at ${place}, ${levelText(level, units)}, before the emitter opens at ${levelText(opens, units)}.`;
}
