import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { networkOf } from "../simulate/assemble.ts";
import { variedSite } from "../simulate/variedSite.ts";
import type { Site } from "../site/site.ts";
import { readRecorded, type RecordedStorm } from "../study/criteria.ts";
import { describe } from "../text/describe.ts";
import { depthText, durationText, type UnitSystem } from "../text/format.ts";
import { optionReader, type OptionReader } from "../text/optionReader.ts";
import { type Dips, type DipsPage, readDips } from "./dips.ts";
import type { Cause, FilledPit } from "./fillModel.ts";
import type { FillFinding } from "./fillTest.ts";
import { onOneAxis, writtenTime } from "./writtenTime.ts";

/** A fill test as read, in SI. */
export interface ReadFillTest {
  readonly pit: FilledPit;
  readonly dipError: number | null;
  readonly suspects: readonly Cause[];
  readonly recorded: readonly RecordedStorm[];
  /** what stands out in the readings before anything is fitted */
  readonly findings: readonly FillFinding[];
  readonly notes: readonly string[];
}

/**
 * Reads the options of a fill test and leaves out dips that say nothing.
 *
 * @throws InputError  for options that cannot be read, too few dips, or dips without a fall; all at once
 */
export function readFillTest(site: Site, options: unknown): ReadFillTest {
  const reader = optionReader("fillTest", options, "The fill test cannot be used:");
  if (reader.has("about") && typeof reader.raw("about") !== "string") reader.problem("about", "a text");
  const { floor, ground } = site.chamberBank;
  const page = readDips(reader, floor, ground);
  const hose = reader.has("inflow") ? readInflow(reader.child("inflow"), site, page) : hoseOfPage(page, site);
  const groundwater = reader.has("groundwaterLevel") ? reader.quantity("groundwaterLevel", "length") : null;
  const dipError = reader.has("dipError") ? reader.quantity("dipError", "length", { least: 0.0001, most: 0.1 }) : null;
  const suspects = reader.has("suspects") ? readSuspects(reader) : CAUSES;
  const recorded = readRecorded(reader);
  const readable = page.level.length > 0 && ![...page.level, ...page.time].some(Number.isNaN);
  const clocked = readable && hose !== null ? onHoseClock(reader, page, hose, floor) : { time: page.time, note: null };
  const wet = wetDips({ time: clocked.time, level: page.level }, floor, hose !== null);
  const shut = hose === null ? -Infinity : hose.duration;
  const { kept, findings, byHose } = fallsOf(wet, shut, FEWEST, site.units);
  const inflow = byHose ? hose : null;
  if (readable) checkDips(reader, site, kept, inflow);
  reader.done();
  return {
    pit: {
      site: groundwater === null ? site : variedSite(site, { groundwaterLevel: groundwater }),
      filling: inflow === null ? { by: "firstDip" } : { by: "hose", into: inflow.into, flow: inflow.flow, duration: inflow.duration, within: inflow.within },
      dips: kept,
    },
    dipError, recorded,
    suspects: suspects.filter((cause) => cause !== "floor" || (site.soil.floor && site.soil.sides && site.chamberBank.openFloorShare > 0)),
    findings,
    notes: [
      ...page.notes,
      ...(clocked.note === null ? [] : [clocked.note]),
      ...notCounted(wet.early, "before any water was in"),
      ...notCounted(wet.late, "with the pit dry, for nobody knows since when, or after that"),
    ],
  };
}

/** The water of a hose, with the hour it was opened where that is known by the clock [s]. */
interface Hose {
  readonly by: "hose";
  readonly into: string;
  readonly flow: number;
  readonly duration: number;
  readonly within: number;
  readonly opened: number | null;
}

/** A hose that the page itself tells of, with its flow and both its hours. */
function hoseOfPage({ opened, shut, flow, from }: DipsPage, site: Site): Hose | null {
  if (flow === null || shut === null || (opened === null && from === "clock")) return null;
  const bank = networkOf(site).bodies.find(({ kind }) => kind === "bank")!.name;
  return { by: "hose", into: bank, flow, duration: shut - (opened ?? 0), within: HOSE_ERROR, opened };
}

/** What a hose's flow is known to, one standard deviation, where nobody says: timed with a bucket; own estimate. */
const HOSE_ERROR = 0.1;

/**
 * The dips' times since the hose was opened. By the clock they need its hour. Where nothing says what they count from, and the pit stands
 * full at the first of them and falls through hours in which the hose should still run, they count from its shutting.
 */
function onHoseClock(reader: OptionReader, { time, level, from }: DipsPage, hose: Hose, floor: number): { readonly time: Float64Array;
  readonly note: string | null } {
  if (from === "clock") {
    if (hose.opened === null) reader.problem("inflow.opened", "the hour at which the hose was opened, since the dips are by the clock", "nothing");
    return { time: time.map((moment) => moment - (hose.opened ?? NaN)), note: null };
  }
  const since = (note: string | null) => ({ time: time.map((moment) => moment + hose.duration), note });
  if (from === "shutting") return since(null);
  if (from === "opening") return { time, note: null };
  const during = [...level].filter((_, i) => time[i]! < hose.duration);
  const falls = during.length > 1 && during.every((water, i) => i === 0 || water < during[i - 1]! + 0.005)
    && during[0]! - during.at(-1)! > 0.01;
  if (falls || (time[0] === 0 && level[0]! > floor + 0.05 && during.length > 0)) {
    return since("The times of the dips are taken as counted from the shutting of the hose: at the first of them the pit stood full, and the water fell while the hose would have run.");
  }
  return { time, note: null };
}

/** The least that leaves a residual to judge by: the fill and the soil take two. */
const FEWEST = 4;

/** A fall that a tape shows beyond doubt [m]; ours. */
const LEAST_FALL = 0.02;

const CAUSES: readonly Cause[] = ["floor", "waterTable", "leak", "dry"];

function readInflow(reader: OptionReader, site: Site, page: DipsPage): Hose {
  const bodies = networkOf(site).bodies.map(({ name }) => name);
  const [opened, shut] = hours(reader, page);
  const byHours = opened !== null && shut !== null;
  const flow = reader.has("flow") || page.flow === null ? reader.quantity("flow", "flow", { above: 0 }) : page.flow;
  const duration = reader.has("duration") || !byHours ? reader.quantity("duration", "time", { above: 0, most: MOST_HOSE }) : shut - opened;
  if (byHours && !(duration > 0 && duration <= MOST_HOSE)) reader.problem("shut", "an hour after the hose was opened, within 30 days");
  return {
    by: "hose", flow, duration, opened,
    into: reader.word("into", bodies, "chamberBank"),
    within: reader.number("within", { least: 0.005, most: 0.5, missing: HOSE_ERROR }),
  };
}

const MOST_HOSE = 30 * 86400;

/** The hours of opening and shutting, by the clock of the dips: where the options name them, else as the page has them. */
function hours(reader: OptionReader, page: DipsPage): [opened: number | null, shut: number | null] {
  const given = (["opened", "shut"] as const).map((key) => {
    if (!reader.has(key)) return null;
    const text = reader.raw(key);
    const written = typeof text === "string" ? writtenTime(text, "", false) : null;
    const isHour = written?.kind === "clock" && written.weekday === null && written.day !== "next";
    if (!isHour) reader.problem(key, 'an hour such as "8:05", "8:05 AM", "day 1 8:05" or, beside dips with dates, "2026-06-14 08:05"');
    return isHour ? written : null;
  });
  if (given[0] === null && given[1] === null) return [page.opened, page.shut];
  const first = page.time.find((moment) => !Number.isNaN(moment)) ?? 0;
  const [on, off] = onOneAxis(given).axis;
  // the day of the first dip, or the one before
  const days = given[0]?.dated === true ? 0 : Math.floor(first / 86400) * 86400;
  const opened = Number.isNaN(on!) ? page.opened : on! + days > first + 12 * 3600 ? on! + days - 86400 : on! + days;
  const shut = Number.isNaN(off!) ? page.shut : opened !== null && !Number.isNaN(on!) ? opened + (off! - on!) : off! + days;
  return [opened, shut];
}

function readSuspects(reader: OptionReader): Cause[] {
  return reader.list("suspects", (value, where): Cause => {
    const found = CAUSES.find((cause) => cause === value);
    if (found === undefined) reader.problem(where.slice(reader.where.length + 1), `one of ${CAUSES.map((cause) => `"${cause}"`).join(", ")}`, describe(value));
    return found ?? "floor";
  });
}

/** Water less deep than this is the floor's own damp [m]. */
const DRY = 0.003;

function notCounted(count: number, why: string): string[] {
  return count === 0 ? [] : [`${count === 1 ? "One dip does" : `${count} dips do`} not count: ${why}.`];
}

/** From the first dip with water on to the last before one without; a hose's own time 0 says only where it began. */
function wetDips({ time, level }: Dips, floor: number, byHose: boolean): Dips & { readonly early: number; readonly late: number } {
  const isWet = (i: number): boolean => level[i]! > floor + DRY && !(byHose && time[i]! <= 0);
  const first = level.findIndex((_, i) => isWet(i));
  if (first < 0) return { time: new Float64Array(), level: new Float64Array(), early: level.length, late: 0 };
  const dry = level.findIndex((_, i) => i > first && !isWet(i));
  const end = dry < 0 ? level.length : dry;
  return { time: time.slice(first, end), level: level.slice(first, end), early: first, late: level.length - end };
}

function checkDips(reader: OptionReader, { units }: Site, { time, level }: Dips, inflow: Hose | null): void {
  if (level.length < FEWEST) {
    reader.problem("dips", `${FEWEST} or more dips with water in the pit, while it falls`, String(level.length));
    return;
  }
  const from = Math.max(0, inflow === null ? 0 : time.findIndex((moment) => moment >= inflow.duration));
  const falling = level.slice(from);
  const fall = greatestOf(falling) - falling.at(-1)!;
  if (inflow !== null && !(time.at(-1)! > inflow.duration)) {
    reader.problem("dips", `dips after the hose was shut (${durationText(inflow.duration)})`, `the last at ${durationText(time.at(-1)!)}`);
  } else if (!(fall >= LEAST_FALL)) {
    const waited = durationText(time.at(-1)! - time[from]!);
    reader.problem("dips", `a fall of ${depthText(LEAST_FALL, units)} or more: wait longer, or look for groundwater at that level`, `${depthText(Math.max(0, fall), units)} in ${waited}`);
  }
}

/** The fall that is judged, out of dips that may rise in between. */
interface Falls {
  readonly kept: Dips;
  readonly findings: readonly FillFinding[];
  /** whether the hose's water still says how the fall that is judged began */
  readonly byHose: boolean;
}

/**
 * Dips of one fall. Water that rises again after the hose was shut came from somewhere: a rise by a third of all or more is another
 * fill, of which the last counts, for dry soil drinks at the first; a smaller one is rain, or the box that still runs off, and what comes
 * before it counts where that is enough. A single dip off the line of its neighbours makes no rise.
 *
 * @param shut    when the hose was shut [s]; -Infinity if there was none
 * @param fewest  dips that a fall needs
 */
function fallsOf(dips: Dips, shut: number, fewest: number, units: UnitSystem): Falls {
  const { time, level } = dips;
  const whole: Falls = { kept: dips, findings: [], byHose: true };
  if (level.length < fewest) return whole;
  // the middle of three neighbours: one misread dip moves nothing
  const smooth = level.map((water, i) => (i === 0 || i === level.length - 1 ? water : [level[i - 1]!, water, level[i + 1]!].sort((a, b) =>
    a - b)[1]!));
  const all = greatestOf(level) - leastOf(level);
  const from = Math.max(0, time.findIndex((moment) => moment >= shut));
  const rises: { readonly at: number; readonly by: number }[] = [];
  for (let i = from + 1, low = smooth[from]!; i < level.length; i++) {
    const by = smooth[i]! - low;
    if (smooth[i]! > smooth[i - 1]! + RISE / 2 && by > RISE) {
      const last = rises.at(-1);
      if (last !== undefined && i === last.at + 1) rises[rises.length - 1] = { at: i, by: last.by + smooth[i]! - smooth[i - 1]! };
      else rises.push({ at: i, by });
      low = smooth[i]!;
    } else low = Math.min(low, smooth[i]!);
  }
  if (rises.length === 0) return whole;
  const part = (first: number, end: number): Dips => ({ time: time.slice(first, end), level: level.slice(first, end) });
  const fill = rises.findLast(({ by, at }) => by > all / 3 && level.length - at >= fewest);
  const when = (at: number): string => durationText(time[at]! - (shut === -Infinity ? time[0]! : shut));
  if (fill !== undefined) {
    return {
      kept: part(fill.at, level.length), byHose: false,
      findings: [{ kind: "second fill", words: `The pit was filled again ${when(fill.at)} after the first fall began: the last fill is judged, for dry soil drinks faster at the first.` }],
    };
  }
  const { at, by } = rises[0]!;
  const rain: FillFinding = {
    kind: "rain",
    words: `The water rose by ${depthText(by, units)} about ${when(at)} after ${shut === -Infinity ? "the first dip" : "the hose was shut"}: rain, or water still on its way from box or trench.`,
  };
  // where it begins to rise
  const low = smooth.reduce((best, water, i) => (i >= from && i < at && water <= smooth[best]! ? i : best), from);
  if (low + 1 >= fewest && low - from >= 2) {
    return { kept: part(0, low + 1), byHose: true, findings: [{ ...rain, words: `${rain.words} The dips before it are judged.` }] };
  }
  if (level.length - at >= fewest) return { kept: part(at, level.length), byHose: false, findings: [{ ...rain, words: `${rain.words} The dips after it are judged.` }] };
  return { ...whole, findings: [rain] };
}

/** More than a tape and a hand are off [m]. */
const RISE = 0.015;
