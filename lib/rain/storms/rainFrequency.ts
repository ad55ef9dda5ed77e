import { exponential, exponentialLess1, logarithm, logarithmOf1Plus } from "../../numerics/powers.ts";
import { straightThrough } from "../../numerics/straightThrough.ts";
import { quantity } from "../../text/quantity.ts";
import { YEAR } from "../../text/unitTable.ts";
import { depthDuration, type Rainfall } from "./depthDuration.ts";
import type { RainfallSeries, RainfallTable } from "./tableDepth.ts";
import { UK_DURATIONS } from "./ukDepth.ts";

/** Depths of rain by duration and by how often a year they are passed. */
export interface RainFrequency {
  /** what a return period of the table means */
  readonly series: RainfallSeries;
  /** whether the table says so itself */
  readonly isSeriesSaid: boolean;
  /** [s], rising, up to a day */
  readonly durations: readonly number[];
  /** of the table's columns [years], rising */
  readonly returnPeriods: readonly number[];
  /** events a year that pass what comes once in a return period [years] of the table */
  rateOf(returnPeriod_year: number): number;
  /**
   * Depth [m] that is passed at a rate: the table's own between its columns, beyond the last one straight on in the same logarithms.
   * More often than at the first column it is exponential, straight on in the logarithm of the rate as between the first two columns, or
   * less steeply where it would come to 0 before `most` events a year.
   *
   * @param which  index of the duration
   * @param rate   events a year, above 0
   * @param most   events a year, above the first column's rate
   */
  depth(which: number, rate: number, most: number): number;
}

/**
 * A place's rain by rate. The two kinds of tables tell of the same storms (Langbein): with events that come at a rate v, independent of
 * one another, the year's largest passes a depth with a probability of 1 - exp(-v), so that
 *
 *   annual maxima:     T = 1/(1 - exp(-v))
 *   partial duration:  T = 1/v
 *
 * @param rainfall  a table with two return periods and two durations or more, or the UK's factors
 * @returns         null for rain of one return period or duration, for an equation and for a function of a program's own, which tell
 *                  of no rates
 * @throws InputError  for a table that is wrong
 * @source  Langbein, Annual floods and the partial-duration flood series, Trans. AGU 30, 1949
 */
export function rainFrequency(rainfall: Rainfall): RainFrequency | null {
  if (typeof rainfall === "function" || "form" in rainfall) return null;
  const written = "rows" in rainfall ? tableGrid(rainfall) : { series: "annual-maximum" as const, periods: UK_PERIODS, durations: UK_DURATIONS };
  const { series, periods, durations } = written;
  if (periods.length < 2 || durations.length < 2) return null;
  const columns = periods.map((period) => depthDuration({ rainfall, returnPeriod: `${period} s` }));
  const depths = durations.map((duration) => columns.map((column) => column(duration)));
  const years = periods.map((period) => period / YEAR);
  const isAnnual = series === "annual-maximum";
  const rateOf = (period: number): number => (isAnnual ? -logarithmOf1Plus(-1 / period) : 1 / period);
  const [at, logs] = [years.map(logarithm), depths.map((row) => row.map(logarithm))];
  const [first, second] = [rateOf(years[0]!), rateOf(years[1]!)];
  return {
    series, durations, rateOf,
    isSeriesSaid: !("rows" in rainfall) || rainfall.series !== undefined,
    returnPeriods: years,
    depth(which, rate, most) {
      if (rate > first) {
        const [depth, next] = depths[which]!;
        const own = (next! - depth!) / logarithm(first / second);
        return rate >= most ? 0 : depth! - Math.min(own, depth! / logarithm(most / first)) * logarithm(rate / first);
      }
      return exponential(straightThrough(at, logs[which]!, logarithm(isAnnual ? -1 / exponentialLess1(-rate) : 1 / rate)));
    },
  };
}

const DAY = 86400;

/** Return periods of the UK's factors, without their 1 year: annual maxima have no return period of 1 year. */
const UK_PERIODS: readonly number[] = [2, 3, 4, 5, 10, 20, 50, 100].map((years) => years * YEAR);

function tableGrid({ rows, returnPeriods, series = "annual-maximum" }: RainfallTable): {
  readonly series: RainfallSeries; readonly periods: readonly number[]; readonly durations: readonly number[];
} {
  const periods = returnPeriods.map((text) => quantity(text, "time", "returnPeriods"));
  const durations = Object.keys(rows).map((text) => quantity(text, "time", "rows")).sort((a, b) => a - b);
  // a maximum of a year is passed in more than one year out of one
  const usable = series === "annual-maximum" ? periods.filter((period) => period > YEAR * (1 + 1e-9)) : periods;
  return { series, periods: usable, durations: durations.filter((duration) => duration <= DAY * (1 + 1e-9)) };
}
