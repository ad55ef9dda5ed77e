import type { Run } from "./run.ts";

/** The moment at which water stands nearest to the rim of a box, or highest over it: the one that decides at the house. */
export interface WorstMoment {
  readonly box: string;
  /** [s] */
  readonly time: number;
}

export function worstMoment({ site, peaks }: Pick<Run, "site" | "peaks">): WorstMoment {
  const spare = site.settlingBoxes.map(({ name, rim }) => ({ box: name, spare: rim - peaks[name]!.level, time: peaks[name]!.time }));
  const { box, time } = spare.reduce((worst, each) => (each.spare < worst.spare ? each : worst));
  return { box, time };
}
