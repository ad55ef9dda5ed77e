import { timeStamp } from "../rain/record/timeStamp.ts";
import { readQuantity } from "../text/quantity.ts";

/** A time as somebody wrote it down: by the clock, or since something. */
export type WrittenTime =
  | {
    readonly kind: "clock";
    /** since the midnight before, or since 1970 where the day is written too [s] */
    readonly time: number;
    /** whether AM, PM or 24 hours leave no doubt about the half of the day; an hour up to 12 without either may be in both */
    readonly half: "am" | "pm" | "24" | null;
    /** whether its day is written beside it */
    readonly dated: boolean;
    /** days that were written as such, "day 2" is 1, "next day" is "next"; null where nothing is said */
    readonly day: number | "next" | null;
    /** as written, 0 for Monday to 6 for Sunday; null where none is */
    readonly weekday: number | null;
  }
  | { readonly kind: "span"; readonly time: number };

/**
 * A time in one of the ways of a field notebook: `8:15`, `8:15 AM`, `8.15 pm`, `0815`, `Tue 8:15`, `2026-06-14 08:15`, `day 2 7:30`,
 * `noon`, or as a span `1h40`, `1 h 40 min`, `100 min`, `at once`.
 *
 * @param text    what is written, without blanks at its ends
 * @param unit    of a bare number, "" where its column names none
 * @param asSpan  whether `1:40` counts from something, as in a column "since …"
 * @returns       null where it is no such time
 */
export function writtenTime(text: string, unit: string, asSpan: boolean): WrittenTime | null {
  const plain = text.trim().replace(/\s+/g, " ");
  if (/^(at once|start|full|0)$/i.test(plain)) return { kind: "span", time: 0 };
  const spoken = SPOKEN.exec(plain);
  if (spoken !== null) return { ...clock(/midnight/i.test(spoken[2]!) ? 0 : 12 * 3600, "24"), ...daysOf(spoken[1]) };
  const [, before, date = plain, after] = DATED.exec(plain) ?? [];
  const stamp = timeStamp(date, "year-month-day");
  if (stamp !== null) return { kind: "clock", time: stamp.time, half: "24", dated: true, ...daysOf(before ?? after) };
  const french = SPAN_H.exec(plain);
  if (french !== null) return { kind: "span", time: Number(french[1]) * 3600 + Number(french[2]) * 60 };
  const colon = CLOCK.exec(plain.replace(/^((?:\D.* )?\d{1,2}) ?([ap]\.?m\.?)(?=$| )/i, "$1:00 $2"));
  if (colon !== null) return ofClock(colon, asSpan);
  if (unit === "" && /^\d{4}$/.test(plain) && !asSpan) return ofClock(CLOCK.exec(`${plain.slice(0, 2)}:${plain.slice(2)}`)!, false);
  const number = plain.replace(/^\+\s*/, "").replace(/^(\d+),(\d+)/, "$1.$2");
  const reading = readQuantity(/[a-z'"]/i.test(number) || unit === "" ? number : `${number} ${unit}`, "time");
  return "value" in reading && reading.value >= 0 ? { kind: "span", time: reading.value } : null;
}

const SPAN_H = /^(\d{1,3}) ?h ?(\d{1,2})(?: ?(?:m|min|mins|minutes))?$/i;

const WEEKDAY_WORD = String.raw`(?:mon(?:day)?|tue(?:s(?:day)?)?|wed(?:nesday)?|thu(?:r(?:s(?:day)?)?)?|fri(?:day)?|sat(?:urday)?|sun(?:day)?)`;

/** How a day is written before an hour. */
export const DAY_WORD: string = String.raw`(?:day \d{1,2}|d\d{1,2}|next day|\+1|${WEEKDAY_WORD})`;

const SPOKEN = new RegExp(String.raw`^(?:(${DAY_WORD})[.,:]? )?(noon|midday|midnight)$`, "i");

/** A date with the weekday before or behind it, or without. */
const DATED = new RegExp(String.raw`^(?:(${WEEKDAY_WORD})[.,]? )?(\d{4}-\d\d-\d\d.*?)(?: \(?(${WEEKDAY_WORD})\)?)?$`, "i");

/** An optional day, then hours and minutes, parted by a colon, or by a dot where AM or PM follows or two digits stand before it. */
const CLOCK = new RegExp(
  String.raw`^(?:(${DAY_WORD})[.,:]? )?(\d{1,3})([:.])(\d{2})(?::(\d{2}))?(?: ?([ap])\.? ?m\.?)?(?: ?(?:h|hrs?|uhr|o'clock))?`
  + String.raw`(?: \(?(\+1|next day|${WEEKDAY_WORD})\)?)?$`, "i");

function ofClock(match: RegExpExecArray, asSpan: boolean): WrittenTime | null {
  const [, before, hours, mark, minutes, seconds = "0", half, after] = match;
  const hour = Number(hours);
  if (Number(minutes) > 59 || Number(seconds) > 59) return null;
  const inHour = Number(minutes) * 60 + Number(seconds);
  const dayWord = before ?? after;
  if (asSpan && half === undefined) return dayWord !== undefined ? null : { kind: "span", time: hour * 3600 + inHour };
  if (mark === "." && half === undefined && hours!.length < 2) return null;
  if (half !== undefined && (hour < 1 || hour > 12)) return null;
  if (hour > 24 || (hour === 24 && inHour > 0)) return hour <= 999 && half === undefined && dayWord === undefined ? { kind: "span", time: hour * 3600 + inHour } : null;
  const of24 = half === undefined ? hour : (hour % 12) + (/p/i.test(half) ? 12 : 0);
  const sure = half !== undefined ? (/p/i.test(half) ? "pm" : "am") : hour > 12 || hours!.startsWith("0") ? "24" : null;
  return { ...clock(of24 * 3600 + inHour, sure), ...daysOf(dayWord) };
}

function clock(time: number, half: "am" | "pm" | "24" | null): Extract<WrittenTime, { readonly kind: "clock" }> {
  return { kind: "clock", time, half, dated: false, day: null, weekday: null };
}

function daysOf(text: string | undefined): Days {
  if (text === undefined) return { day: null, weekday: null };
  const number = /^d\D*(\d+)/i.exec(text);
  if (number !== null) return { day: Number(number[1]) - 1, weekday: null };
  if (/^\+/.test(text)) return { day: 1, weekday: null };
  if (/^next/i.test(text)) return { day: "next", weekday: null };
  return { day: null, weekday: WEEKDAYS.findIndex((name) => name.slice(0, 3).toLowerCase() === text.slice(0, 3).toLowerCase()) };
}

type Days = Pick<Extract<WrittenTime, { readonly kind: "clock" }>, "day" | "weekday">;

const WEEKDAYS = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];

/** Of a moment since 1970, which began on a Thursday. */
function weekdayOf(moment: number): number {
  return (Math.floor(moment / DAY) + 3) % 7;
}

/** What is wrong with one time of a column, by its place in it. */
export interface TimeFault {
  readonly at: number;
  readonly expected: string;
}

/** A day of an axis that is known by its name. */
export interface KnownDay {
  readonly day: number;
  readonly weekday: number;
}

/** Times of a notebook on one axis. */
export interface TimeAxis {
  /** [s] */
  readonly axis: Float64Array;
  readonly kind: WrittenTime["kind"];
  readonly shows24: boolean;
  /** the first day of the axis that has a weekday beside it */
  readonly known: KnownDay | null;
  readonly faults: readonly TimeFault[];
  /** weekdays that come again after five days or more, which whoever wrote them should see */
  readonly jumps: readonly { readonly at: number; readonly days: number }[];
}

/**
 * Times of a notebook in their order on one axis [s]: spans as they stand; by the clock from the midnight before the first, over as many
 * midnights as the order and the days written ask for. Weekdays are counted on from the first time's, each the next such day; one that
 * comes again behind others is that of the next week. A fault is what leaves a doubt: a clock of 12 hours that neither names a half of
 * the day nor shows it by its order, or goes on on another day; a day before the one before it; a weekday that is not the date's, or that
 * the first time lacks; an earlier hour of the same day written again.
 *
 * @param times  null where one could not be read, which has been said already; it gives NaN
 */
export function onOneAxis(times: readonly (WrittenTime | null)[]): TimeAxis {
  const read = times.filter((time) => time !== null);
  const kind = read.filter((time) => time.kind === "clock").length * 2 > read.length ? "clock" as const : read[0]?.kind ?? "span";
  const faults: TimeFault[] = [];
  const jumps: { readonly at: number; readonly days: number }[] = [];
  const hasDate = read.some((time) => time.kind === "clock" && time.dated);
  const shows24 = read.some((time) => time.kind === "clock" && time.half === "24");
  let [last, half, day, known] = [NaN, null as "am" | "pm" | null, 0, null as KnownDay | null];
  const refused = (at: number, expected: string): number => {
    faults.push({ at, expected });
    return NaN;
  };
  const axis = Float64Array.from(times, (time, at) => {
    if (time === null) return NaN;
    if (time.kind !== kind) return refused(at, kind === "clock" ? "a time by the clock, like the others" : "a time since the first one, like the others");
    if (time.kind === "span") return time.time;
    if (hasDate) {
      if (!time.dated) return refused(at, "a day and a time, like the others");
      const own = weekdayOf(time.time);
      return time.weekday === null || time.weekday === own ? time.time : refused(at, `${WEEKDAYS[own]!}, which that date is, or no weekday`);
    }
    const isFirst = Number.isNaN(last);
    if (time.weekday !== null && known === null && !isFirst) return refused(at, "a weekday at the first time too, from which others are counted on");
    if (time.day === "next" && day > 0) return refused(at, 'its weekday or the number of its day, as in "day 3": the time before it is of another day than the first');
    const told: number | null = time.day === "next" ? 1 : time.day ?? (time.weekday === null || known === null ? null : day + (time.weekday - known.weekday - day + known.day + 700) % 7);
    if (told !== null && told < day && !isFirst) return refused(at, `day ${day + 1} or a later one: the time before it is of that day`);
    if (told !== null && time.weekday !== null && told - day > 4) jumps.push({ at, days: told - day });
    const isOther = told !== null && told !== day && !isFirst;
    let moment = time.time;
    if (time.half === "am" || time.half === "pm") half = time.half;
    else if (!shows24 && isOther) return refused(at, "AM or PM behind it, or an hour of 24: it is of another day than the one before");
    else if (!shows24 && half === "pm" && moment < 12 * 3600) moment += 12 * 3600;
    else if (!shows24 && half === "am" && moment >= 12 * 3600) moment -= 12 * 3600;
    const own = told ?? day;
    moment += own * DAY;
    if (moment < last) {
      if (told !== null) return refused(at, "an hour after the one before it, which is of the same day (a week later has its date)");
      if (!shows24 && time.half === null && moment + DAY / 2 >= last) return refused(at, "AM or PM behind it, or an hour of 24: it is earlier than the one before");
      moment += DAY;
    }
    day = Math.floor(moment / DAY);
    if (time.weekday !== null) known ??= { day, weekday: time.weekday };
    last = moment;
    return moment;
  });
  return { axis, kind, shows24, known, faults, jumps };
}

/** The days of an axis within some around a moment that a written time may be of. */
export function daysFor({ day, weekday }: Days, around: number, known: KnownDay | null): number[] {
  const near = Math.floor(around / DAY);
  if (day === "next") return [];
  if (day !== null) return [day];
  const all = [-7, -6, -5, -4, -3, -2, -1, 0, 1, 2, 3, 4, 5, 6, 7].map((k) => near + k);
  if (weekday === null) return all;
  return known === null ? [] : all.filter((each) => (each - known.day - weekday + known.weekday) % 7 === 0);
}

const DAY = 86_400;
