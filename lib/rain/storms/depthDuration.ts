import { equationDepth } from "./equationDepth.ts";
import { optionReader, type OptionReader } from "../../text/optionReader.ts";
import { tableDepth, type RainfallTable } from "./tableDepth.ts";
import { ukDepth, type UkRainfall } from "./ukDepth.ts";
import type { RainfallEquation } from "./equationDepth.ts";

/**
 * Depth of rain by its duration for one return period, [s] -> [m]: 0 at 0, rising, and less and less steeply. A function of
 * a program's own serves wherever the library takes one.
 */
export type DepthDuration = (duration: number) => number;

/** The rain of a place: a table as it was published, an equation, the UK's M5-60 and r, or a function. */
export type Rainfall = RainfallTable | RainfallEquation | UkRainfall | DepthDuration;

/** Which rain of the place. */
export interface RainfallChoice {
  readonly rainfall: Rainfall;
  /** such as "10 year"; not asked for by equations, which hold for one return period only */
  readonly returnPeriod?: string;
  /** multiplies every depth, default 1 */
  readonly climateFactor?: number;
}

/**
 * Depth by duration at a place, from a table, an equation or the UK method.
 *
 * @param choice  plain data, as inside a storm of a site file
 * @returns       [s] -> [m]; throws an InputError outside the durations that its source covers
 * @throws InputError  with all problems of the table or equation
 * @example depthDuration({ rainfall: { unit: "in/hr", returnPeriods: ["10 year"], rows: { "5 min": [7.14], "10 min": [5.71] } },
 *   returnPeriod: "10 year" })(300); // => 0.01511
 */
export function depthDuration(choice: RainfallChoice): DepthDuration {
  const read = optionReader("depthDuration", choice, "The rainfall cannot be used:");
  const depth = readDepthDuration(read);
  read.done();
  return depth;
}

/** As `depthDuration`, inside the options of a storm. The function returned is only good once `options.done()` passed. */
export function readDepthDuration(options: OptionReader): DepthDuration {
  const climateFactor = options.number("climateFactor", { above: 0, most: 10, missing: 1 });
  const given = options.raw("rainfall");
  if (typeof given === "function") return (duration) => climateFactor * (given as DepthDuration)(duration);
  const rainfall = options.child("rainfall");
  const source = sourceOf(rainfall, options);
  return (duration) => (duration === 0 ? 0 : climateFactor * source(duration));
}

function sourceOf(rainfall: OptionReader, options: OptionReader): DepthDuration {
  if (rainfall.has("rows")) return tableDepth(rainfall, options);
  if (rainfall.has("form")) return equationDepth(rainfall);
  if (rainfall.has("m5_60")) return ukDepth(rainfall, options);
  options.has("returnPeriod");
  rainfall.keys().forEach((key) => rainfall.has(key));
  const expected = 'a table (with "rows"), an equation (with "form") or the UK method (with "m5_60")';
  if (typeof options.raw("rainfall") === "object") options.problem("rainfall", expected, `the keys ${rainfall.keys().join(", ") || "of none"}`);
  return () => NaN;
}
