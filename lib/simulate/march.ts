import { seriesLevel } from "../ground/seriesLevel.ts";
import type { Hydrograph } from "../runoff/hydrograph.ts";
import { gathered } from "../runoff/straightened.ts";
import type { Site } from "../site/site.ts";
import { levelAt } from "../works/storageTable.ts";
import { networkOf } from "./assemble.ts";
import { bodyInflows, type Load } from "./bodyInflows.ts";
import { driveline, type Driveline } from "./driveline.ts";
import { MOST_TRIALS, StepFailure, withKernel, type Kernel, type StepRows, type Sums, type Top, type Works } from "./kernel.ts";
import { compiledBodies } from "./compiledWorks.ts";
import { type Mound, moundOf } from "./mound.ts";
import type { Body, Network } from "./network.ts";
import type { Firing, Run } from "./run.ts";
import { StoppedRun } from "./stoppedRun.ts";
import { DEFAULT_TOLERANCE, runOptions, type RunOptions, type SimulateOptions } from "./runOptions.ts";

/** A run that is to be made: works, what drives them, and the states it starts from. */
export interface Outset extends Works {
  readonly inflows: Readonly<Record<string, Hydrograph>>;
  readonly until: number;
  readonly tolerance: number;
  /** how long the works ran without inflow before it [s] */
  readonly settle: number;
  /** the level that moves most when the run begins after that, and how fast [m/s]; null without settling, or at rest */
  readonly moving: { readonly body: string; readonly speed: number } | null;
  /** volumes of the bodies [m3], then of the mound's modes [m], and whether the lid is open, when it begins */
  readonly start: Float64Array;
  readonly lidOpen: boolean;
  /** volumes that no body falls below by itself [m3] */
  readonly keeps: Float64Array;
}

/** What a march leaves behind besides its steps. */
export interface Marched {
  readonly sums: Sums;
  readonly firings: readonly Firing[];
  readonly work: Run["work"];
  /** by body */
  readonly tops: readonly Top[];
  /** states at its end */
  readonly end: Float64Array;
}

/**
 * Sets up a run at time 0, settled where that is asked.
 *
 * @throws InputError  for a load or an option that cannot be run
 * @throws StoppedRun  where the works cannot be brought to rest
 */
export function setOut(site: Site, load: Load, options: SimulateOptions): Outset {
  const network = networkOf(site);
  const inflows = bodyInflows(site, load, network.bodies.map((body) => body.name));
  return outsetOf(site, inflows, runOptions(options, network, inflows));
}

/**
 * The same of what brings water to each body, and of options that are known to be good.
 *
 * @throws StoppedRun  where the works cannot be brought to rest
 */
export function outsetOf(site: Site, inflows: Outset["inflows"], options: RunOptions): Outset {
  const network = networkOf(site);
  const outset = outsetIn(network, moundOf(network, site, options.until), inflows, options);
  return options.settle > 0 ? { ...outset, ...settled(outset, site) } : outset;
}

/** The same in a network, at rest as the works are found. */
export function outsetIn(
  network: Network, mound: Mound | null, inflows: Outset["inflows"], { until, tolerance, settle, blocked }: RunOptions,
): Outset {
  const start = new Float64Array(network.bodies.length + (mound?.timeConstants.length ?? 0));
  network.bodies.forEach((body, b) => { start[b] = startVolume(body); });
  // a pump may empty a box below its outlet's crest
  const isPumped = (body: string): boolean => Object.hasOwn(inflows, body) && inflows[body]!.flow.some((q) => q < 0);
  const compiled = compiledBodies(network).bodies;
  const keeps = Float64Array.from(network.bodies, ({ name, kind }, b) => (kind === "box" && !isPumped(name) ? compiled[b]!.keeps : -Infinity));
  return { network, mound, inflows, blocked, until, tolerance, settle, moving: null, start, lidOpen: false, keeps };
}

/** How the works stand after a time without inflow, groundwater as when the run begins. */
function settled(outset: Outset, site: Site): Pick<Outset, "start" | "lidOpen" | "moving"> {
  const { network, settle } = outset;
  const bodies = network.bodies.map((body) => (
    body.groundwater === null ? body : { ...body, groundwater: { time: [0], level: [seriesLevel(body.groundwater, 0)] } }));
  const held = network.emitter?.heldShut.some(({ from, to }) => from <= 0 && 0 < to) ?? false;
  const emitter = network.emitter && { ...network.emitter, heldShut: held ? [{ from: 0, to: Infinity }] : [] };
  const still = { ...outset, network: { ...network, bodies, emitter }, inflows: {}, until: settle };
  return withKernel((kernel) => {
    const line = driving(still);
    begin(kernel, still, line);
    try {
      marchOn(kernel, line, 0, line.corners.length - 1);
    } catch (failure) {
      if (failure instanceof StepFailure) throw new StoppedRun(failure, network, site, null);
      throw failure;
    }
    const start = kernel.states();
    let moving: Outset["moving"] = null;
    bodies.forEach(({ name, storage }, b) => {
      const speed = (levelAt(storage, start[b]! + MOMENT * kernel.rate(b)) - levelAt(storage, start[b]!)) / MOMENT;
      if (Math.abs(speed) > Math.abs(moving?.speed ?? 0)) moving = { body: name, speed };
    });
    return { start, lidOpen: kernel.lidOpen, moving };
  });
}

/** over which time a level's speed is taken [s] */
const MOMENT = 60;

/**
 * The straight lines between the corners of a run; `more` are further times to land on. Where the tolerance is coarse, inflows keep only
 * the corners that matter at it: half as many cubic metres may have run in sooner or later as it allows metres of level.
 */
export function driving(
  { network, inflows, until, tolerance }: Pick<Outset, "network" | "inflows" | "until" | "tolerance">, more?: ArrayLike<number>,
): Driveline {
  const allowed = tolerance > DEFAULT_TOLERANCE ? tolerance / 2 : 0;
  const lines = Object.fromEntries(Object.entries(inflows).map(([body, inflow]) => [body, linesOf(inflow, allowed)]));
  return driveline(network, lines, until, more);
}

/** A run asks again for what it was driven by, when it is asked for its flows; and so does a page for each step of a hand. */
function linesOf(inflow: Hydrograph, allowed: number): Hydrograph {
  if (allowed === 0) return inflow;
  const known = LINES.get(inflow);
  if (known?.allowed === allowed) return known.lines;
  const lines = gathered(inflow, allowed);
  LINES.set(inflow, { allowed, lines });
  return lines;
}

const LINES = new WeakMap<Hydrograph, { readonly allowed: number; readonly lines: Hydrograph }>();

/** Puts a run into a kernel, at its start. */
export function begin(kernel: Kernel, outset: Outset, line: Driveline): void {
  kernel.load(outset);
  const { start: states, tolerance, lidOpen, keeps, until } = outset;
  kernel.start({ time: 0, states, tolerance, lidOpen, keeps, mostTrials: MOST_TRIALS * line.corners.length + TRIALS_A_SECOND * until });
}

/** trial steps that a lid which moves once a second may take in that second, on average over a run */
const TRIALS_A_SECOND = 30;

/**
 * Steps on through the segments from one corner to another.
 *
 * @throws StepFailure  when the integration cannot go on
 */
export function marchOn(kernel: Kernel, line: Driveline, first: number, end: number, onSteps?: (rows: StepRows) => void): void {
  for (let from = first; from < end; from += AT_ONCE) kernel.march(line.segments(from, Math.min(end, from + AT_ONCE)), onSteps);
}

/** segments written in one go: years of rain have a hundred thousand */
const AT_ONCE = 256;

export function marched(kernel: Kernel): Marched {
  return { sums: kernel.sums(), firings: kernel.firings(), tops: kernel.tops(), work: kernel.work, end: kernel.states() };
}

/** How high the water of each body came. */
export function peaksOf({ bodies }: Network, tops: readonly Top[]): Run["peaks"] {
  return Object.fromEntries(bodies.map(({ name, storage }, b) => {
    const { volume, time } = tops[b]!;
    return [name, { level: levelAt(storage, volume), time }];
  }));
}

/**
 * The largest volume whose level, as the table has it, is not above the start level: a box at its outlet's crest must not trickle, and
 * water at the level of the groundwater must not move.
 */
function startVolume(body: Body): number {
  const level = body.start(seriesLevel(body.groundwater, 0));
  const exact = body.volume(level);
  if (exact === 0 || levelAt(body.storage, exact) === level) return exact;
  let [low, high] = [(1 - SEARCHED) * exact, (1 + SEARCHED) * exact];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (levelAt(body.storage, middle) <= level) low = middle;
    else high = middle;
  }
  return low;
}

/** share of a volume by which the table may be off */
const SEARCHED = 1e-2;
