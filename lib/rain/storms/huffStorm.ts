import { tableValue, type StormPattern } from "./stormCurve.ts";
import { stormDepth } from "./stormDepth.ts";

/** Cumulative percent of the depth at every 5 percent of the duration, by quartile. */
const HUFF_MEDIANS: readonly (readonly number[])[] = [
  [0, 16, 33, 43, 52, 60, 66, 71, 75, 79, 82, 84, 86, 88, 90, 92, 94, 96, 97, 98, 100],
  [0, 3, 8, 12, 16, 22, 29, 39, 51, 62, 70, 76, 81, 85, 88, 91, 93, 95, 97, 98, 100],
  [0, 3, 6, 9, 12, 15, 19, 23, 27, 32, 38, 45, 57, 70, 79, 85, 89, 92, 95, 97, 100],
  [0, 2, 5, 8, 10, 13, 16, 19, 22, 25, 28, 32, 35, 39, 45, 51, 59, 72, 84, 92, 100],
];

/**
 * A storm that is heaviest in a quarter of its duration: `{ pattern: "huff-1", depth: "2 in", duration: "3 h" }`. The median
 * curves of point rainfall, straight between every 5 percent of the duration.
 *
 * @param quartile  1 to 4
 * @source  Huff 1990, Illinois State Water Survey Circular 173, Table 3, from memory (two independent listings agree)
 */
export function huffStorm(quartile: 1 | 2 | 3 | 4): StormPattern {
  return (options) => {
    const duration = options.quantity("duration", "time", { above: 0 });
    const depth = stormDepth(options, duration);
    options.done();
    const total = depth();
    const percent = HUFF_MEDIANS[quartile - 1]!;
    const edges = percent.map((_, i) => (duration * i) / 20);
    return { edges, depthBy: (time) => total * (tableValue(edges, percent, time) / 100) };
  };
}
