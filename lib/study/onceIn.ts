import { uniformDraw } from "../numerics/draw.ts";
import { ranked, valueAt } from "./exceeded.ts";

/** A value with what other years of the same rain would have made of it: 90 of 100 lie between. */
export interface Banded {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/** Years that are asked for on pages. */
const ASKED: readonly number[] = [2, 5, 10, 30, 100, 300];

/** Those of them that a number of years of rain can tell: a third of the years at most, as rarer ones hang on the two or three largest. */
export function tellableYears(years: number): number[] {
  return ASKED.filter((each) => each <= (years / 3) * (1 + 1e-9));
}

/**
 * What is reached in one of N years, with its band by resampling of the years (the bootstrap): years are drawn again and again from
 * those there are, each with all its values together, and the middle 90 of 100 results are the band.
 *
 * @param years    for each year its values, one for each soil, NaN if missing
 * @param asked    years
 * @returns        one for each of `asked`; null where no year has a value
 * @source  Efron, Annals of Statistics 7, 1979: percentile intervals
 */
export function onceIn(years: readonly (readonly number[])[], asked: readonly number[]): (Banded | null)[] {
  const whole = ranked(years.flat());
  if (whole.length === 0) return asked.map(() => null);
  const drawn = Array.from({ length: RESAMPLES }, (_, r) => {
    const again = ranked(years.flatMap((__, y) => years[Math.floor(uniformDraw(SEED, r, y) * years.length)]!));
    return asked.map((each) => (again.length === 0 ? NaN : valueAt(again, each)));
  });
  return asked.map((each, i) => {
    const results = drawn.map((row) => row[i]!).filter((value) => !Number.isNaN(value)).sort((a, b) => a - b);
    const at = (share: number): number => results[Math.min(results.length - 1, Math.floor(share * results.length))]!;
    return { value: valueAt(whole, each), low: at(0.05), high: at(0.95) };
  });
}

/** Enough for an end of the band to be steady to a twentieth of its width. */
const RESAMPLES = 400;
const SEED = 19;
