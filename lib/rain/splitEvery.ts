import { hyetograph, type Hyetograph } from "./hyetograph.ts";

/**
 * The same rain with more edges: one at every whole step from its first edge, inside the intervals that have rain. Depths
 * are shared out evenly, as the intensity inside an interval is constant.
 *
 * @param step       [s], more than 0
 * @param isDivided  which intervals to divide, by intensity [m/s]; default all with rain
 */
export function splitEvery(rain: Hyetograph, step: number, isDivided: (intensity: number) => boolean = () => true): Hyetograph {
  const start = rain.time[0]!;
  const time = [start];
  const depth: number[] = [];
  for (let i = 0; i < rain.depth.length; i++) {
    const [from, to, fallen] = [rain.time[i]!, rain.time[i + 1]!, rain.depth[i]!];
    let at = from;
    if (fallen > 0 && isDivided(fallen / (to - from))) {
      for (let k = Math.floor((from - start) / step) + 1; start + k * step < to; k++) {
        const edge = start + k * step;
        // An edge that differs from the interval's own only by rounding would make an interval of nothing.
        if (edge - at <= NEAR * step || to - edge <= NEAR * step) continue;
        time.push(edge);
        depth.push(fallen * ((edge - at) / (to - from)));
        at = edge;
      }
    }
    time.push(to);
    depth.push(at === from ? fallen : fallen * ((to - at) / (to - from)));
  }
  return hyetograph({ time, depth });
}

/** Share of a step within which two edges are one. */
const NEAR = 1e-9;
