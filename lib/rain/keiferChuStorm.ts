import { readDepthDuration } from "./depthDuration.ts";
import { evenEdges } from "./evenEdges.ts";
import type { StormPattern } from "./stormCurve.ts";

/**
 * The smooth nested storm: around its peak every stretch, cut at the peak in the ratio r to 1 - r, has the depth D that the
 * place has for that duration.
 *
 *   { pattern: "keifer-chu", duration: "1 h", interval: "5 min", rainfall: {...} }
 *
 * With the peak at r T the rain fallen by t is
 *
 *   r D(T) - r D((r T - t) / r)                    before the peak
 *   r D(T) + (1 - r) D((t - r T) / (1 - r))        after it
 *
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
  const peak = peakAt * duration;
  const beforePeak = peakAt * rain(duration);
  // The ends of both branches are the whole storm, however the division rounds.
  const depthBy = (time: number): number => {
    if (time < peak) return beforePeak - peakAt * rain(Math.min(duration, (peak - time) / peakAt));
    return time > peak ? beforePeak + (1 - peakAt) * rain(Math.min(duration, (time - peak) / (1 - peakAt))) : beforePeak;
  };
  return { edges: evenEdges(duration, interval, peak), depthBy };
};
