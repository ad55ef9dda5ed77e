import type { Hyetograph } from "../../lib/rain/hyetograph.ts";
import { stochasticRain } from "../../lib/rain/storms/stochasticRain.ts";

/** Invented rain by the hour, from the library's own generator of showers; the same numbers give the same rain. */
export function hourlyRain(days: number, seed: number): Hyetograph {
  const shower = stochasticRain({ stormsPerYear: 80, meanDepth: "11 mm", meanDuration: "7 h", years: 1, seed });
  const hours = days * 24;
  const depth = new Float64Array(hours);
  shower.depth.forEach((fell, i) => {
    const [from, to] = [shower.time[i]!, shower.time[i + 1]!];
    for (let hour = Math.floor(from / 3600); fell > 0 && hour < Math.min(hours, Math.ceil(to / 3600)); hour++) {
      depth[hour]! += (fell * Math.max(0, Math.min(to, (hour + 1) * 3600) - Math.max(from, hour * 3600))) / (to - from);
    }
  });
  return { time: Float64Array.from({ length: hours + 1 }, (_, i) => 3600 * i), depth };
}
