import { integrate, startIntegration, StepFailure, type Integration } from "../numerics/integrate.ts";
import { DENSE_ROWS } from "../numerics/rodas4p2.ts";
import { seriesLevel } from "../ground/seriesLevel.ts";
import type { Site } from "../site/site.ts";
import { levelAt } from "../works/storageTable.ts";
import { networkOf } from "./assemble.ts";
import { bodyInflows, isHyetograph, type Load } from "./bodyInflows.ts";
import { driveline } from "./driveline.ts";
import { lidKeeper, type LidKeeper } from "./lidKeeper.ts";
import { moundOf } from "./mound.ts";
import type { Body, Network } from "./network.ts";
import { runAnswers } from "./runAnswers.ts";
import type { Run } from "./run.ts";
import { runOptions, type SimulateOptions } from "./runOptions.ts";
import { recorder, type Recorder } from "./trajectory.ts";
import { waterSystem, type WaterSystem } from "./waterSystem.ts";

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
 *                 3e-6 for plain works and 5e-7 for others, holds levels to 0.1 mm, switch times to 0.5 s and ledger
 *                 entries to 1e-5 m3 in the reference runs;
 *                 `blocked`: passages taken as shut, such as "emitter" or "boxOutlet"
 * @throws InputError  for a load or an option that cannot be run
 * @throws StoppedRun  when the integration cannot go on; it holds the run up to there
 */
export function simulate(site: Site, load: Load, options: SimulateOptions = {}): Run {
  const network = networkOf(site);
  const inflows = bodyInflows(site, load, network.bodies.map((body) => body.name));
  const { until, tolerance, blocked } = runOptions(options, network, inflows);
  const mound = moundOf(network, site, until);
  const system = blocked.size === 0 && mound === null ? systemOf(network) : waterSystem(network, blocked, mound);
  system.lid = 0;
  system.lidHead = Infinity;
  // the mound's modes follow the volumes, and begin at 0
  const start = new Float64Array(system.size);
  start.set(network.bodies.map(startVolume));
  const integration = startIntegration(system, 0, start, { tolerance, firstStep: FIRST_STEP });
  const totals = new Float64Array(system.flows);
  const record = recorder(system.size, DENSE_ROWS, 0, start);
  const lid = lidKeeper(network, system, blocked);
  const rain = isHyetograph(load) ? load : null;
  const answers = (end: number): Run =>
    runAnswers({ site, network, mound, rain, inflows, until: end, trajectory: record.trajectory(), totals, lid, blocked, integration });
  try {
    march(integration, system, driveline(network, inflows, until), record, totals, lid);
  } catch (failure) {
    if (failure instanceof StepFailure) throw new StoppedRun(failure, answers(integration.time));
    throw failure;
  }
  return answers(until);
}

/**
 * The system of a network, made once and used by one run after the other: it holds work arrays and what a run sets anew at
 * its start, nothing that one run could leave to the next.
 */
function systemOf(network: Network): WaterSystem {
  const known = SYSTEMS.get(network);
  if (known !== undefined) return known;
  const system = waterSystem(network, new Set(), null);
  SYSTEMS.set(network, system);
  return system;
}

const SYSTEMS = new WeakMap<Network, WaterSystem>();

/** A start volume whose level is not a rounding above the start level: a box at its outlet's crest must not trickle. */
function startVolume(body: Body): number {
  const level = body.start(seriesLevel(body.groundwater, 0));
  let volume = body.volume(level);
  while (volume > 0 && levelAt(body.storage, volume) > level) volume *= 1 - Number.EPSILON;
  return volume;
}

/** A run that could not go on: why, where it stood, and the run up to there. */
export class StoppedRun extends Error {
  readonly time: number;
  readonly stepSize: number;
  /** volumes of the bodies where it stopped [m3] */
  readonly state: readonly number[];
  declare readonly partial: Run;

  constructor(failure: StepFailure, partial: Run) {
    super(failure.message, { cause: failure });
    this.name = "StoppedRun";
    this.time = failure.time;
    this.stepSize = failure.stepSize;
    this.state = failure.state;
    // not enumerable: a whole run printed with the message would bury it
    Object.defineProperty(this, "partial", { value: partial });
  }
}

/** Steps over all segments, keeps the record and the sums, and moves the lid. */
function march(
  integration: Integration, system: WaterSystem, line: ReturnType<typeof driveline>,
  record: Recorder, totals: Float64Array, lid: LidKeeper,
): void {
  const { work } = integration;
  const onStep = (): void => {
    for (let p = 0; p < totals.length; p++) totals[p]! += work.volume[p]!;
    record.add(integration.time, work.end, work.dense);
    lid.look(integration);
  };
  for (let segment = 0; segment + 1 < line.corners.length; segment++) {
    const bend = line.enter(system.drive, segment);
    // a bend of the inflow starts a transient whose error grows as bend x h^2: do not try what can only be refused
    integration.next = Math.min(integration.next, Math.sqrt((integration.tolerance * system.scale[0]!) / (BEND_SHARE * bend)));
    lid.atCorner(integration, totals);
    while (integrate(integration, line.corners[segment + 1]!, onStep)) lid.move(integration, totals);
  }
}

/** share of bend x h^2 that shows as error; found by trial on the reference runs, where it saves one refusal in three */
const BEND_SHARE = 0.003;

/** step tried first [s]; the error control finds its own at once */
const FIRST_STEP = 10;
