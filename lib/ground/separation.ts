import { greatestOf } from "../numerics/extremes.ts";
import type { TimedLevel } from "./seriesLevel.ts";

/**
 * How far a pit's floor lies above the seasonal high of the groundwater, the highest level of its series.
 *
 *   separation = floor - highest level - mound
 *
 * Public manuals ask for about a metre (3 ft in Minnesota, 1 m above the peak in two English councils' guidance); the series
 * must reach over a wet season to mean anything.
 *
 * @param floor        [m]
 * @param groundwater  null where it is far below
 * @param moundRise    rise under the pit that is to be counted, default 0 [m]
 * @returns  [m]; below 0 where the floor stands in groundwater, Infinity without groundwater
 * @source  by definition; figures as named
 * @example separation(47, { time: [0, 86400], level: [44, 45.2] }); // => 1.8
 */
export function separation(floor: number, groundwater: TimedLevel | null, moundRise = 0): number {
  return groundwater === null ? Infinity : floor - greatestOf(groundwater.level) - moundRise;
}
