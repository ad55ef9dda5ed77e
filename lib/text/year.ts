/** A year of the calendar's average, 365.25 days [s]. */
export const YEAR = 31_557_600;


/**
 * Whole years in a time [s]. Up to a day may be missing, so that one, two or three years of 365 days are as many.
 *
 * @example wholeYears(365 * 86400); // => 1
 */
export function wholeYears(time: number): number {
  return Math.floor((time + 86_400) / YEAR);
}
