import type { Hyetograph } from "./hyetograph.ts";
import { splitAt } from "./splitAt.ts";

/**
 * The same rain with more edges: one at every whole step from its first edge, inside the intervals that have rain. Depths
 * are shared out evenly, as the intensity inside an interval is constant.
 *
 * @param step       [s], more than 0
 * @param isDivided  which intervals to divide, by intensity [m/s]; default all with rain
 * @throws RangeError  when the step is not more than 0
 * @example splitEvery(hyetograph({ time: [0, 900], depth: [0.003] }), 300).depth; // => [0.001, 0.001, 0.001]
 */
export function splitEvery(rain: Hyetograph, step: number, isDivided: (intensity: number) => boolean = () => true): Hyetograph {
  if (!(step > 0)) throw new RangeError(`step: expected above 0 s, got ${step}`);
  const start = rain.time[0]!;
  const edges: number[] = [];
  for (let i = 0; i < rain.depth.length; i++) {
    const [from, to, fallen] = [rain.time[i]!, rain.time[i + 1]!, rain.depth[i]!];
    if (fallen === 0 || !isDivided(fallen / (to - from))) continue;
    for (let k = Math.floor((from - start) / step) + 1; start + k * step < to; k++) {
      const edge = start + k * step;
      // An edge that differs from the interval's own only by rounding would make an interval of nothing.
      if (edge - from > NEAR * step && to - edge > NEAR * step) edges.push(edge);
    }
  }
  return splitAt(rain, edges);
}

/** Share of a step within which two edges are one. */
const NEAR = 1e-9;
