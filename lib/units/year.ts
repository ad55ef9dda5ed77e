/** A year of the calendar's average, 365.25 days [s]. */
export const YEAR = 31_557_600;
