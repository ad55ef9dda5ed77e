import type { Run } from "./run.ts";

/**
 * The moment at which water stands nearest to the rim of a box, or highest over it: the one that decides at the house. A box whose
 * water never rises decides nothing.
 */
export interface WorstMoment {
  readonly box: string;
  /** [s] */
  readonly time: number;
}

export function worstMoment({ site, peaks, level }: Pick<Run, "site" | "peaks" | "level">): WorstMoment {
  const rising = site.settlingBoxes.filter(({ name }) => peaks[name]!.level - level(name, 0) > RISE);
  const boxes = rising.length > 0 ? rising : site.settlingBoxes;
  const spare = boxes.map(({ name, rim }) => ({ box: name, spare: rim - peaks[name]!.level, time: peaks[name]!.time }));
  const { box, time } = spare.reduce((worst, each) => (each.spare < worst.spare ? each : worst));
  return { box, time };
}

/** A rise of less is round-off [m]. */
const RISE = 1e-6;
