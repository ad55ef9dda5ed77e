import type { Site } from "../site/site.ts";
import { durationText } from "../text/format.ts";
import { staffText } from "../text/staffText.ts";
import { fallFrom, PASS_AFTER } from "./fillSheet.ts";
import type { FilledPit } from "./fillModel.ts";

/** What the crew's paper says of a fill test: whether it passes. */
export interface PassLine {
  /** of the reading that is asked, after the first one with the hose shut [s] */
  readonly after: number;
  /** the level as drawn then, and as read [m] */
  readonly line: number;
  readonly read: number;
  readonly passes: boolean;
  readonly sentence: string;
}

/** A reading so near to the paper's hours is taken for theirs, as a share of them. */
const NEAR = 0.1;

/**
 * Whether a fill test passes by the line of the crew's paper (`fallFrom`): twelve hours after the hose is shut the water stands at or below
 * where it would in the design's soil. Of the readings the one nearest to that hour is held against the line at its own time, from the
 * level of the first with the hose shut; where none is near, the last, which says only how it looks so far.
 *
 * @returns  null where no reading follows the first with the hose shut, or as drawn nothing soaks away
 */
export function passLine({ site, filling, dips: { time, level } }: FilledPit): PassLine | null {
  const shut = filling.by === "hose" ? filling.duration : time[0]!;
  const first = time.findIndex((moment) => moment >= shut);
  if (first < 0 || first === time.length - 1) return null;
  const since = Array.from(time, (moment) => moment - time[first]!);
  const off = (i: number): number => Math.abs(since[i]! - PASS_AFTER);
  const nearest = since.reduce((best, _, i) => (i > first && off(i) < off(best) ? i : best), first + 1);
  const after = since[nearest]!;
  const line = fallFrom(site, level[first]!, 1, [after])[0]!;
  if (line > level[first]! - STILL) return null;
  const read = level[nearest]!;
  const passes = read <= line;
  return { after, line, read, passes, sentence: sentenceOf(site, after, line, read, passes) };
}

/** Least fall as drawn that counts as one [m]. */
const STILL = 0.001;

function sentenceOf({ units, chamberBank: { floor } }: Site, after: number, line: number, read: number, passes: boolean): string {
  const depth = (level: number): string => staffText(Math.max(0, level - floor), units);
  const isTheirs = Math.abs(after - PASS_AFTER) <= NEAR * PASS_AFTER;
  const verdict = isTheirs ? (passes ? "it passes" : "it does not pass") : `${passes ? "so far it would pass" : "so far it would not pass"}, which the paper asks after ${durationText(PASS_AFTER)}`;
  return `By the line of the crew's paper ${verdict}: ${durationText(after)} after the first reading with the hose shut there are ${depth(read)} of water, and in the design's soil there would be ${depth(line)}.`;
}
