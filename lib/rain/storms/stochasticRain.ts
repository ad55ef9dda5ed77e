import { YEAR } from "../../text/unitTable.ts";
import { uniformDraw } from "../../numerics/draw.ts";
import { optionReader, type OptionReader } from "../../text/optionReader.ts";
import { hyetograph, type Hyetograph } from "../hyetograph.ts";
import { stormEvents } from "../stormEvents.ts";

/** The storms of a place, by three averages. */
export interface Climate {
  /** storms in a year, on average */
  readonly stormsPerYear: number;
  /** their depth, such as "12 mm" */
  readonly meanDepth: string;
  /** their duration, such as "6 h" */
  readonly meanDuration: string;
}

/**
 * Years of invented rain: storms of one intensity each, parted by dry spells; durations, intensities and dry spells each
 * exponentially distributed, all independent (Poisson rectangular pulses).
 *
 *   mean intensity = mean depth/mean duration,   mean dry spell = year/storms - mean duration
 *   P(depth > d) = 2 sqrt(d/m) K1(2 sqrt(d/m)),  m the mean depth
 *
 * It keeps the averages of a place and the way dry and wet follow one another. Within a storm its rain is even and its extremes
 * are those of the formula, so that a short cloudburst is better tried by a design storm.
 *
 * Year y of record r draws from (seed, r) alone: a longer record begins with the shorter one.
 *
 * @param options  the climate, `years` and `seed`; `record` tells several records of one seed apart
 * @returns        a record from 0 to the end of its years; a storm across that end is cut there
 * @throws InputError  with all problems
 * @source  Eagleson, Dynamics of flood frequency, Water Resources Research 8, 1972, and Climate, soil and vegetation, ibid. 14, 1978;
 *          from memory
 */
export function stochasticRain(options: Climate & { readonly years: number; readonly seed: number; readonly record?: number }): Hyetograph {
  const read = optionReader("climate", options, "The rain cannot be made:");
  const { perYear, meanDepth, meanDuration, years, seed, record } = readClimate(read);
  read.done();

  const meanDry = YEAR / perYear - meanDuration;
  const end = years * YEAR;
  const exponential = (mean: number, storm: number, which: number): number => (
    -mean * Math.log(uniformDraw(seed, storm, 3 * record + which))
  );
  const time = [0];
  const depth: number[] = [];
  for (let storm = 0; ; storm++) {
    const start = time.at(-1)! + exponential(meanDry, storm, 0);
    if (start >= end) break;
    const duration = exponential(meanDuration, storm, 1);
    const until = Math.min(end, start + duration);
    time.push(start, until);
    depth.push(0, (exponential(meanDepth, storm, 2) / meanDuration) * (until - start));
  }
  if (time.at(-1)! < end) {
    time.push(end);
    depth.push(0);
  }
  return hyetograph({ time, depth });
}

/** A climate, and which years of it, in SI. */
export interface ReadClimate {
  readonly perYear: number;
  readonly meanDepth: number;
  readonly meanDuration: number;
  readonly years: number;
  readonly seed: number;
  readonly record: number;
}

/** Good once `read.done()` passed. */
export function readClimate(read: OptionReader): ReadClimate {
  const perYear = read.number("stormsPerYear", { above: 0, most: 2000 });
  const meanDepth = read.quantity("meanDepth", "length", { above: 0, most: 1 });
  const meanDuration = read.quantity("meanDuration", "time", { least: 60, most: 30 * 86400 });
  const years = read.number("years", { above: 0, most: 1000 });
  const seed = read.number("seed", { least: 0, most: 4294967295 });
  const record = read.number("record", { least: 0, most: 1e6, missing: 0 });
  if (YEAR / perYear - meanDuration <= 0) {
    read.problem("meanDuration", "storms that leave a dry spell between them: stormsPerYear x meanDuration below a year");
  }
  return { perYear, meanDepth, meanDuration, years, seed, record };
}

/**
 * The climate of a record: the averages of its storms, parted by dry spells of `dryTime`.
 *
 * @param dryTime  [s], 6 h where missing
 * @throws RangeError  for a record without two storms
 */
export function climateOf(record: Hyetograph, dryTime: number = 6 * 3600): Climate {
  const storms = stormEvents(record, dryTime);
  if (storms.length < 2) throw new RangeError(`climateOf: expected a record of two storms or more, got ${storms.length}`);
  const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
  const years = (record.time.at(-1)! - record.time[0]!) / YEAR;
  return {
    stormsPerYear: storms.length / years,
    meanDepth: `${mean(storms.map(({ depth }) => depth)) * 1000} mm`,
    meanDuration: `${mean(storms.map(({ start, end }) => end - start)) / 3600} h`,
  };
}
