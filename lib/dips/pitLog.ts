import { greatestOf } from "../numerics/extremes.ts";
import { hydrograph, type Hydrograph } from "../runoff/hydrograph.ts";
import { networkOf } from "../simulate/assemble.ts";
import { bodyInflows } from "../simulate/bodyInflows.ts";
import type { Site } from "../site/site.ts";
import { groundOfSegment } from "../site/trenchGround.ts";
import { readAskedStorm, readRecorded, type RecordedStorm } from "../study/criteria.ts";
import { describe } from "../text/describe.ts";
import { optionReader, type OptionReader } from "../text/optionReader.ts";
import type { Problem } from "../text/problem.ts";
import { PIT, readDipRows, type DipRow, type DipRows, type DipsGiven, type PageFacts } from "./dips.ts";
import { readSights, type Sight } from "./pitSights.ts";
import { writtenTime } from "./writtenTime.ts";

/** What is known of a pit that does not do its work. */
export interface FailedPitOptions extends Omit<DipsGiven, "markLevel"> {
  /** free text; nothing is made of it */
  readonly about?: string;
  /** what ran in: a storm of the site by its name, or the options of `designStorm` */
  readonly storm?: string | Readonly<Record<string, unknown>>;
  /** or a hose into the first box, or another body; what is missing may stand on the page of the dips: `hose 12 gal/min`, `hose on 8:05` */
  readonly hose?: { readonly flow?: string; readonly duration?: string; readonly into?: string };
  /** whether times of dips count from the start (as missing) or from the end of the storm or the hose */
  readonly timesFrom?: "start" | "end";
  /** where the dips are by the clock: the hour at which rain or hose began, or that at which it ended; with its day where they have one */
  readonly began?: string;
  readonly ended?: string;
  /** of the mark that `down` is measured from: one for all, or one a body, `{ "pit": "98.2 ft", "box": "97.9 ft" }` */
  readonly markLevel?: string | Readonly<Record<string, string>>;
  readonly seen?: readonly Sight[];
  /** what a level of the model and a dip may differ by with nothing wrong, one standard deviation */
  readonly dipError?: string;
  /** what the water that ran in may be off by, one standard deviation, as a share of it; 0.1 where not given */
  readonly loadError?: number;
  /** the rain of recorded storms of the site, which stands in files */
  readonly recorded?: readonly RecordedStorm[];
}

/** A dip as the diagnosis takes it: time from the load's start [s], level in the site's datum [m]. */
export interface PitDip {
  readonly body: string;
  readonly time: number;
  readonly level: number;
}

/** All of it as read. */
export interface PitLog {
  readonly inflows: Readonly<Record<string, Hydrograph>>;
  readonly load: "storm" | "hose";
  /** end of the rain or of the hose [s] */
  readonly loadEnd: number;
  /** that count, in order of time */
  readonly dips: readonly PitDip[];
  /** all that were read; of a long series more than those that count */
  readonly read: readonly PitDip[];
  /** what was taken for granted in reading, in sentences */
  readonly notes: readonly string[];
  readonly seen: readonly Sight[];
  readonly dipError: number;
  readonly loadError: number;
}

/**
 * What the model may be off at a dip though nothing is wrong [m]: porosity, runoff and the one level of chambers and stone; own
 * estimate, no source.
 */
export const MODEL_ERROR = 0.015;

/** What a hose timed with a bucket, or rain read off a gauge and run off a roof, may be off by [share]; own estimate, no source. */
export const LOAD_ERROR = 0.1;

/** Water that ran in as it was given, times a factor. */
export function timesLoad(inflows: PitLog["inflows"], factor: number): PitLog["inflows"] {
  const scaled = ({ time, flow }: Hydrograph): Hydrograph => ({ time, flow: flow.map((each) => each * factor) });
  return Object.fromEntries(Object.entries(inflows).map(([body, flow]) => [body, scaled(flow)]));
}

/** Standard deviation of a dip where none is given [m]: the site's survey error and that of the model, as root of squares. */
export function usualDipError(site: Site): number {
  return Math.hypot(site.surveyError, MODEL_ERROR);
}

/**
 * Reads what is known of the pit. Dips are a list or a page of a notebook (`readNotebook`), of any body, by the clock or since the start or
 * the end of what ran in, over a floor, from a mark or as a level.
 *
 * Of a series of a body that is longer, `MOST_DIPS` count, evenly over it: what the model is off at one reading it is off at
 * the next, and a hundred of them would be believed ten times too much.
 *
 * @throws InputError  with all problems
 */
export function readPitLog(site: Site, options: unknown): PitLog {
  const read = optionReader("failedPit", options, "The pit cannot be diagnosed:");
  if (read.has("about") && typeof read.raw("about") !== "string") read.problem("about", "a text");
  const page = readDipRows(read);
  const recorded = readRecorded(read);
  const byStorm = read.has("storm");
  const byHose = read.has("hose") || (!byStorm && page.flow !== null);
  if (byStorm === byHose) read.problem("storm", "a storm or a hose, and not both", byStorm ? "both" : "neither");
  const hosed = byHose ? hoseLoad(site, read, page) : NO_LOAD;
  const { inflows, loadEnd } = byStorm ? stormLoad(site, read, recorded) : hosed;
  const { start, note } = startOf(read, page, loadEnd, byStorm ? "rain" : "hose");
  const marks = marksOf(site, read, page);
  const all = page.rows.map((row) => readDip(site, row, start, marks)).sort((a, b) => a.time - b.time);
  const problems: Problem[] = [];
  const seen = readSights(site, read.raw("seen"), "seen", problems);
  for (const { where, expected, got } of problems) read.problem(where, expected, got);
  const dipError = read.quantity("dipError", "length", { above: 0, most: 1, missing: usualDipError(site) });
  const loadError = read.number("loadError", { least: 0, most: 0.5, missing: LOAD_ERROR });
  read.done();
  const dips = thinned(all);
  return {
    inflows, load: byStorm ? "storm" : "hose", loadEnd, dips, read: all, seen, dipError, loadError, notes: [...page.notes, ...(note === null ? [] : [note])],
  };
}

type LoadRead = Pick<PitLog, "inflows" | "loadEnd">;

const NO_LOAD: LoadRead = { inflows: {}, loadEnd: NaN };

function stormLoad(site: Site, read: OptionReader, recorded: readonly RecordedStorm[]): LoadRead {
  const { runs } = readAskedStorm(read, site, site.studies?.rainfall ?? undefined, recorded, "the storm");
  if (runs.length > 1) read.problem("storm", "a storm of one duration");
  if (runs.length !== 1) return NO_LOAD;
  const { rain } = runs[0]!;
  return { inflows: bodyInflows(site, rain, bodyNames(site)), loadEnd: rain.time.at(-1)! };
}

function hoseLoad(site: Site, read: OptionReader, { flow: told, opened, shut }: PageFacts): LoadRead {
  const ran = opened !== null && shut !== null && shut > opened ? shut - opened : null;
  const hose = read.has("hose") ? read.child("hose") : null;
  const of = (key: "flow" | "duration", known: number | null, dimension: "flow" | "time", most: number): number => {
    if (known !== null && !(hose?.has(key) ?? false)) return known;
    if (hose !== null) return hose.quantity(key, dimension, { above: 0, most });
    read.problem("dips", "the hours between which the hose ran beside its flow, on the page or as \"hose\"", "a flow alone");
    return NaN;
  };
  const flow = of("flow", told, "flow", 1);
  const duration = of("duration", ran, "time", LONGEST);
  const into = hose?.word("into", bodyNames(site), site.settlingBoxes[0]!.name) ?? site.settlingBoxes[0]!.name;
  if (!(flow > 0 && duration > 0)) return NO_LOAD;
  return { inflows: { [into]: hydrograph({ time: [0, duration], flow: [flow, flow] }) }, loadEnd: duration };
}

/** The moment on the dips' own axis at which what ran in began [s], and what was taken for granted to say so. */
function startOf(read: OptionReader, page: DipRows, loadEnd: number, what: "rain" | "hose"): { readonly start: number; readonly note: string | null } {
  const from = read.has("timesFrom") ? read.word("timesFrom", ["start", "end"]) : null;
  const [began, ended] = [hourOf(read, page, "began"), hourOf(read, page, "ended")];
  if (page.from !== "clock") {
    const end = from === null ? page.from === "shutting" : from === "end";
    return { start: end ? -loadEnd : 0, note: null };
  }
  if (from !== null) read.problem("timesFrom", "nothing where the dips are by the clock: the hour stands in \"began\" or \"ended\"");
  const told = page.opened ?? (page.shut === null ? null : page.shut - loadEnd);
  const start = began?.moment ?? (ended === null ? told : ended.moment - loadEnd);
  if (start === null) {
    read.problem("began", `the hour at which ${what === "rain" ? "the rain began" : "the hose was opened"}, since the dips are by the clock (or "ended")`, "nothing");
    return { start: NaN, note: null };
  }
  const undated = (began ?? ended)?.undated ?? false;
  return { start, note: undated ? `The hour told of the ${what} is taken as the last such hour before the first dip.` : null };
}

/** An hour under a key, on the axis of dips by the clock [s]: the last such hour before the first of them where no day is told. */
function hourOf(read: OptionReader, page: DipRows, key: "began" | "ended"): { readonly moment: number; readonly undated: boolean } | null {
  if (!read.has(key)) return null;
  const text = read.raw(key);
  const written = typeof text === "string" ? writtenTime(text, "", false) : null;
  const refused = (expected: string): { moment: number; undated: boolean } => {
    read.problem(key, expected);
    return { moment: NaN, undated: false };
  };
  if (written?.kind !== "clock") return refused('an hour such as "16:30", "4:30 PM" or "2026-06-14 16:30"');
  if (page.from !== "clock") return refused("dips by the clock too, where this hour is told by the clock");
  const first = page.rows.find(({ time }) => !Number.isNaN(time))?.time ?? NaN;
  const isDated = first > 300 * DAY;
  if (written.weekday !== null || written.day !== null) return refused("an hour without its weekday or the number of its day, or with its date, like the dips");
  if (written.dated !== isDated) return refused(isDated ? "a day and an hour, like the dips" : "an hour without its day, like the dips");
  if (written.dated) return { moment: written.time, undated: false };
  if (!page.shows24 && written.half === null) return refused("AM or PM behind it, or dips by an hour of 24");
  const moment = Math.floor(first / DAY) * DAY + written.time;
  return { moment: moment > first ? moment - DAY : moment, undated: true };
}

const DAY = 86_400;

function bodyNames(site: Site): string[] {
  return networkOf(site).bodies.map(({ name }) => name);
}

/** A body by its name, or as a person calls it; null where no body is called so, or more than one could be meant. */
function bodyCalled(site: Site, word: string): string | null {
  const names = bodyNames(site);
  const own = names.find((name) => name.toLowerCase() === word.toLowerCase());
  if (own !== undefined) return own;
  if (PIT.test(word)) return "chamberBank";
  const trench = networkOf(site).bodies.filter(({ kind }) => kind === "trench").at(-1);
  // of a trench in segments the one at the emitter, where its opening is
  if (/^(?:the )?(?:overflow )?trench$/i.test(word)) return trench?.name ?? null;
  if (/^(?:the )?(?:settling )?box$/i.test(word)) return site.settlingBoxes.length === 1 ? site.settlingBoxes[0]!.name : null;
  return null;
}

/** Level of the mark that a tape hangs from, by the body; NaN where none is told. */
function marksOf(site: Site, read: OptionReader, { mark, rows }: DipRows): (body: string) => number {
  const hang = [...new Set(rows.flatMap(({ column, body }) => (column === "down" ? (bodyCalled(site, body) ?? []) : [])))];
  const given = read.raw("markLevel");
  if (typeof given === "object" && given !== null) {
    const marks = read.child("markLevel");
    const known = new Map(marks.keys().map((key) => {
      const body = bodyCalled(site, key);
      if (body === null) marks.problem(key, `one of ${bodyNames(site).map((name) => `"${name}"`).join(", ")}`, describe(key));
      return [body, marks.quantity(key, "length")] as const;
    }));
    hang.filter((body) => !known.has(body)).forEach((body) => read.problem("markLevel", `the level of the mark of "${body}" too`));
    return (body) => known.get(body) ?? NaN;
  }
  if (given === undefined && hang.length > 0 && mark === null) read.problem("markLevel", "the level of the mark that the tape hangs from", "nothing");
  const level = given === undefined ? (mark ?? NaN) : read.quantity("markLevel", "length");
  if (hang.length > 1 && !Number.isNaN(level)) read.problem("markLevel", `a mark for each body that is dipped from one: ${hang.map((body) => `"${body}"`).join(", ")}`, "one for all");
  return () => level;
}

/** A tape may read so much past a floor or over an edge [m]. */
const SLACK = 0.15;

/** Longest time of a dip or a hose [s]: what stood a month tells no more. */
const LONGEST = 30 * 86400;

function readDip(site: Site, row: DipRow, start: number, marks: (body: string) => number): PitDip {
  const time = row.time - start;
  if (time < 0) row.problem("time", "a time after the water began to run in");
  if (time > LONGEST) row.problem("time", "a time within 30 days of what ran in");
  const body = bodyCalled(site, row.body);
  if (body === null) {
    row.problem("body", `one of ${bodyNames(site).map((name) => `"${name}"`).join(", ")}`);
    return { body: "", time, level: NaN };
  }
  const works = networkOf(site).bodies.find(({ name }) => name === body)!;
  const { floor } = works.storage;
  const level = { depth: floor + row.water, down: marks(body) - row.water, level: row.water }[row.column];
  if (level < floor - SLACK) row.problem(row.column, "water no deeper than the floor");
  if (level > topOf(site, works.kind, body) + SLACK) row.problem(row.column, "water no higher than the edge it spills over");
  return { body, time, level: Math.max(floor, level) };
}

/** Dips of one body that count at most; ours. */
export const MOST_DIPS = 12;

function thinned(all: readonly PitDip[]): PitDip[] {
  const counted = new Set([...new Set(all.map(({ body }) => body))].flatMap((body) => {
    const own = all.filter((dip) => dip.body === body);
    if (own.length <= MOST_DIPS) return own;
    return Array.from({ length: MOST_DIPS }, (_, i) => own[Math.round((i * (own.length - 1)) / (MOST_DIPS - 1))]!);
  }));
  return all.filter((dip) => counted.has(dip));
}

/** Edge over which a body spills, [m]. */
export function topOf(site: Site, kind: string, body: string): number {
  if (kind === "box") return site.settlingBoxes.find(({ name }) => name === body)!.rim;
  if (kind === "bank") return greatestOf([site.chamberBank.ground, ...site.settlingBoxes.map(({ rim }) => rim)]);
  if (kind === "lowSpot") return site.lowSpot!.lip;
  const trench = site.overflowTrench!;
  const segment = /\d+$/.exec(body);
  // under a cover water stands above the lower end of ground that slopes
  return (segment === null ? trench.ground : groundOfSegment(trench, Number(segment[0]) - 1)).high;
}
