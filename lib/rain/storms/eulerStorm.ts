import { blocksFalling } from "./blocksFalling.ts";
import type { StormPattern } from "./stormCurve.ts";

/**
 * The second type of Euler: blocks of the place's rain that rise to a peak at three tenths of the duration and fall from there.
 *
 *   { pattern: "euler-2", duration: "60 min", rainfall: {...}, returnPeriod: "2 year" }
 *
 * The peak's block begins at 0.3 of the duration, rounded down to a whole `interval` (5 min where missing). The next largest
 * blocks stand before it, the larger the nearer, back to the beginning; all others follow it, falling.
 *
 * @source  as used in Germany for storm sewers (DWA-A 118), from memory
 */
export const eulerStorm: StormPattern = (options) => blocksFalling(options, options.has("interval") ? {} : { missing: 300 }, (falling) => {
  const peak = Math.floor(0.3 * falling.length + 1e-9);
  return [...falling.slice(0, peak + 1).reverse(), ...falling.slice(peak + 1)];
});
