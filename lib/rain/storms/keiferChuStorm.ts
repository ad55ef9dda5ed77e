import { readDepthDuration } from "./depthDuration.ts";
import { evenEdges } from "./evenEdges.ts";
import { nestedCurve } from "./nestedCurve.ts";
import type { StormPattern } from "./stormCurve.ts";

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
