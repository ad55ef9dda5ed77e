import { blocksFalling } from "./blocksFalling.ts";
import { readDepthDuration } from "./depthDuration.ts";
import { evenEdges } from "./evenEdges.ts";
import { nestedCurve } from "./nestedCurve.ts";
import type { StormPattern } from "./stormCurve.ts";
import { stormDepth } from "./stormDepth.ts";

/**
 * The smooth nested storm: around its peak every stretch, cut at the peak in the ratio r to 1 - r, has the depth D that the
 * place has for that duration.
 *
 *   { pattern: "keifer-chu", duration: "1 h", interval: "5 min", rainfall: {...} }
 *
 * The rain fallen by a time is that of `nestedCurve`,
 * whose derivative is Keifer and Chu's intensity, but no derivative is needed: a table serves as well as an equation. The
 * peak is an edge of the intervals, which count from it. `peakAt` is r, default 0.375.
 *
 * @source  Keifer & Chu 1957, J. Hydraulics Division ASCE, from memory, Chicago's r of 3/8 too; the cumulative form derived
 */
export const keiferChuStorm: StormPattern = (options) => {
  const duration = options.quantity("duration", "time", { above: 0 });
  const interval = options.quantity("interval", "time", { above: 0 });
  const peakAt = options.number("peakAt", { least: 0, most: 1, missing: 0.375 });
  if (duration / interval > 10000) options.problem("interval", "a ten-thousandth of the duration or more");
  const rain = readDepthDuration(options);
  options.done();
  return { edges: evenEdges(duration, interval, peakAt * duration), depthBy: nestedCurve(rain, duration, peakAt) };
};

/**
 * Intensity that rises in a straight line to twice the mean and falls back: `{ pattern: "triangular", depth: "1 in",
 * duration: "2 h" }`. `peakAt` is the peak's share of the duration (default 0.5), `interval` the length of the intervals it
 * is cut into (default a 24th of the duration), each with its exact depth.
 *
 * @source  triangular hyetograph, common practice
 */
export const triangularStorm: StormPattern = (options) => {
  const duration = options.quantity("duration", "time", { above: 0 });
  const interval = options.quantity("interval", "time", { above: 0, missing: duration / 24 });
  const peakAt = options.number("peakAt", { least: 0, most: 1, missing: 0.5 });
  if (duration / interval > 10000) options.problem("interval", "a ten-thousandth of the duration or more");
  const depth = stormDepth(options, duration);
  options.done();
  const [total, peak] = [depth(), peakAt * duration];
  return {
    edges: evenEdges(duration, interval, peak),
    depthBy(time) {
      const [before, after] = [time / duration, 1 - time / duration];
      return total * (time <= peak ? (peak === 0 ? 0 : (before * before) / peakAt) : 1 - (after * after) / (1 - peakAt));
    },
  };
};

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

/**
 * Constant intensity: `{ pattern: "block", depth: "34 mm", duration: "1 h" }`; instead of the depth an
 * `intensity: "140 mm/h"` may stand.
 *
 * @source  HDS-2 (FHWA-NHI-02-001, 2nd ed. 2002), constant-intensity design storm, Example 6.5 p. 6-32
 */
export const blockStorm: StormPattern = (options) => {
  const duration = options.quantity("duration", "time", { above: 0 });
  const depth = options.has("intensity")
    ? duration * options.quantity("intensity", "speed", { least: 0 }) * options.number("climateFactor", { above: 0, most: 10, missing: 1 })
    : stormDepth(options, duration);
  options.done();
  const total = typeof depth === "number" ? depth : depth();
  return { edges: [0, duration], depthBy: (time) => total * (time / duration) };
};

/**
 * The nested storm of a place: every stretch around the peak has the depth that the place has for that duration.
 *
 *   { pattern: "alternating-block", duration: "2 h", interval: "10 min", rainfall: {...}, returnPeriod: "10 year" }
 *
 * Block k of the falling row has the depth D(k dt) - D((k - 1) dt). The largest comes at `peakAt`, a share of the duration
 * (default 0.5: the third of six, the sixth of twelve), the next after it, the next before it, and so on; where one side is
 * full the rest follow on the other.
 *
 * @source  HDS-2 (FHWA-NHI-02-001, 2nd ed. 2002), Example 6.6 p. 6-36; Chow, Maidment & Mays 1988, Example 14.4.1
 */
export const alternatingBlockStorm: StormPattern = (options) => {
  const peakAt = options.number("peakAt", { least: 0, most: 1, missing: 0.5 });
  return blocksFalling(options, {}, (falling) => alternate(falling, peakAt));
};

function alternate(falling: readonly number[], peakAt: number): number[] {
  const peak = Math.max(0, Math.ceil(peakAt * falling.length) - 1);
  const blocks = new Array<number>(falling.length);
  blocks[peak] = falling[0]!;
  let [before, after] = [peak - 1, peak + 1];
  for (let k = 1; k < falling.length; k++) {
    const isAfter = before < 0 || (after < falling.length && k % 2 === 1);
    blocks[isAfter ? after++ : before--] = falling[k]!;
  }
  return blocks;
}
