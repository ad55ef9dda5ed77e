import { evenEdges } from "./evenEdges.ts";
import type { StormPattern } from "./stormCurve.ts";
import { stormDepth } from "./stormDepth.ts";

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
