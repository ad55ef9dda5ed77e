/** A moment on the clock: where time 0 of a run stands, and what the clock is. */
export interface RunClock {
  /** as `RainRecord.start`: `2026-06-14T15:00:00`, with a Z where it is UTC */
  readonly start: string;
  /** in which such moments are written, `America/Chicago`; only of a start in UTC */
  readonly zone?: string;
}

/** Day and time of day of a moment. */
export interface ClockTime {
  /** `2026-06-14` */
  readonly date: string;
  /** `14 June 2026` */
  readonly day: string;
  /** `17:42` */
  readonly time: string;
}

/**
 * A moment of a run by the clock.
 *
 * @param time  since the run's start [s]
 * @example clockTime({ start: "2026-06-14T15:00:00" }, 9720); // => { date: "2026-06-14", day: "14 June 2026", time: "17:42" }
 */
export function clockTime({ start, zone = "UTC" }: RunClock, time: number): ClockTime {
  const at = new Date(Date.parse(start.endsWith("Z") ? start : `${start}Z`) + Math.round(time) * 1000);
  const parts = new Intl.DateTimeFormat("en-GB", {
    timeZone: zone, year: "numeric", month: "long", day: "numeric", hour: "2-digit", minute: "2-digit", hourCycle: "h23",
  }).formatToParts(at);
  const part = (type: string): string => parts.find((each) => each.type === type)!.value;
  const number = new Intl.DateTimeFormat("en-CA", { timeZone: zone, year: "numeric", month: "2-digit", day: "2-digit" }).format(at);
  return { date: number, day: `${part("day")} ${part("month")} ${part("year")}`, time: `${part("hour")}:${part("minute")}` };
}

/** Whose clock it is, in words. */
export function clockWords({ start, zone }: RunClock): string {
  if (zone !== undefined) return `clock of ${zone}`;
  return start.endsWith("Z") ? "UTC" : "the gauge’s own clock, which names no time zone";
}
