import { MOST_STATES, stepWork } from "../numerics/stepWork.ts";
import type { System } from "../numerics/system.ts";
import { coverFlows } from "../works/cover.ts";
import { emitterFlow, emitterFlows, emitterSill } from "../works/emitter.ts";
import { MOST_PASSAGES, passages, rest } from "../works/flowLaw.ts";
import { grateFlows } from "../works/grate.ts";
import { hollowSeepageFlows } from "../works/hollowSeepage.ts";
import { pipeFlows } from "../works/pipe.ts";
import { seepageFlows } from "../works/seepage.ts";
import { slitsFlows } from "../works/slits.ts";
import { levelOf, levelsOf } from "../works/storageTable.ts";
import { stoneBorderFlows } from "../works/stoneBorder.ts";
import { weepHoleFlows } from "../works/weepHole.ts";
import { sharedWeirFlows, slopedWeirFlows, weirFlows } from "../works/weir.ts";
import { compiledWorks, loadColumns, NOWHERE } from "./compiledWorks.ts";
import type { Mound } from "./mound.ts";
import { LAW, type Network } from "./network.ts";

/**
 * The water in a network as differential equations:
 *
 *   V_n' = inflow_n(t) + sum of Q over passages into n - sum of Q over passages out of n,     Q = law(H_from, H_to)
 *   H = H_n(V_n) from the storage tables;  inflow and groundwater are straight lines in time between corners
 *
 * Flows are added up in this order: all passages, what runs into each body, and, where groundwater can reach the works at
 * all, what it brings into each body.
 *
 * There is one of it: `loadedSystem` puts a network into its memory, and what was there before is gone.
 */
export interface WaterSystem extends System {
  /** 1 while the emitter's lid is open */
  lid: 0 | 1;
  /** head at which the lid moves next, over its sill [m]; Infinity while it is held shut or there is none */
  lidHead: number;
  /** straight lines of the segment the run is in: inflow [m3/s] and groundwater [m] of each body at `from`, and their slopes */
  readonly drive: Drive;
  /** what groundwater brought in the step just accepted, the last of the flows; called before the next begins */
  splitBrought(h: number): void;
  /** flow through each passage at given volumes [m3/s], for looking at a state; not while a step is under way */
  flowsAt(time: number, volumes: Float64Array, flows: Float64Array): void;
  /** head over the emitter's sill [m], -Infinity without an emitter; disturbs nothing of a step under way */
  emitterHead(volumes: Float64Array): number;
  /** flow of the emitter with its lid open at those volumes [m3/s]; disturbs nothing either */
  emitterFlow(volumes: Float64Array): number;
}

export interface Drive {
  from: number;
  /** whether a water table rises into a body during the segment: what is at rest at its start will then not stay so */
  wets: boolean;
  readonly inflow: Float64Array;
  readonly inflowSlope: Float64Array;
  readonly groundwater: Float64Array;
  readonly groundwaterSlope: Float64Array;
}

/** stands for the place of an emitter where there is none */
const NONE = -1;

/** What is loaded: passages stand in the order of their laws, and a law's begin at `firstOf`. */
const loaded = {
  /** how often a network was loaded */
  count: 0,
  bodyCount: 0,
  passageCount: 0,
  /** node of the first body's groundwater */
  groundNode: 0,
  modes: 0,
  size: 0,
  mound: null as Mound | null,
  emitter: NONE,
  shut: [] as readonly number[],
  /** whether groundwater can reach the works, so that what it brings has flows of its own */
  bringing: false,
  /** passages from here on are at rest: since the last call of `rates`, at the step's start, and all through the step */
  flowing: 0,
  startFlowing: 0,
  flowed: 0,
  /** slope of the bank's seepage with its mound's rise at the step's start */
  startByRise: 0,
};
/** Memory of the system: of each body, or of each passage. */
const memory = {
  /** where the passages of each law begin */
  firstOf: new Int32Array(LAW.emitter + 2),
  wakes: perBody(),
  film: perBody(),
  narrows: new Uint8Array(MOST_STATES),
  bottomVolume: perBody(),
  bottomLevel: perBody(),
  /** where a body that narrows to nothing holds next to none at a step's start, that, else 0 */
  trickle: perBody(),
  /** what runs into each body, and its slope with the volume */
  entering: perBody(),
  enteringSlope: perBody(),
  /** at a step's start: all flows, the slopes of a passage's with the volumes at its ends and with time */
  startFlow: perPassage(),
  startByFrom: perPassage(),
  startByTo: perPassage(),
  startByTime: perPassage(),
  startEntering: perBody(),
  startEnteringSlope: perBody(),
  startInflowSlope: perBody(),
  /** sums of the step under way: of the passages, of what runs into each body, of what groundwater brings into it */
  sum: perPassage(),
  sumEntering: perBody(),
  lookRate: perBody(),
};
const work = stepWork;
const columns = passages;
const drive: Drive = {
  from: 0, wets: false, inflow: perBody(), inflowSlope: perBody(), groundwater: perBody(), groundwaterSlope: perBody(),
};

const system: WaterSystem = {
  size: 0,
  flows: 0,
  scale: new Float64Array(),
  flowScale: 1,
  lowest: new Float64Array(),
  keeps: new Float64Array(),
  corners: [],
  settles: () => loaded.mound === null && !drive.wets,
  oneWay: new Int32Array(),
  lid: 0,
  lidHead: Infinity,
  drive,
  rates,
  linearise,
  beginSums,
  endSums,
  event,
  splitBrought,
  flowsAt,
  emitterHead,
  emitterFlow: openFlow,
};

/**
 * Puts a network into the system's memory, at rest and its lid shut, and hands the system out.
 *
 * @param blocked  passages that are taken as shut
 * @param mound    its modes are states after the volumes
 * @throws RangeError  where the works have more states than there is room for
 */
export function loadedSystem(network: Network, blocked: ReadonlySet<number>, mound: Mound | null): WaterSystem {
  const { firstOf, wakes, film, narrows } = memory;
  const { inflow, inflowSlope, groundwater, groundwaterSlope } = drive;
  const works = compiledWorks(network);
  const bodyCount = works.bodies;
  const modes = mound?.timeConstants.length ?? 0;
  const size = bodyCount + modes;
  const bringing = works.hasGroundwater || mound !== null;
  if (size > MOST_STATES) throw new RangeError(`a run: expected at most ${MOST_STATES} states, got ${size}`);
  loadColumns(works, network.table);
  Object.assign(loaded, {
    count: loaded.count + 1, bodyCount, passageCount: works.passages, groundNode: bodyCount + 1, modes, size, mound,
    emitter: network.emitter?.passage ?? NONE, shut: [...blocked], bringing, flowing: 0,
  });
  firstOf.set(works.firstOf);
  wakes.set(works.wakes);
  film.set(works.film);
  narrows.set(works.narrows);
  memory.bottomVolume.set(works.bottomVolume);
  memory.bottomLevel.set(works.bottomLevel);
  drive.from = 0;
  groundwater.fill(NOWHERE, 0, bodyCount);
  for (const column of [inflow, inflowSlope, groundwaterSlope]) column.fill(0, 0, bodyCount);
  return Object.assign(system, {
    size,
    flows: works.passages + (bringing ? 2 : 1) * bodyCount,
    scale: Float64Array.from({ length: size }, (_, i) => works.scale[i] ?? MOUND_SCALE),
    flowScale: Math.max(...works.scale),
    lowest: Float64Array.from({ length: size }, (_, i) => works.lowest[i] ?? -Infinity),
    keeps: Float64Array.from({ length: size }, (_, i) => works.keeps[i] ?? -Infinity),
    corners: Array.from({ length: size }, (_, i) => network.bodies[i]?.corners ?? NO_CORNERS),
    oneWay: works.oneWay,
    lid: 0,
    lidHead: Infinity,
  });
}

function rates(time: number, volumes: Float64Array, rate: Float64Array, weight: number): void {
  const { firstOf, wakes, film, entering, enteringSlope, sum, sumEntering } = memory;
  const { from, to, level, flow } = columns;
  const { inflow, inflowSlope, groundwater, groundwaterSlope } = drive;
  const { bodyCount, passageCount, groundNode, shut, mound } = loaded;
  const since = time - drive.from;
  levelsOf(volumes, bodyCount);
  let awake = false;
  for (let b = 0; b < bodyCount; b++) {
    if (level[b]! >= wakes[b]!) awake = true;
    level[groundNode + b] = groundwater[b]! + groundwaterSlope[b]! * since;
    const q = inflow[b]! + inflowSlope[b]! * since;
    const fading = q < 0 && volumes[b]! < film[b]!;
    const enters = fading ? (q * volumes[b]!) / film[b]! : q;
    entering[b] = enters;
    enteringSlope[b] = fading ? q / film[b]! : 0;
    rate[b] = enters;
    sumEntering[b]! += weight * enters;
  }
  if (mound !== null) level[groundNode + mound.body]! += rise(mound, volumes);

  const edges = firstOf[LAW.weir]!;
  seepageFlows(0, firstOf[LAW.hollowSeepage]!);
  pipeFlows(firstOf[LAW.pipe]!, firstOf[LAW.slits]!);
  if (edges > firstOf[LAW.slits]! || firstOf[LAW.pipe]! > firstOf[LAW.hollowSeepage]!) rareFlows();
  if (awake) edgeFlows();
  for (const p of shut) rest(p);
  const last = awake ? passageCount : edges;
  for (; loaded.flowing > last; loaded.flowing--) rest(loaded.flowing - 1);
  loaded.flowing = last;
  if (loaded.flowed < loaded.flowing) loaded.flowed = loaded.flowing;
  for (let p = 0; p < last; p++) {
    const q = flow[p]!;
    const b = to[p]!;
    rate[from[p]!]! -= q;
    if (b < bodyCount) rate[b]! += q;
    sum[p]! += weight * q;
  }
  if (mound !== null) moundRates(mound, volumes, rate);
}

/** Passages that few works have. */
function rareFlows(): void {
  const { firstOf } = memory;
  hollowSeepageFlows(firstOf[LAW.hollowSeepage]!, firstOf[LAW.pipe]!);
  slitsFlows(firstOf[LAW.slits]!, firstOf[LAW.stone]!);
  stoneBorderFlows(firstOf[LAW.stone]!, firstOf[LAW.weir]!);
}

/** Passages over edges and through what lies above the works. */
function edgeFlows(): void {
  const { firstOf } = memory;
  const { passageCount } = loaded;
  weirFlows(firstOf[LAW.weir]!, firstOf[LAW.sharedWeir]!);
  if (firstOf[LAW.emitter]! > firstOf[LAW.sharedWeir]!) {
    sharedWeirFlows(firstOf[LAW.sharedWeir]!, firstOf[LAW.slopedWeir]!);
    slopedWeirFlows(firstOf[LAW.slopedWeir]!, firstOf[LAW.cover]!);
    coverFlows(firstOf[LAW.cover]!, firstOf[LAW.grate]!);
    grateFlows(firstOf[LAW.grate]!, firstOf[LAW.weepHole]!);
    weepHoleFlows(firstOf[LAW.weepHole]!, firstOf[LAW.emitter]!);
  }
  if (system.lid === 1) emitterFlows(firstOf[LAW.emitter]!, passageCount);
  else for (let p = firstOf[LAW.emitter]!; p < passageCount; p++) rest(p);
}

function rise({ centre }: Mound, states: Float64Array): number {
  const { bodyCount, modes } = loaded;
  let sum = 0;
  for (let k = 0; k < modes; k++) sum += centre[k]! * states[bodyCount + k]!;
  return sum;
}

function moundRates({ passage, planArea, timeConstants }: Mound, states: Float64Array, rate: Float64Array): void {
  const { flow } = columns;
  const { bodyCount, modes } = loaded;
  const recharge = flow[passage]! / planArea;
  for (let k = 0; k < modes; k++) rate[bodyCount + k] = recharge - states[bodyCount + k]! / timeConstants[k]!;
}

function linearise(): void {
  const { narrows, trickle, entering, enteringSlope, startFlow, startByFrom, startByTo, startByTime } = memory;
  const { startEntering, startEnteringSlope, startInflowSlope } = memory;
  const { start, jacobian, timeSlope } = work;
  const { from, to, levelSlope, flow, byFrom, byTo } = columns;
  const { inflowSlope, groundwaterSlope } = drive;
  const { bodyCount, passageCount, groundNode, size, mound } = loaded;
  for (let i = 0; i < size * size; i++) jacobian[i] = 0;
  for (let b = 0; b < bodyCount; b++) {
    trickle[b] = narrows[b] === 1 && start[b]! < TRICKLE ? start[b]! : 0;
    startEntering[b] = entering[b]!;
    startEnteringSlope[b] = enteringSlope[b]!;
    // where a pump fades the slope in time fades with the volume; that small part is left to the error control
    startInflowSlope[b] = enteringSlope[b] === 0 ? inflowSlope[b]! : 0;
    jacobian[b * size + b] = enteringSlope[b]!;
    timeSlope[b] = startInflowSlope[b]!;
  }
  for (let p = 0; p < loaded.flowing; p++) {
    const q = flow[p]!;
    const a = from[p]!;
    const b = to[p]!;
    startFlow[p] = q;
    const bottom = isShared(p) ? emptyEnd(p) : NONE;
    if (byFrom[p] === 0 && byTo[p] === 0 && bottom === NONE) {
      startByFrom[p] = startByTo[p] = startByTime[p] = 0;
      continue;
    }
    // out of a last trickle the flow bends so sharply that its tangent would take more than is there; the chord does not
    let byA = byFrom[p]! * levelSlope[a]!;
    if (trickle[a]! > 0 && q > byA * trickle[a]!) byA = q / trickle[a]!;
    if (bottom === a) byA = slopeToBottom(p, a);
    startByFrom[p] = byA;
    jacobian[a * size + a]! -= byA;
    if (b < bodyCount) {
      let byB = byTo[p]! * levelSlope[b]!;
      if (trickle[b]! > 0 && q < byB * trickle[b]!) byB = q / trickle[b]!;
      if (bottom === b) byB = slopeToBottom(p, b);
      startByTo[p] = byB;
      startByTime[p] = 0;
      jacobian[a * size + b]! -= byB;
      jacobian[b * size + a]! += byA;
      jacobian[b * size + b]! += byB;
    } else {
      const byTime = b >= groundNode ? byTo[p]! * groundwaterSlope[b - groundNode]! : 0;
      startByTo[p] = 0;
      startByTime[p] = byTime;
      timeSlope[a]! -= byTime;
    }
  }
  loaded.startFlowing = loaded.flowing;
  for (let p = loaded.flowing; p < passageCount; p++) startFlow[p] = startByFrom[p] = startByTo[p] = startByTime[p] = 0;
  if (mound !== null) lineariseMound(mound);
}

/** Whether a passage has water on both sides and runs either way: slits, stone between segments, a shared edge, a grate. */
function isShared(p: number): boolean {
  const { firstOf } = memory;
  if (p < firstOf[LAW.slits]! || p >= firstOf[LAW.weepHole]!) return false;
  return p < firstOf[LAW.weir]! || (p >= firstOf[LAW.sharedWeir]! && p < firstOf[LAW.slopedWeir]!) || p >= firstOf[LAW.grate]!;
}

/** The end of a passage that narrows to nothing at its floor and is all but empty; NONE where there is no such end. */
function emptyEnd(p: number): number {
  const { bottomVolume } = memory;
  const { from, to } = columns;
  const { start } = work;
  if (start[from[p]!]! < bottomVolume[from[p]!]!) return from[p]!;
  return to[p]! < loaded.bodyCount && start[to[p]!]! < bottomVolume[to[p]!]! ? to[p]! : NONE;
}

/**
 * Slope of a passage's flow with the volume of an end that is all but empty: the chord to the top of its lowest tenth of a millimetre.
 * The tangent at nothing is nothing, which would let a step fill the body as if no water ran on from it.
 */
function slopeToBottom(p: number, body: number): number {
  const { firstOf, bottomVolume, bottomLevel } = memory;
  const { level, flow, byFrom, byTo } = columns;
  const [was, q, a, b] = [level[body]!, flow[p]!, byFrom[p]!, byTo[p]!];
  level[body] = bottomLevel[body]!;
  if (p < firstOf[LAW.stone]!) slitsFlows(p, p + 1);
  else if (p < firstOf[LAW.weir]!) stoneBorderFlows(p, p + 1);
  else if (p < firstOf[LAW.grate]!) sharedWeirFlows(p, p + 1);
  else grateFlows(p, p + 1);
  const slope = (flow[p]! - q) / (bottomVolume[body]! - Math.max(0, work.start[body]!));
  level[body] = was;
  [flow[p], byFrom[p], byTo[p]] = [q, a, b];
  return slope;
}

/** The modes take the bank's seepage, which in turn falls as the mound rises. */
function lineariseMound({ body, passage, planArea, timeConstants, centre }: Mound): void {
  const { startByFrom, startByTime } = memory;
  const { jacobian, timeSlope } = work;
  const { byTo } = columns;
  const { bodyCount, modes, size } = loaded;
  for (let k = 0; k < modes; k++) {
    const at = (bodyCount + k) * size;
    jacobian[body * size + bodyCount + k] = -byTo[passage]! * centre[k]!;
    jacobian[at + body] = startByFrom[passage]! / planArea;
    for (let j = 0; j < modes; j++) jacobian[at + bodyCount + j] = (byTo[passage]! * centre[j]!) / planArea;
    jacobian[at + bodyCount + k]! -= 1 / timeConstants[k]!;
    timeSlope[bodyCount + k] = startByTime[passage]! / planArea;
  }
  loaded.startByRise = byTo[passage]!;
}

function beginSums(weight: number): void {
  const { startFlow, startEntering, sum, sumEntering } = memory;
  const { bodyCount, passageCount } = loaded;
  loaded.flowed = loaded.startFlowing;
  for (let p = 0; p < passageCount; p++) sum[p] = weight * startFlow[p]!;
  for (let b = 0; b < bodyCount; b++) sumEntering[b] = weight * startEntering[b]!;
}

function endSums(timeWeight: number, h: number): void {
  const { startEnteringSlope, startInflowSlope, sum, sumEntering } = memory;
  const { direction, volume } = work;
  const { bodyCount, passageCount } = loaded;
  for (let p = 0; p < loaded.flowed; p++) volume[p] = h * (sum[p]! + linearChange(p, timeWeight));
  for (let p = loaded.flowed; p < passageCount; p++) volume[p] = 0;
  for (let b = 0; b < bodyCount; b++) {
    volume[passageCount + b] = h * (sumEntering[b]! + startEnteringSlope[b]! * direction[b]! + timeWeight * startInflowSlope[b]!);
  }
}

/** dq/dy . direction + timeWeight dq/dt of a passage's flow at the step's start. */
function linearChange(p: number, timeWeight: number): number {
  const { startByFrom, startByTo, startByTime } = memory;
  const { direction } = work;
  const { from, to } = columns;
  const { bodyCount, mound } = loaded;
  let change = startByFrom[p]! * direction[from[p]!]! + timeWeight * startByTime[p]!;
  if (to[p]! < bodyCount) change += startByTo[p]! * direction[to[p]!]!;
  if (mound !== null && p === mound.passage) change += loaded.startByRise * rise(mound, direction);
  return change;
}

/**
 * Writes to `volume` what groundwater brought into each body in the accepted step of length h: where its seepage ran in all the while
 * all of it, where it turned round the part that a straight line between its ends cuts off.
 */
function splitBrought(h: number): void {
  const { firstOf, startFlow } = memory;
  const { volume } = work;
  const { from, flow } = columns;
  const { bodyCount, passageCount, bringing } = loaded;
  if (!bringing) return;
  const brought = passageCount + bodyCount;
  for (let b = 0; b < bodyCount; b++) volume[brought + b] = 0;
  for (let p = 0; p < firstOf[LAW.pipe]!; p++) {
    const [before, after] = [startFlow[p]!, flow[p]!];
    if (before >= 0 && after >= 0) continue;
    const least = Math.min(before, after);
    const turned = before > 0 || after > 0 ? (h * least * least) / (2 * Math.abs(before - after)) : -volume[p]!;
    volume[brought + from[p]!]! += turned;
  }
}

function flowsAt(time: number, volumes: Float64Array, out: Float64Array): void {
  const { entering } = memory;
  const { from, to, flow } = columns;
  const { bodyCount, passageCount, groundNode, bringing } = loaded;
  rates(time, volumes, memory.lookRate, 0);
  out.fill(0);
  out.set(flow.subarray(0, passageCount));
  out.set(entering.subarray(0, bodyCount), passageCount);
  if (!bringing) return;
  for (let p = 0; p < passageCount; p++) {
    if (to[p]! >= groundNode && flow[p]! < 0) out[passageCount + bodyCount + from[p]!]! -= flow[p]!;
  }
}

/** The lid moves when the head over its sill reaches `lidHead`, upwards while it is shut, downwards while it is open. */
function event(_time: number, volumes: Float64Array): number {
  if (system.lidHead === Infinity) return -1;
  const over = emitterHead(volumes) - system.lidHead;
  return system.lid === 1 ? -over : over;
}

function emitterHead(volumes: Float64Array): number {
  const { row, from, to } = columns;
  const { bodyCount, emitter } = loaded;
  if (emitter === NONE) return NOWHERE;
  const a = from[emitter]!;
  const b = to[emitter]!;
  return levelOf(a, volumes[a]!) - emitterSill(row[emitter]!, b < bodyCount ? levelOf(b, volumes[b]!) : NOWHERE);
}

function openFlow(volumes: Float64Array): number {
  const { row } = columns;
  const { emitter } = loaded;
  return emitter === NONE ? 0 : emitterFlow(row[emitter]!, emitterHead(volumes));
}

function perBody(): Float64Array {
  return new Float64Array(MOST_STATES);
}

function perPassage(): Float64Array {
  return new Float64Array(MOST_PASSAGES);
}

/** How often a network was loaded: as long as it stays the same, so does what the system holds. */
export function loadCount(): number {
  return loaded.count;
}

/** what an error of a mode is weighed against [m]: a metre of rise, as for the volumes */
const MOUND_SCALE = 1;

const NO_CORNERS = new Float64Array();

/** volume below which a body that narrows to nothing at its floor holds but a trickle [m3] */
const TRICKLE = 1e-5;
