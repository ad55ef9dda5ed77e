import type { Hyetograph } from "../rain/hyetograph.ts";
import type { Site } from "../site/site.ts";
import { isHyetograph, type Load } from "./bodyInflows.ts";
import type { Driveline } from "./driveline.ts";
import { StepFailure, withKernel } from "./kernel.ts";
import { begin, driving, marched, marchOn, setOut, type Outset } from "./march.ts";
import { runAnswers } from "./runAnswers.ts";
import type { Run } from "./run.ts";
import type { SimulateOptions } from "./runOptions.ts";
import { StoppedRun } from "./stoppedRun.ts";
import { recorder } from "./trajectory.ts";

/**
 * Runs a load through the works of a site and answers what the water did.
 *
 * The states are the volumes of the bodies, so water cannot be lost; the levels follow from the geometry. A stiffly
 * accurate Rosenbrock method of order 4 steps on, landing on every corner of the inflows, of the groundwater and of the
 * lid's schedule; the lid is a switch found on the step's own interpolant.
 *
 * @param load     a hyetograph (through the site's catchments), a hydrograph (into the one box), or one for each body
 * @param options  `until`: text with a unit or [s], by default 72 h after the last corner of the inflows;
 *                 `tolerance`: error allowed in one step, as a share of a metre of level and of the volume; the default,
 *                 1e-6, holds levels to 0.1 mm, switch times to 0.5 s and ledger entries to 1e-5 m3 in the reference runs;
 *                 `blocked`: passages taken as shut, such as "emitter" or "boxOutlet"
 * @throws InputError  for a load or an option that cannot be run
 * @throws StoppedRun  when the integration cannot go on; it holds the run up to there
 */
export function simulate(site: Site, load: Load, options: SimulateOptions = {}): Run {
  const outset = setOut(site, load, options);
  return runOf(site, isHyetograph(load) ? load : null, options, outset, driving(outset));
}

/** Makes a run that was set out. */
export function runOf(site: Site, rain: Hyetograph | null, options: SimulateOptions, outset: Outset, line: Driveline): Run {
  return withKernel((kernel) => {
    const record = recorder(outset.start);
    const answers = (until: number): Run => {
      const { sums, firings, work, tops, end } = marched(kernel);
      // named one by one: to spread two objects into one takes a fifth of a short run
      return runAnswers({
        network: outset.network, mound: outset.mound, inflows: outset.inflows, blocked: outset.blocked, tolerance: outset.tolerance,
        settle: outset.settle, moving: outset.moving, start: outset.start, lidOpen: outset.lidOpen, keeps: outset.keeps,
        sums, firings, work, tops, end, site, rain, options, until, trajectory: record.trajectory(),
      });
    };
    begin(kernel, outset, line);
    try {
      marchOn(kernel, line, 0, line.corners.length - 1, record.add);
    } catch (failure) {
      if (failure instanceof StepFailure) throw new StoppedRun(failure, outset.network, site, answers(kernel.time));
      throw failure;
    }
    return answers(outset.until);
  });
}
