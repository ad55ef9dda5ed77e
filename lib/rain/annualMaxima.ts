import { YEAR } from "../text/unitTable.ts";
import { greatestDepth } from "./storms/greatestDepth.ts";
import type { Hyetograph } from "./hyetograph.ts";
import { rainBetween } from "./rainBetween.ts";

/**
 * The most rain of each whole year in any stretch of a length, wherever in the year it lies.
 *
 * @param rain       a record
 * @param durations  [s], each above 0
 * @param years      whole years from the record's first moment; one that the record does not fill has what it has
 * @returns          by duration, then year [m]
 */
export function annualMaxima(rain: Hyetograph, durations: readonly number[], years: number): number[][] {
  const start = rain.time[0]!;
  const each = Array.from({ length: years }, (_, y) => {
    const year = rainBetween(rain, start + y * YEAR, start + (y + 1) * YEAR);
    return durations.map((duration) => greatestDepth(year, duration).depth);
  });
  return durations.map((_, k) => each.map((row) => row[k]!));
}
