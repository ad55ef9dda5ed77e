import type { Hyetograph } from "./hyetograph.ts";

/** A stretch of rain between two dry spells: intervals `first` to `last` of the record, both with rain in them. */
export interface StormSpan {
  readonly first: number;
  readonly last: number;
}

/**
 * Finds the storms of a record: stretches parted by dry spells of `dryTime` or longer. Shorter dry spells belong to the
 * storm around them.
 *
 * @param record   intervals of depth 0 are dry
 * @param dryTime  [s], more than 0; 6 h is common where storms are counted, days where the soil is to recover
 * @returns        in order of time; none where no rain fell
 * @throws RangeError  when `dryTime` is not more than 0
 * @source         minimum inter-event time, common practice
 * @example separateStorms(hyetograph({ time: [0, 60, 7260, 7320], depth: [0.01, 0, 0.02] }), 3600).length; // => 2
 */
export function separateStorms(record: Hyetograph, dryTime: number): StormSpan[] {
  if (!(dryTime > 0)) throw new RangeError(`dryTime: expected above 0 s, got ${dryTime}`);
  const spans: StormSpan[] = [];
  let first = -1;
  let last = -1;
  for (let i = 0; i < record.depth.length; i++) {
    if (record.depth[i] === 0) continue;
    const isNew = last >= 0 && record.time[i]! - record.time[last + 1]! >= dryTime;
    if (isNew) spans.push({ first, last });
    if (isNew || first < 0) first = i;
    last = i;
  }
  if (first >= 0) spans.push({ first, last });
  return spans;
}
