import { seriesLevel } from "../ground/seriesLevel.ts";
import { networkOf } from "../simulate/assemble.ts";
import type { Load } from "../simulate/bodyInflows.ts";
import type { Run } from "../simulate/run.ts";
import type { SimulateOptions } from "../simulate/runOptions.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { changedSite } from "../site/changedSite.ts";
import type { Site } from "../site/site.ts";

/** A run with the seepage path of the site file, or with one or two times each body's own length. */
export interface PathCase {
  readonly path: "file" | 1 | 2;
  readonly run: Run;
}

/**
 * How far the seepage path decides: the same load with a path of one and of two times each body's own length (the width of pit and
 * trench; see `seepagePath`), and with the file's own `pathLength` first where it gives one.
 *
 * @param load     as `simulate`
 * @param options  as `simulate`
 * @returns  the headline first: the site as it is, then the others. That one alone where the path hardly matters: groundwater, its
 *           mound included, stays more than twice the width below the floors of pit and trench
 * @throws InputError  as `simulate`
 * @throws StoppedRun  as `simulate`
 * @source  the path is a choice: Bouwer, Hydrogeology Journal 10, 2002 (from memory)
 */
export function pathBand(site: Site, load: Load, options: SimulateOptions = {}): readonly PathCase[] {
  return besidePaths(settledRun(site, load, options));
}

/** The same beside a run already made, of what ran into its works; kept as long as the run. */
export function besidePaths(run: Run): readonly PathCase[] {
  const known = BANDS.get(run);
  if (known !== undefined) return known;
  const band = made(run);
  BANDS.set(run, band);
  return band;
}

/** A run never changes, so what was made of it once is kept as long as the run itself. */
const BANDS = new WeakMap<Run, readonly PathCase[]>();

function made(run: Run): readonly PathCase[] {
  const { site, inflows, options, until } = run;
  const { pathLength } = site.groundwater;
  const given: PathCase = { path: pathLength === null ? 1 : "file", run };
  if (!pathMatters(run)) return [given];
  const others = pathLength === null ? [2] as const : [1, 2] as const;
  const runAt = (path: number): Run => settledRun(withOwnLengths(site, path), inflows, { ...options, until });
  return [given, ...others.map((path): PathCase => ({ path, run: runAt(path) }))];
}

function withOwnLengths(site: Site, ownLengths: number): Site {
  return changedSite(site, { groundwater: { ...site.groundwater, pathLength: null, ownLengths } });
}

/** Whether groundwater comes within twice its width of the floor of pit or trench, at its low end, or above it, at any time of a run. */
export function pathMatters(run: Run): boolean {
  const { chamberBank, overflowTrench } = run.site;
  const near = (kind: string, floor: number, width: number, rise: (time: number) => number): boolean => {
    const { groundwater } = networkOf(run.site).bodies.find((body) => body.kind === kind)!;
    if (groundwater === null) return false;
    const times = [...run.times, ...groundwater.time.filter((time) => time <= run.until)];
    return times.some((time) => seriesLevel(groundwater, time) + rise(time) > floor - 2 * width);
  };
  return near("bank", chamberBank.floor, chamberBank.width, (time) => run.rise(time)?.centre ?? 0)
    || (overflowTrench !== null && near("trench", overflowTrench.lowFloor, overflowTrench.width, () => 0));
}
