import { seriesLevel } from "../ground/seriesLevel.ts";
import { integrate, MOST_TRIALS, startIntegration, type Integration } from "../numerics/integrate.ts";
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
  /** how long the works ran without inflow before it [s] */
  readonly settle: number;
  /** the level that moves most when the run begins after that, and how fast [m/s]; null without settling, or at rest */
  readonly moving: { readonly body: string; readonly speed: number } | null;
  /** volumes that no body falls below by itself [m3]; see `System` */
  readonly keeps: Float64Array;
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
 * Sets up a run at time 0, settled where that is asked; it is to be marched before another is set up.
 *
 * @throws InputError   for a load or an option that cannot be run
 * @throws StepFailure  where the works cannot be brought to rest
 */
export function setOut(site: Site, load: Load, options: SimulateOptions): March {
  const network = networkOf(site);
  const inflows = bodyInflows(site, load, network.bodies.map((body) => body.name));
  const { until, tolerance, settle, blocked } = runOptions(options, network, inflows);
  const mound = moundOf(network, site, until);
  const course: Course = { network, mound, inflows, blocked, until, settle };
  const start = settle > 0 ? settled(course, tolerance) : asBuilt(network);
  return begun(course, tolerance, start);
}

type Course = Pick<March, "network" | "mound" | "inflows" | "blocked" | "until" | "settle">;

/** How the works stand when a run begins. */
interface Start {
  /** [m3]; the mound's modes may follow, and are 0 where they do not */
  readonly volumes: ArrayLike<number>;
  readonly lidOpen: boolean;
  /** how fast the level moves that moves most, and in which body; null at rest [m/s] */
  readonly moving: March["moving"];
}

function asBuilt({ bodies }: Network): Start {
  return { volumes: bodies.map(startVolume), lidOpen: false, moving: null };
}

/** How the works stand after a time without inflow, groundwater as when the run begins. */
function settled(course: Course, tolerance: number): Start {
  const { network, settle } = course;
  const bodies = network.bodies.map((body) => (
    body.groundwater === null ? body : { ...body, groundwater: { time: [0], level: [seriesLevel(body.groundwater, 0)] } }));
  const held = network.emitter?.heldShut.some(({ from, to }) => from <= 0 && 0 < to) ?? false;
  const emitter = network.emitter && { ...network.emitter, heldShut: held ? [{ from: 0, to: Infinity }] : [] };
  const still = { ...network, bodies, emitter };
  const run = begun({ ...course, network: still, inflows: {}, until: settle, settle: 0 }, tolerance, asBuilt(still));
  march(run, () => {});
  const volumes = work.start.slice(0, run.system.size);
  const rate = new Float64Array(run.system.size);
  run.system.rates(settle, volumes, rate, 0);
  let moving: March["moving"] = null;
  bodies.forEach(({ name, storage }, b) => {
    const speed = (levelAt(storage, volumes[b]! + MOMENT * rate[b]!) - levelAt(storage, volumes[b]!)) / MOMENT;
    if (Math.abs(speed) > Math.abs(moving?.speed ?? 0)) moving = { body: name, speed };
  });
  return { volumes, lidOpen: run.system.lid === 1, moving };
}

/** over which time a level's speed is taken [s] */
const MOMENT = 60;

function begun(course: Course, tolerance: number, { volumes, lidOpen, moving }: Start): March {
  const { network, mound, inflows, blocked, until } = course;
  const system = loadedSystem(network, blocked, mound);
  const start = new Float64Array(system.size);
  start.set(volumes);
  // a pump may empty a box below its outlet's crest
  network.bodies.forEach(({ name }, b) => {
    if (inflows[name]?.flow.some((q) => q < 0)) system.keeps[b] = -Infinity;
  });
  const line = driveline(network, inflows, until);
  const maxTotal = MOST_TRIALS * line.corners.length + TRIALS_A_SECOND * until;
  return {
    ...course, moving, system, keeps: system.keeps.slice(), loaded: loadCount(),
    integration: startIntegration(system, 0, start, { tolerance, firstStep: FIRST_STEP, maxTotal }),
    line,
    lid: lidKeeper(network, system, blocked, lidOpen),
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
    system.splitBrought(integration.taken);
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

/** trial steps that a lid which moves once a second may take in that second, on average over a run */
const TRIALS_A_SECOND = 30;

/** step tried first [s]; the error control finds its own at once */
const FIRST_STEP = 10;

/** A start volume whose level is not a rounding above the start level: a box at its outlet's crest must not trickle. */
function startVolume(body: Body): number {
  const level = body.start(seriesLevel(body.groundwater, 0));
  let volume = body.volume(level);
  while (volume > 0 && levelAt(body.storage, volume) > level) volume *= 1 - Number.EPSILON;
  return volume;
}
