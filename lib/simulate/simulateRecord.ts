import type { Hyetograph } from "../rain/hyetograph.ts";
import { separateStorms } from "../rain/separateStorms.ts";
import type { Hydrograph } from "../runoff/hydrograph.ts";
import { sameTime } from "../runoff/sumHydrographs.ts";
import type { Site } from "../site/site.ts";
import { ledgerOf, runSums, spilledOf } from "./ledger.ts";
import { StepFailure, withKernel } from "./kernel.ts";
import { begin, driving, marched, marchOn, peaksOf, setOut } from "./march.ts";
import { levelWatch, type Watch, type Watched } from "./levelWatch.ts";
import type { Run } from "./run.ts";
import { COARSE_TOLERANCE, type SimulateOptions } from "./runOptions.ts";
import { StoppedRun } from "./stoppedRun.ts";

export interface RecordRunOptions extends SimulateOptions {
  /** dry spell that parts two storms [s], 6 h where missing */
  readonly dryTime?: number;
  /** what the rain brings to each body, as `inflowHydrographs` makes it, for runs that share it; worked out where missing */
  readonly inflows?: Readonly<Record<string, Hydrograph>>;
  /** levels to be watched */
  readonly watch?: readonly Watch[];
}

/** One storm of a record, and how high the water came until the next one began. */
export interface RecordStorm {
  /** first and last moment of its rain [s] */
  readonly start: number;
  readonly end: number;
  /** rain [m] */
  readonly depth: number;
  readonly peaks: Run["peaks"];
  /** let out by the emitter, and come to the surface elsewhere, until the next storm [m3]: as `Run` has them */
  readonly emitted: number;
  readonly spilled: number;
}

/** What years of rain did: no levels between the storms' peaks are kept, so a long record takes no more memory than a short one. */
export interface RecordRun extends Pick<Run, "until" | "bodies" | "firings" | "openTime" | "emitted" | "spilled" | "seeped" | "ledger" | "work"> {
  readonly storms: readonly RecordStorm[];
  /** one for each level that was to be watched */
  readonly watched: readonly Watched[];
}

/**
 * Runs years of rain through the works of a site, the water of one storm carried over to the next.
 *
 * @param rain     a record, such as `readRain` makes
 * @param options  those of `simulate`, `dryTime`, `inflows` and `watch`; the default tolerance is that of
 *                 `COARSE_TOLERANCE`, with which each storm's peaks stay within 0.1 mm
 * @throws InputError  for options that cannot be run
 * @throws StoppedRun  when the integration cannot go on; it holds the record up to there, its last storm as far as it came
 */
export function simulateRecord(site: Site, rain: Hyetograph, options: RecordRunOptions = {}): RecordRun {
  const { dryTime = 6 * 3600, watch = [], inflows, ...others } = options;
  const tolerance = COARSE_TOLERANCE;
  const run = setOut(site, inflows ?? rain, { tolerance, ...others });
  const { network, until, start } = run;
  const { emitter } = network;
  const storms = separateStorms(rain, dryTime).map(({ first, last }) => ({
    start: rain.time[first]!, end: rain.time[last + 1]!, depth: rain.depth.subarray(first, last + 1).reduce((sum, depth) => sum + depth, 0),
  }));
  const line = driving(run, storms.map((storm) => storm.start));
  const levels = levelWatch(network, watch, start);
  const look = watch.length > 0 ? levels.look : undefined;
  return withKernel((kernel) => {
    begin(kernel, run, line);
    const last = line.corners.length - 1;
    let corner = 0;
    const marchTo = (time: number | undefined): void => {
      let end = time === undefined ? last : corner;
      while (time !== undefined && end < last && line.corners[end]! < time - sameTime(time)) end++;
      marchOn(kernel, line, corner, end, look);
      corner = end;
    };
    const told: RecordStorm[] = [];
    // so far, in all
    const left = (): { readonly emitted: number; readonly spilled: number } => {
      const sums = kernel.sums();
      return { emitted: emitter === null ? 0 : sums.forth[emitter.passage]!, spilled: spilledOf(network, sums) };
    };
    let before = { emitted: 0, spilled: 0 };
    const tell = ({ start: from, end, depth }: Pick<RecordStorm, "start" | "end" | "depth">): void => {
      const after = left();
      const [emitted, spilled] = [after.emitted - before.emitted, after.spilled - before.spilled];
      told.push({ start: from, end, depth, peaks: peaksOf(network, kernel.tops()), emitted, spilled });
      before = after;
    };
    const reached = (time: number): RecordRun => {
      const { sums, firings, work, end } = marched(kernel);
      const ledger = ledgerOf(network, sums, start, end);
      return {
        until: time,
        bodies: network.bodies.map(({ name, kind }) => ({ name, kind })),
        storms: told,
        watched: levels.results(),
        firings,
        ...runSums(network, sums, ledger, firings, time),
        ledger,
        work,
      };
    };
    try {
      marchTo(storms[0]?.start);
      before = left();
      storms.forEach((storm, i) => {
        kernel.resetPeaks();
        try {
          marchTo(storms[i + 1]?.start);
        } finally {
          tell(storm);
        }
      });
    } catch (failure) {
      if (failure instanceof StepFailure) throw new StoppedRun(failure, network, site, reached(kernel.time));
      throw failure;
    }
    return reached(until);
  });
}
