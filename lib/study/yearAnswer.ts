import type { Run } from "../simulate/run.ts";

/** What a storm does in one year of the works. */
export interface YearAnswer {
  /** the storm's name */
  readonly storm: string;
  /** time to half empty and to empty [s]; null where not reached within the run */
  readonly half: number | null;
  readonly empty: number | null;
  /** highest water in the pit, and in the box nearest to its rim [m] */
  readonly pitPeak: number;
  readonly boxPeak: number;
  /** let out by the emitter, and over rims, grounds and a grate: `Run.spilled` [m3] */
  readonly emitter: number;
  readonly surface: number;
  /** end of the run [s] */
  readonly until: number;
}

/** The answers of a run that the years change, without the run itself, so that forty of them take no room. */
export function yearAnswer(storm: string, { drainDown, peaks, emitted, spilled, site, until }: Run): YearAnswer {
  const boxes = site.settlingBoxes.map(({ name, rim }) => ({ level: peaks[name]!.level, spare: rim - peaks[name]!.level }));
  return {
    storm, ...drainDown, until,
    pitPeak: peaks.chamberBank!.level,
    boxPeak: boxes.reduce((worst, box) => (box.spare < worst.spare ? box : worst)).level,
    emitter: emitted,
    surface: spilled,
  };
}
