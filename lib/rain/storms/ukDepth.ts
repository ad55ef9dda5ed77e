import { logarithm } from "../../numerics/powers.ts";
import { YEAR } from "../../text/unitTable.ts";
import type { DepthDuration } from "./depthDuration.ts";
import type { OptionReader } from "../../text/optionReader.ts";
import { InputError } from "../../text/problem.ts";
import { tableValue } from "./stormCurve.ts";

/** Rain of a place in England or Wales: `{ m5_60: "20 mm", r: 0.4 }`. */
export interface UkRainfall {
  /** depth of 60 minutes at a return period of 5 years */
  readonly m5_60: string;
  /** ratio of the 60-minute to the 2-day depth at 5 years, 0.12 to 0.45 */
  readonly r: number;
}

/**
 * Depth by duration after M5-60 and r, 5 min to 24 h, 1 to 100 years.
 *
 *   M5(D) = Z1(r, D) * M5-60,   MT(D) = Z2(T, M5(D)) * M5(D)
 *
 * Z1 is read straight between values of r and in the logarithm of D; Z2 straight in M5 and in the logarithm of T.
 *
 * @source  Wallingford Procedure and BRE Digest 365, Tables 1 and 2, FROM MEMORY. Rows r 0.39 and 0.42 of Z1 and the ten-year
 *          column of Z2 agree with a public calculation sheet of 2017 (to 1 percent); nothing else was checked. The five-year
 *          column is not 1 but 1.02 to 1.03 there and is used as it stands, on the safe side. England and Wales only
 */
export function ukDepth(place: OptionReader, options: OptionReader): DepthDuration {
  const hourDepth = place.quantity("m5_60", "length", { above: 0 });
  const r = place.number("r", { least: R[0]!, most: R[R.length - 1]! });
  const period_year = options.quantity("returnPeriod", "time", { above: 0 }) / YEAR;
  // Years given as text come back within rounding of the whole number.
  if (Number.isFinite(period_year) && !(period_year > 1 - 1e-9 && period_year < 100 + 1e-9)) {
    options.problem("returnPeriod", "1 year to 100 years");
  }
  return (duration) => {
    const minutes = duration / 60;
    if (!(minutes >= 5 - 1e-9 && minutes <= 1440 + 1e-9)) {
      const got = `${Number(minutes.toPrecision(6))} min`;
      throw new InputError("The UK method does not cover the storm:", [{ where: place.where, expected: "a duration from 5 min to 1440 min", got }]);
    }
    const fiveYear = hourDepth * tableValue(R, Z1.map((row) => tableValue(LOG_MINUTES, row, logarithm(minutes))), r);
    const growth = Z2.map((row) => tableValue(M5_MM, row, 1000 * fiveYear));
    return fiveYear * tableValue(LOG_YEARS, growth, logarithm(period_year));
  };
}


const R: readonly number[] = [0.12, 0.15, 0.18, 0.21, 0.24, 0.27, 0.3, 0.33, 0.36, 0.39, 0.42, 0.45];
const MINUTES: readonly number[] = [5, 10, 15, 30, 60, 120, 240, 360, 600, 1440];
const LOG_MINUTES: readonly number[] = MINUTES.map(logarithm);
/** Durations that Z1 has a column for [s]. */
export const UK_DURATIONS: readonly number[] = MINUTES.map((minutes) => 60 * minutes);
/** A row for each r. */
const Z1: readonly (readonly number[])[] = [
  [0.22, 0.34, 0.45, 0.67, 1, 1.48, 2.17, 2.75, 3.7, 6],
  [0.25, 0.38, 0.48, 0.69, 1, 1.42, 2.02, 2.46, 3.23, 4.9],
  [0.27, 0.41, 0.51, 0.71, 1, 1.36, 1.86, 2.25, 2.86, 4.3],
  [0.29, 0.43, 0.54, 0.73, 1, 1.33, 1.77, 2.12, 2.62, 3.6],
  [0.31, 0.46, 0.56, 0.75, 1, 1.3, 1.71, 2, 2.4, 3.35],
  [0.33, 0.48, 0.58, 0.76, 1, 1.27, 1.64, 1.88, 2.24, 3.1],
  [0.34, 0.49, 0.59, 0.77, 1, 1.25, 1.57, 1.78, 2.12, 2.84],
  [0.35, 0.5, 0.61, 0.78, 1, 1.23, 1.53, 1.73, 2.04, 2.6],
  [0.36, 0.51, 0.62, 0.79, 1, 1.22, 1.48, 1.67, 1.9, 2.42],
  [0.37, 0.52, 0.63, 0.8, 1, 1.21, 1.46, 1.62, 1.82, 2.28],
  [0.38, 0.53, 0.64, 0.81, 1, 1.2, 1.42, 1.57, 1.74, 2.16],
  [0.39, 0.54, 0.65, 0.82, 1, 1.19, 1.38, 1.51, 1.68, 2.03],
];

const LOG_YEARS: readonly number[] = [1, 2, 3, 4, 5, 10, 20, 50, 100].map(logarithm);
const M5_MM: readonly number[] = [5, 10, 15, 20, 25, 30, 40, 50, 75, 100];
/** A row for each return period. */
const Z2: readonly (readonly number[])[] = [
  [0.62, 0.61, 0.62, 0.64, 0.66, 0.68, 0.7, 0.72, 0.76, 0.78],
  [0.79, 0.79, 0.8, 0.81, 0.82, 0.83, 0.84, 0.85, 0.87, 0.88],
  [0.89, 0.9, 0.9, 0.9, 0.91, 0.91, 0.92, 0.93, 0.93, 0.94],
  [0.97, 0.97, 0.97, 0.97, 0.97, 0.97, 0.97, 0.98, 0.98, 0.98],
  [1.02, 1.03, 1.03, 1.03, 1.03, 1.03, 1.02, 1.02, 1.02, 1.02],
  [1.19, 1.22, 1.24, 1.24, 1.24, 1.22, 1.19, 1.17, 1.14, 1.13],
  [1.36, 1.41, 1.44, 1.45, 1.44, 1.42, 1.38, 1.34, 1.28, 1.25],
  [1.56, 1.65, 1.7, 1.73, 1.72, 1.7, 1.64, 1.58, 1.47, 1.4],
  [1.79, 1.91, 1.99, 2.03, 2.01, 1.97, 1.89, 1.81, 1.64, 1.54],
];
