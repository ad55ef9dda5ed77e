import { hyetograph, type Hyetograph } from "../rain/hyetograph.ts";
import { designStorm } from "../rain/storms/designStorm.ts";
import { timeStamp } from "../rain/record/timeStamp.ts";
import type { RainRecord } from "../rain/record/readRain.ts";
import { toldFirings } from "../simulate/firings.ts";
import type { Run } from "../simulate/run.ts";
import { settledRun } from "../simulate/settledRun.ts";
import type { Site } from "../site/site.ts";
import { clockTime, type ClockTime, type RunClock } from "../text/clockText.ts";
import { optionReader, type OptionReader } from "../text/optionReader.ts";

/** Which day, and what is known of its rain: a gauge's record, or a total with a guess of its hours. */
export interface ThatDayOptions {
  /** `"2026-06-14"`; of a total the day it began where missing */
  readonly date?: string;
  /** a gauge's record, read by `readRain` */
  readonly record?: Pick<RainRecord, "rain" | "start">;
  /** one total or two, as of a gauge and of radar: `"1.8 in"`; beside a record what the record is scaled to */
  readonly total?: string | readonly string[];
  /** when the rain of a total began, `"2026-06-14 15:00"`, and about how long it fell, `"3 h"` */
  readonly from?: string;
  readonly lasted?: string;
  /** the place's time zone, `"America/Chicago"`, in which a record in UTC is shown */
  readonly zone?: string;
}

/** One way in which it may have rained. */
export interface DayCase {
  /** `as recorded`, `1.8 in, even rain` */
  readonly words: string;
  readonly run: Run;
  /** every opening of the lid on the day, by the clock, one that began before it and goes on into it too */
  readonly openings: readonly DayOpening[];
  /** openings on other days */
  readonly otherDays: number;
  /** let out in the openings of the day [m3] */
  readonly volume: number;
  /** when water first could have opened a lid that the file holds shut; null where that is not on the day */
  readonly held: ClockTime | null;
  /** the pit's highest level, and when */
  readonly peak: { readonly level: number; readonly at: ClockTime };
}

/** An opening of the lid; those less than a minute apart count as one. */
export interface DayOpening {
  readonly opens: ClockTime;
  /** null while it is still open at the end of the run */
  readonly shuts: ClockTime | null;
  /** let out on the day: of an opening over midnight the day's part [m3] */
  readonly volume: number;
  /** how long the lid stood open in it, on other days too [s] */
  readonly open: number;
}

export interface ThatDay {
  readonly site: Site;
  readonly date: string;
  /** in words, `14 June 2026` */
  readonly day: string;
  readonly clock: RunClock;
  readonly cases: readonly DayCase[];
}

/**
 * Whether the lid should have run on a day, by the clock. Of a total alone it is not known how it fell: it is run as even rain and with
 * the peak of a summer storm (`uk-summer`, from memory); both are shown. Two totals are two more cases, between which the truth may lie.
 *
 * @throws InputError  with all problems
 */
export function thatDay(site: Site, options: ThatDayOptions): ThatDay {
  const read = optionReader("day", options, "The day cannot be looked at:");
  const record = read.raw("record") as ThatDayOptions["record"];
  const totals = totalsOf(read);
  const zone = zoneOf(read, record);
  const { clock, rains } = record === undefined ? ofTotals(read, totals)
    : { clock: { start: record.start, ...zone }, rains: scaled(record.rain, totals) };
  const date = dateOf(read, record === undefined ? clock.start.slice(0, 10) : null);
  if (record !== undefined) {
    const [first, last] = [clockTime(clock, record.rain.time[0]!).date, clockTime(clock, record.rain.time.at(-1)!).date];
    if (date < first || date > last) read.problem("date", `a day of the record, ${first} to ${last}`);
  }
  read.done();
  const cases = rains.map(({ words, rain }) => caseOf(words, settledRun(site, rain()), clock, date));
  const day = clockTime({ start: `${date}T00:00:00` }, 0).day;
  return { site, date, day, clock, cases };
}

interface RainCase { readonly words: string; readonly rain: () => Hyetograph }

interface Total { readonly text: string; readonly depth: number }

function totalsOf(read: OptionReader): Total[] {
  const given = read.raw("total");
  const list: readonly unknown[] = Array.isArray(given) ? given : given === undefined ? [] : [given];
  if (list.length > 2) read.problem("total", "one or two", `${list.length}`);
  return list.map((text, i) => {
    const where = Array.isArray(given) ? `day.total[${i}]` : "day.total";
    return { text: typeof text === "string" ? text : "", depth: read.check(where, text, "length", { above: 0 }) };
  });
}

function zoneOf(read: OptionReader, record: ThatDayOptions["record"]): { readonly zone?: string } {
  const zone = read.raw("zone");
  if (zone === undefined) return {};
  const wrong = 'a time zone by its name, such as "America/Chicago"';
  if (typeof zone !== "string") {
    read.problem("zone", wrong);
    return {};
  }
  if (record?.start.endsWith("Z") !== true) read.problem("zone", "none, as the times here are those of the place’s own clock");
  try {
    new Intl.DateTimeFormat("en-GB", { timeZone: zone });
    return { zone };
  } catch {
    read.problem("zone", wrong);
    return {};
  }
}

/** Times stand on the clock of the place: `2026-06-14T15:00:00`. */
function ofTotals(read: OptionReader, totals: readonly Total[]): { readonly clock: RunClock; readonly rains: readonly RainCase[] } {
  if (totals.length === 0) read.problem("total", 'a total such as "1.8 in", or a file of rain', "neither");
  const from = read.raw("from");
  const stamp = typeof from === "string" ? timeStamp(from, "year-month-day") : null;
  if (stamp === null || stamp.hasZone) read.problem("from", 'when it began on the clock of the place, such as "2026-06-14 15:00"');
  const lasted = read.quantity("lasted", "time", { least: 300, most: 7 * 86400 });
  const rains = totals.flatMap(({ text, depth }) => [
    { words: `${text} as even rain`, rain: () => hyetograph({ time: [0, lasted], depth: [depth] }) },
    { words: `${text} with a summer storm’s peak`, rain: () => designStorm({ pattern: "uk-summer", depth: `${depth} m`, duration: `${lasted} s` }) },
  ]);
  return { clock: { start: new Date((stamp?.time ?? 0) * 1000).toISOString().slice(0, 19) }, rains };
}

function scaled(rain: Hyetograph, totals: readonly Total[]): RainCase[] {
  const sum = rain.depth.reduce((total, each) => total + each, 0);
  const others = sum === 0 ? [] : totals.map(({ text, depth }): RainCase => ({
    words: `the record brought to ${text}`, rain: () => hyetograph({ time: rain.time, depth: rain.depth.map((each) => (each * depth) / sum) }),
  }));
  return [{ words: "as recorded", rain: () => rain }, ...others];
}

function dateOf(read: OptionReader, missing: string | null): string {
  const date = read.raw("date") ?? missing;
  if (typeof date === "string" && date.length === 10 && timeStamp(date, "year-month-day") !== null) return date.replaceAll("/", "-");
  read.problem("date", 'the day that is asked for, such as "2026-06-14"');
  return "2000-01-01";
}

function caseOf(words: string, run: Run, clock: RunClock, date: string): DayCase {
  const dateAt = (time: number): string => clockTime(clock, time).date;
  const [from, to] = [firstTime(run, (time) => dateAt(time) >= date), firstTime(run, (time) => dateAt(time) > date)];
  const all = toldFirings(run).map(({ start, end, volume, open }) => ({
    opens: clockTime(clock, start), shuts: end === null ? null : clockTime(clock, end), open,
    volume: volume * shareBetween(run, start, end ?? run.until, from, to),
  }));
  const openings = all.filter(({ opens, shuts }) => opens.date <= date && (shuts === null || shuts.date >= date));
  const held = run.events.filter(({ kind }) => kind === "lidHeld").map((event) => clockTime(clock, event.time)).find((at) => at.date === date);
  const { level, time } = run.peaks["chamberBank"]!;
  return {
    words, run, openings, otherDays: all.length - openings.length, held: held ?? null,
    volume: openings.reduce((sum, each) => sum + each.volume, 0),
    peak: { level, at: clockTime(clock, time) },
  };
}

/** The earliest time of a run [s], to the second, from which on something is so; the run's end where it never is. */
function firstTime({ until }: Run, isSo: (time: number) => boolean): number {
  let [before, after] = [-1, Math.ceil(until) + 1];
  while (after - before > 1) {
    const middle = Math.floor((before + after) / 2);
    if (middle > until || isSo(middle)) after = middle;
    else before = middle;
  }
  return Math.min(after, until);
}

/** What share of an opening's volume [start, end] flows between two times, by Simpson's rule over the run's steps. */
function shareBetween(run: Run, start: number, end: number, from: number, to: number): number {
  if (from <= start && end <= to) return 1;
  const flowed = (a: number, b: number): number => {
    const times = [a, ...run.times.filter((time) => time > a && time < b), b];
    return times.slice(1).reduce((sum, time, i) => {
      const [left, middle] = [times[i]!, (times[i]! + time) / 2];
      return sum + ((time - left) / 6) * (run.flow("emitter", left) + 4 * run.flow("emitter", middle) + run.flow("emitter", time));
    }, 0);
  };
  const [begins, ends] = [Math.max(start, from), Math.min(end, to)];
  return ends <= begins ? 0 : flowed(begins, ends) / flowed(start, end);
}
