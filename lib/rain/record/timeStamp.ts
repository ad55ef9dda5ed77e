/** Order of year, month and day; where the year comes last, the dates themselves do not tell it. */
export type DateOrder = "year-month-day" | "month/day/year" | "day/month/year";

export const DATE_ORDERS: readonly DateOrder[] = ["year-month-day", "month/day/year", "day/month/year"];

/** A time read: seconds since 1970-01-01T00:00 of UTC, or of the clock where the stamp names no zone. */
export interface TimeStamp {
  readonly time: number;
  readonly hasZone: boolean;
  /** whether it is written to the second */
  readonly hasSeconds: boolean;
}

/**
 * Reads a time stamp: `2012-01-31`, `2012/01/31 13:45`, `2012-01-31T13:45:30.5Z`, `2012-01-31 13:45+01:00`, and in another
 * order `1/31/2012 1:45 PM`. 24:00 is the end of its day. The day alone is its first moment.
 *
 * @returns  null where the text is no such stamp, or names a day or an hour that does not exist
 * @example timeStamp("1970-01-02T01:00+01:00", "year-month-day"); // => { time: 86400, hasZone: true, hasSeconds: false }
 */
export function timeStamp(text: string, order: DateOrder): TimeStamp | null {
  const [date, clock] = order === "year-month-day" ? isoDate(text) : orderedDate(text, order);
  if (date === null) return null;
  if (clock === "") return { time: date * 86400, hasZone: false, hasSeconds: false };
  const plain = clock.length === 5 && clock[2] === ":" ? digits(clock, 0, 2) * 3600 + digits(clock, 3, 5) * 60 : NaN;
  // Hours and minutes of a day, which nearly all stamps of a record are.
  if (plain < 86400 && digits(clock, 3, 5) < 60) return { time: date * 86400 + plain, hasZone: false, hasSeconds: false };
  const match = CLOCK.exec(clock);
  if (match === null) return null;
  const [, hour, minute, second, half, zone, sign, zoneHour = "0", zoneMinute = "0"] = match;
  const h = half === undefined ? Number(hour) : twelveHours(Number(hour), half);
  const inDay = h * 3600 + Number(minute) * 60 + Number(second ?? 0);
  if (!(h >= 0 && Number(minute) < 60 && Number(second ?? 0) < 60 && inDay <= 86400)) return null;
  const offset = (Number(zoneHour) * 60 + Number(zoneMinute)) * (sign === "-" ? -60 : 60);
  return { time: date * 86400 + inDay - (zone === undefined ? 0 : offset), hasZone: zone !== undefined, hasSeconds: second !== undefined };
}

/**
 * The other orders in which a text would be a time stamp, for those who have not said which one it is in.
 *
 * @example otherOrders("1/31/2012 1:45", "year-month-day"); // => ["month/day/year"]
 */
export function otherOrders(text: string, order: DateOrder): DateOrder[] {
  return DATE_ORDERS.filter((other) => other !== order && timeStamp(text, other) !== null);
}

const CLOCK = /^\s*(\d{1,2}):(\d{2})(?::(\d{2}(?:\.\d+)?))?(?:\s*([AaPp][Mm]))?\s*(Z|z|UTC|([+-])(\d{2}):?(\d{2})?)?$/;
const SLASHED = /^(\d{1,2})[/.](\d{1,2})[/.](\d{4})(?:[ T,]\s*(.+))?$/;

/** Day number and what follows; letter by letter, as a record has half a million of them. */
function isoDate(text: string): [day: number | null, clock: string] {
  if (text.length < 10 || text[4] !== text[7] || (text[4] !== "-" && text[4] !== "/")) return [null, ""];
  const year = digits(text, 0, 4);
  const month = digits(text, 5, 7);
  const day = digits(text, 8, 10);
  if (text.length === 11 || (text.length > 11 && text[10] !== " " && text[10] !== "T")) return [null, ""];
  return [dayNumber(year, month, day), text.slice(11)];
}

function orderedDate(text: string, order: DateOrder): [day: number | null, clock: string] {
  const match = SLASHED.exec(text);
  if (match === null) return [null, ""];
  const [first, second] = [Number(match[1]), Number(match[2])];
  const [month, day] = order === "month/day/year" ? [first, second] : [second, first];
  return [dayNumber(Number(match[3]), month, day), match[4] ?? ""];
}

function digits(text: string, from: number, to: number): number {
  let value = 0;
  for (let i = from; i < to; i++) {
    const digit = text.charCodeAt(i) - 48;
    if (!(digit >= 0 && digit <= 9)) return NaN;
    value = value * 10 + digit;
  }
  return value;
}

/** Days since 1970-01-01 in the Gregorian calendar; null where there is no such day. */
function dayNumber(year: number, month: number, day: number): number | null {
  if (!(year >= 1000 && month >= 1 && month <= 12 && day >= 1)) return null;
  const isLeap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  if (day > (month === 2 && isLeap ? 29 : DAYS[month - 1]!)) return null;
  const y = year - 1;
  const before = y * 365 + Math.floor(y / 4) - Math.floor(y / 100) + Math.floor(y / 400);
  return before + DAYS_BEFORE[month - 1]! + (isLeap && month > 2 ? 1 : 0) + day - 1 - 719162;
}

const DAYS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
const DAYS_BEFORE = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];

function twelveHours(hour: number, half: string): number {
  if (hour < 1 || hour > 12) return NaN;
  return (hour % 12) + (half.toLowerCase() === "pm" ? 12 : 0);
}
