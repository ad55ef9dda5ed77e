import type { Hyetograph } from "../rain/hyetograph.ts";
import type { Site } from "../site/site.ts";
import { levelAt } from "../works/storageTable.ts";
import { drawnWorks, type Draw } from "./drawnWorks.ts";
import { withKernel } from "./kernel.ts";
import { ledgerOf, runSums } from "./ledger.ts";
import { begin, marched, marchOn, outsetIn } from "./march.ts";
import { moundOf } from "./mound.ts";
import { networkOf } from "./assemble.ts";
import { pitWater, type PitWater } from "./pitWater.ts";
import type { Run, RunBody } from "./run.ts";
import { runOptions, type SimulateOptions } from "./runOptions.ts";
import { stormLines } from "./stormRuns.ts";
import { lentRecorder } from "./trajectory.ts";

/** What studies keep of a run. */
export interface RunFigures extends Pick<Run, "firings" | "openTime" | "emitted" | "spilled" | "seeped"> {
  readonly bodies: readonly RunBody[];
  /** highest level of each body [m] */
  readonly peaks: readonly number[];
  /** what ran in [m3] */
  readonly inflow: number;
  readonly pit: PitWater;
}

/**
 * One storm on works that are drawn again and again, as `simulate` runs it from rest without settling, but for what no study asks: what
 * differs from run to run is written into an instance of the kernel, and no Site, no events and no notes are made.
 *
 * @param options  those of `simulate`, but `settle`
 * @returns        a run of what is drawn and so many times the rain, gone with the next
 * @throws StepFailure  from a run that cannot go on
 */
export function drawnRuns(
  site: Site, rain: Hyetograph, options: Omit<SimulateOptions, "settle">,
): (draw: Draw, stormFactor: number) => RunFigures {
  const given = networkOf(site);
  const networkFor = drawnWorks(site);
  const storms = stormLines(site, rain);
  const recorderFrom = lentRecorder();
  let known: { readonly of: object; readonly options: ReturnType<typeof runOptions> } | null = null;
  return (draw, stormFactor) => {
    const network = networkFor(draw);
    const inflows = storms.corners(stormFactor);
    if (known?.of !== inflows) known = { of: inflows, options: runOptions(options, given, inflows) };
    const outset = outsetIn(network, moundOf(given, site, known.options.until), inflows, known.options);
    const { start, until, mound } = outset;
    const line = storms.line(outset, stormFactor);
    return withKernel((kernel) => {
      const record = recorderFrom(start);
      begin(kernel, outset, line);
      marchOn(kernel, line, 0, line.corners.length - 1, record.add);
      const { sums, firings, tops, end } = marched(kernel);
      const ledger = ledgerOf(network, sums, start, end);
      return {
        bodies: network.bodies,
        peaks: network.bodies.map(({ storage }, b) => levelAt(storage, tops[b]!.volume)),
        inflow: ledger.inflow,
        pit: pitWater({ network, trajectory: record.trajectory(), tops, mound, until }),
        firings,
        ...runSums(network, sums, ledger, firings, until),
      };
    });
  };
}
