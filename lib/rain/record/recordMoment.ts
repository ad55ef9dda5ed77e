/**
 * The moment at which a record of rain starts, on the clock it was written by [s since 1970].
 *
 * @param start  as `RainRecord.start`
 * @example momentOf("1970-01-02T00:00:00"); // => 86400
 */
export function momentOf(start: string): number {
  return Date.parse(hasZoneOf(start) ? start : `${start}Z`) / 1000;
}

/** Whether a record's start names a zone. */
export function hasZoneOf(start: string): boolean {
  return start.endsWith("Z");
}
