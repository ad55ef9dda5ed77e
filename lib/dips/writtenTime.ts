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
    /** days that were written as such, "day 2" is 1; null where nothing is said */
    readonly day: number | null;
  }
  | { readonly kind: "span"; readonly time: number };

/**
 * A time in one of the ways of a field notebook: `8:15`, `8:15 AM`, `8.15 pm`, `0815`, `2026-06-14 08:15`, `day 2 7:30`, `noon`, or as
 * a span `1h40`, `1 h 40 min`, `100 min`, `at once`.
 *
 * @param text    what is written, without blanks at its ends
 * @param unit    of a bare number, "" where its column names none
 * @param asSpan  whether `1:40` counts from something, as in a column "since …"
 * @returns       null where it is no such time
 */
export function writtenTime(text: string, unit: string, asSpan: boolean): WrittenTime | null {
  const plain = text.trim().replace(/\s+/g, " ");
  if (/^(at once|start|full|0)$/i.test(plain)) return { kind: "span", time: 0 };
  const spoken = /^(noon|midday|midnight)$/i.exec(plain);
  if (spoken !== null) return clock(/^mid(night)$/i.test(plain) ? 0 : 12 * 3600, "24");
  const stamp = timeStamp(plain, "year-month-day");
  if (stamp !== null) return { kind: "clock", time: stamp.time, half: "24", dated: true, day: null };
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

/** An optional day, then hours and minutes, parted by a colon, or by a dot where AM or PM follows or two digits stand before it. */
const CLOCK = /^(?:(day \d{1,2}|d\d{1,2}|next day|\+1|(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*)[.,]? )?(\d{1,3})([:.])(\d{2})(?::(\d{2}))?(?: ?([ap])\.? ?m\.?)?(?: ?(?:h|hrs?|uhr|o'clock))?(?: \(?(\+1|next day)\)?)?$/i;

function ofClock(match: RegExpExecArray, asSpan: boolean): WrittenTime | null {
  const [, before, hours, mark, minutes, seconds = "0", half, after] = match;
  const hour = Number(hours);
  if (Number(minutes) > 59 || Number(seconds) > 59) return null;
  const inHour = Number(minutes) * 60 + Number(seconds);
  if (asSpan && half === undefined) return { kind: "span", time: hour * 3600 + inHour };
  if (mark === "." && half === undefined && hours!.length < 2) return null;
  if (half !== undefined && (hour < 1 || hour > 12)) return null;
  if (hour > 24 || (hour === 24 && inHour > 0)) return hour <= 999 && half === undefined ? { kind: "span", time: hour * 3600 + inHour } : null;
  const of24 = half === undefined ? hour : (hour % 12) + (/p/i.test(half) ? 12 : 0);
  const sure = half !== undefined ? (/p/i.test(half) ? "pm" : "am") : hour > 12 || hours!.startsWith("0") ? "24" : null;
  return { ...clock(of24 * 3600 + inHour, sure), day: dayOf(before ?? after) };
}

function clock(time: number, half: "am" | "pm" | "24" | null): Extract<WrittenTime, { readonly kind: "clock" }> {
  return { kind: "clock", time, half, dated: false, day: null };
}

function dayOf(text: string | undefined): number | null {
  if (text === undefined) return null;
  const number = /\d+/.exec(text);
  if (/^d/i.test(text) && number !== null) return Number(number[0]) - 1;
  if (/^(next|\+)/i.test(text)) return 1;
  return null;
}

/** What is wrong with one time of a column, by its place in it. */
export interface TimeFault {
  readonly at: number;
  readonly expected: string;
}

/**
 * Times of a notebook in their order on one axis [s]: spans as they stand; by the clock from the midnight before the first, over as many
 * midnights as the order asks for. A clock of 12 hours that neither names a half of the day nor shows it by its order is a fault.
 *
 * @param times  null where one could not be read, which has been said already; it gives NaN
 */
export function onOneAxis(times: readonly (WrittenTime | null)[]): { readonly axis: Float64Array; readonly kind: WrittenTime["kind"]; readonly shows24: boolean; readonly faults: readonly TimeFault[] } {
  const known = times.filter((time) => time !== null);
  const kind = known.filter((time) => time.kind === "clock").length * 2 > known.length ? "clock" as const : known[0]?.kind ?? "span";
  const faults: TimeFault[] = [];
  const hasDate = known.some((time) => time.kind === "clock" && time.dated);
  const shows24 = known.some((time) => time.kind === "clock" && time.half === "24");
  let [last, half, day, given] = [NaN, null as "am" | "pm" | null, 0, 0];
  const axis = Float64Array.from(times, (time, at) => {
    if (time === null) return NaN;
    if (time.kind !== kind) {
      faults.push({ at, expected: kind === "clock" ? "a time by the clock, like the others" : "a time since the first one, like the others" });
      return NaN;
    }
    if (time.kind === "span") return time.time;
    if (hasDate) {
      if (!time.dated) faults.push({ at, expected: "a day and a time, like the others" });
      return time.dated ? time.time : NaN;
    }
    if (time.day !== null && time.day > given) {
      given = time.day;
      day = Math.max(day, time.day);
    }
    let moment = time.time;
    if (time.half === "am" || time.half === "pm") half = time.half;
    else if (!shows24 && half === "pm" && moment < 12 * 3600) moment += 12 * 3600;
    else if (!shows24 && half === "am" && moment >= 12 * 3600) moment -= 12 * 3600;
    moment += day * DAY;
    if (moment < last) {
      if (!shows24 && time.half === null && time.day === null && moment + DAY / 2 >= last) {
        faults.push({ at, expected: "AM or PM behind it, or an hour of 24: it is earlier than the one before" });
        return NaN;
      }
      moment += DAY;
      day += 1;
    }
    last = moment;
    return moment;
  });
  return { axis, kind, shows24, faults };
}

const DAY = 86_400;
