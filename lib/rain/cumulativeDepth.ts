import type { Hyetograph } from "./hyetograph.ts";

/**
 * Rain fallen since the first edge, at every edge.
 *
 *   P(time[i]) = depth[0] + ... + depth[i - 1]
 *
 * @param rain  n intervals
 * @returns     n + 1 cumulative depths [m], the first 0, the last the storm's total
 * @example cumulativeDepth(hyetograph({ time: [0, 60, 120], depth: [0.002, 0.003] }))[2]; // => 0.005
 */
export function cumulativeDepth(rain: Hyetograph): Float64Array {
  const cumulative = new Float64Array(rain.depth.length + 1);
  for (let i = 0; i < rain.depth.length; i++) cumulative[i + 1] = cumulative[i]! + rain.depth[i]!;
  return cumulative;
}
