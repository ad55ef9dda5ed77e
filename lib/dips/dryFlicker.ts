import { firstAfter } from "../numerics/firstAfter.ts";
import type { SeasonRecord } from "./seasonModel.ts";

/**
 * A season whose dry readings are all those that a dry sensor gives by itself. Its errors lift it over the mark at which it was said to be
 * dry, each time only upward, and a run that is drawn to these readings drains too slowly at its end. So the mark goes up to the highest
 * reading of those stretches that began a day after rain at the earliest and were over within two: no water came in them. A mark that
 * is too high costs the last of a fall and makes nothing wrong.
 *
 * @returns  the season, the same where its sensor rests at its mark
 */
export function withoutFlicker(record: SeasonRecord): SeasonRecord {
  const { time, level, dry, dryAt, rain } = record;
  const wetTimes = Array.from(rain.depth).flatMap((depth, k) => (depth > LEAST_RAIN ? [rain.time[k + 1]!] : []));
  const peaks: number[] = [];
  for (let i = 1; i < time.length; i++) {
    if (dry[i] === 1 || dry[i - 1] === 0) continue;
    const last = wetTimes[firstAfter(wetTimes, time[i]!) - 1];
    let [peak, end] = [level[i]!, i];
    while (end < time.length && dry[end] === 0) peak = Math.max(peak, level[end++]!);
    const over = end < time.length && time[end]! - time[i]! < LONGEST;
    const next = wetTimes[firstAfter(wetTimes, time[i]!)] ?? Infinity;
    if (over && (last === undefined || time[i]! - last > CALM) && next > time[end]!) peaks.push(peak);
  }
  if (peaks.length < FEWEST) return record;
  const mark = Math.min(dryAt + HIGHEST, peaks.sort((a, b) => a - b).at(-1)! + 1e-6);
  return {
    ...record, dryAt: mark, dry: Uint8Array.from(level, (water) => (water <= mark ? 1 : 0)),
    level: level.map((water) => Math.max(water, mark)),
  };
}

/** Rain of a reading that may bring water [m]. */
const LEAST_RAIN = 1e-4;
/** After rain the works may still be filling for so long, by ground and long pipes; ours [s]. */
const CALM = 86_400;
/** What goes on for longer may be water that rises from the ground [s]. */
const LONGEST = 2 * 86_400;
/** Stretches that a habit of the sensor takes. */
const FEWEST = 3;
/** Over this it is no error of a sensor [m]. */
const HIGHEST = 0.06;
