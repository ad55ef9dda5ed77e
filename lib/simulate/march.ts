import { seriesLevel } from "../ground/seriesLevel.ts";
import { integrate, startIntegration, type Integration } from "../numerics/integrate.ts";
import { stepWork } from "../numerics/stepWork.ts";
import type { Hydrograph } from "../runoff/hydrograph.ts";
import { sameTime } from "../runoff/sumHydrographs.ts";
import type { Site } from "../site/site.ts";
import { levelAt } from "../works/storageTable.ts";
import { networkOf } from "./assemble.ts";
import { bodyInflows, type Load } from "./bodyInflows.ts";
import { driveline, type Driveline } from "./driveline.ts";
import { lidKeeper, type LidKeeper } from "./lidKeeper.ts";
import { moundOf, type Mound } from "./mound.ts";
import type { Body, Network } from "./network.ts";
import { runOptions, type SimulateOptions } from "./runOptions.ts";
import { loadCount, loadedSystem, type WaterSystem } from "./waterSystem.ts";

const work = stepWork;

/** A run on its way: the works, what drives them, how far the stepper has come and what has flowed. */
export interface March {
  readonly network: Network;
  readonly mound: Mound | null;
  readonly inflows: Readonly<Record<string, Hydrograph>>;
  readonly blocked: ReadonlySet<number>;
  readonly until: number;
  readonly system: WaterSystem;
  /** the count of `loadCount` when its network was loaded */
  readonly loaded: number;
  readonly integration: Integration;
  readonly line: Driveline;
  readonly lid: LidKeeper;
  /** volumes of all flows so far, in the order of `WaterSystem` [m3] */
  readonly totals: Float64Array;
  /** of the passages' totals what flowed forward, step by step [m3]; the rest of a total flowed back */
  readonly forward: Float64Array;
}

/**
 * Sets up a run at time 0; it is to be marched before another is set up.
 *
 * @throws InputError  for a load or an option that cannot be run
 */
export function setOut(site: Site, load: Load, options: SimulateOptions): March {
  const network = networkOf(site);
  const inflows = bodyInflows(site, load, network.bodies.map((body) => body.name));
  const { until, tolerance, blocked } = runOptions(options, network, inflows);
  const mound = moundOf(network, site, until);
  const system = loadedSystem(network, blocked, mound);
  // the mound's modes follow the volumes, and begin at 0
  const start = new Float64Array(system.size);
  start.set(network.bodies.map(startVolume));
  // a pump may empty a box below its outlet's crest
  network.bodies.forEach(({ name }, b) => {
    if (inflows[name]?.flow.some((q) => q < 0)) system.keeps[b] = -Infinity;
  });
  return {
    network, mound, inflows, blocked, until, system, loaded: loadCount(),
    integration: startIntegration(system, 0, start, { tolerance, firstStep: FIRST_STEP }),
    line: driveline(network, inflows, until),
    lid: lidKeeper(network, system, blocked),
    totals: new Float64Array(system.flows),
    forward: new Float64Array(network.passages.length),
  };
}

/**
 * Steps to the end of the run, keeps the sums, moves the lid, and hands over every step while `stepWork` holds it. A run set out
 * after this one has taken its place in memory: this one can then not go on.
 *
 * @throws StepFailure  when the integration cannot go on
 * @throws Error        where another run was set up since
 */
export function march(run: March, onStep: (integration: Integration) => void): void {
  const { integration, system, loaded, line, lid, totals, forward } = run;
  if (loaded !== loadCount()) throw new Error("march: expected the run that was set up last, got one whose place another has taken");
  const { volume } = work;
  const taken = (): void => {
    for (let p = 0; p < totals.length; p++) totals[p]! += volume[p]!;
    for (let p = 0; p < forward.length; p++) forward[p]! += Math.max(0, volume[p]!);
    onStep(integration);
    lid.passed();
  };
  for (let segment = 0; segment + 1 < line.corners.length; segment++) {
    const bend = line.enter(system.drive, segment);
    // a bend of the inflow starts a transient whose error grows as bend x h^2: do not try what can only be refused
    integration.next = Math.min(integration.next, Math.sqrt((integration.tolerance * system.flowScale) / (BEND_SHARE * bend)));
    const end = line.corners[segment + 1]!;
    lid.look(integration, totals);
    while (integration.time < end) {
      const wakesAt = lid.wakesAt < end - sameTime(end) ? lid.wakesAt : end;
      if (integrate(integration, wakesAt, taken)) lid.move(integration, totals);
      else if (integration.time < end) lid.look(integration, totals);
    }
  }
}

/** share of bend x h^2 that shows as error; found by trial on the reference runs, where it saves one refusal in three */
const BEND_SHARE = 0.003;

/** step tried first [s]; the error control finds its own at once */
const FIRST_STEP = 10;

/** A start volume whose level is not a rounding above the start level: a box at its outlet's crest must not trickle. */
function startVolume(body: Body): number {
  const level = body.start(seriesLevel(body.groundwater, 0));
  let volume = body.volume(level);
  while (volume > 0 && levelAt(body.storage, volume) > level) volume *= 1 - Number.EPSILON;
  return volume;
}
