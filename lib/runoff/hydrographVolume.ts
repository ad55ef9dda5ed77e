import type { Hydrograph } from "./hydrograph.ts";

/**
 * Water that a hydrograph carries: the area under its straight lines.
 *
 * @returns  volume [m3]
 * @example hydrographVolume(hydrograph({ time: [0, 60, 120], flow: [0, 0.01, 0] })); // => 0.6
 */
export function hydrographVolume({ time, flow }: Hydrograph): number {
  let volume = 0;
  for (let i = 1; i < time.length; i++) volume += (time[i]! - time[i - 1]!) * ((flow[i - 1]! + flow[i]!) / 2);
  return volume;
}
