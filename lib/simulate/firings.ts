import type { Firing, Run } from "./run.ts";

/** One or several openings of the emitter, counted as one firing; `end` is null while it is still open. */
export interface ToldFiring extends Firing {
  /** how often the lid opened in it; more than 1: it flutters */
  readonly openings: number;
  /** how long it stood open in it [s], the pauses left out */
  readonly open: number;
}

/** Openings nearer to each other than this are one firing of a lid that flutters [s]. */
const FLUTTER = 60;

/**
 * A run's openings of the emitter as sentences and tables tell them: those less than a minute apart, from the end of one to the
 * start of the next, are one firing of a fluttering lid. Volumes and open times add up to those of `run.firings`, which keeps
 * every opening.
 */
export function toldFirings({ firings, until }: Pick<Run, "firings" | "until">): ToldFiring[] {
  const told: ToldFiring[] = [];
  for (const { start, end, volume, peakFlow } of firings) {
    const open = (end ?? until) - start;
    const last = told.at(-1);
    if (last === undefined || last.end === null || start - last.end >= FLUTTER) {
      told.push({ start, end, volume, peakFlow, openings: 1, open });
    } else {
      told[told.length - 1] = {
        start: last.start, end, volume: last.volume + volume, peakFlow: Math.max(last.peakFlow, peakFlow),
        openings: last.openings + 1, open: last.open + open,
      };
    }
  }
  return told;
}

/** What is said of a list of firings in which the lid flutters; null where it does not. */
export function flutterWords(told: readonly ToldFiring[]): string | null {
  const openings = told.reduce((sum, firing) => sum + firing.openings, 0);
  return openings === told.length ? null : `The lid flutters: its ${openings} openings, those less than a minute apart told as one firing.`;
}
