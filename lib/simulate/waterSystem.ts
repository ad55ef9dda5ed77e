import type { System } from "../numerics/system.ts";
import { coverFlows } from "../works/cover.ts";
import { emitterFlows, emitterSill } from "../works/emitter.ts";
import { rest } from "../works/flowLaw.ts";
import { grateFlows } from "../works/grate.ts";
import { hollowSeepageFlows } from "../works/hollowSeepage.ts";
import { pipeFlows } from "../works/pipe.ts";
import { seepageFlows } from "../works/seepage.ts";
import { slitsFlows } from "../works/slits.ts";
import { levelsOf, levelTables, type StorageTable } from "../works/storageTable.ts";
import { stoneBorderFlows } from "../works/stoneBorder.ts";
import { weepHoleFlows } from "../works/weepHole.ts";
import { sharedWeirFlows, weirFlows } from "../works/weir.ts";
import type { Mound } from "./mound.ts";
import { LAW, type Law, type Network } from "./network.ts";
import { NOWHERE, passageColumns, wakeLevels } from "./passageColumns.ts";

/**
 * The water in a network as differential equations:
 *
 *   V_n' = inflow_n(t) + sum of Q over passages into n - sum of Q over passages out of n,     Q = law(H_from, H_to)
 *   H = H_n(V_n) from the storage tables;  inflow and groundwater are straight lines in time between corners
 *
 * Flows are added up in this order: all passages, what runs into each body, and, where groundwater can reach the works at
 * all, what it brings into each body.
 */
export interface WaterSystem extends System {
  /** 1 while the emitter's lid is open */
  lid: 0 | 1;
  /** head at which the lid moves next, over its sill [m]; Infinity while it is held shut or there is none */
  lidHead: number;
  /** the numbers of all laws, the system's own copy of the network's */
  readonly table: Float64Array;
  /** straight lines of the segment the run is in: inflow [m3/s] and groundwater [m] of each body at `from`, and their slopes */
  readonly drive: Drive;
  /** flow through each passage at given volumes [m3/s], for looking at a state; not while a step is under way */
  flowsAt(time: number, volumes: Float64Array, flows: Float64Array): void;
  /** head over the emitter's sill [m], -Infinity without an emitter; disturbs nothing of a step under way */
  emitterHead(volumes: Float64Array): number;
  /** flow of the emitter with its lid open at those volumes [m3/s]; disturbs nothing either */
  emitterFlow(volumes: Float64Array): number;
}

export interface Drive {
  from: number;
  readonly inflow: Float64Array;
  readonly inflowSlope: Float64Array;
  readonly groundwater: Float64Array;
  readonly groundwaterSlope: Float64Array;
  /** the bodies that something runs into, or is pumped from, and how many they are */
  readonly runs: Int32Array;
  running: number;
}

/**
 * Inside, passages run between nodes as in `passageColumns`.
 *
 * @param blocked  passages that are taken as shut
 * @param mound    its modes are states after the volumes
 */
export function waterSystem(network: Network, blocked: ReadonlySet<number>, mound: Mound | null): WaterSystem {
  const { bodies, emitter } = network;
  const n = bodies.length;
  const modes = mound?.timeConstants.length ?? 0;
  const size = n + modes;
  const count = network.passages.length;
  const ground = n + 1;
  const storages = levelTables(bodies.map((body) => body.storage));
  const passages = passageColumns(network);
  const { table, row, from, to, level, flow, byFrom, byTo } = passages;
  // passages stand in the order of their laws: where each law's begin
  const firstOf = (law: Law): number => network.passages.filter((passage) => passage.law < law).length;
  const hollows = firstOf(LAW.hollowSeepage);
  const pipes = firstOf(LAW.pipe);
  const slits = firstOf(LAW.slits);
  const stones = firstOf(LAW.stone);
  const edges = firstOf(LAW.weir);
  const sharedWeirs = firstOf(LAW.sharedWeir);
  const covers = firstOf(LAW.cover);
  const grates = firstOf(LAW.grate);
  const weepHoles = firstOf(LAW.weepHole);
  const emitters = firstOf(LAW.emitter);
  const shut = Int32Array.from(blocked);
  const wakes = wakeLevels(network);
  const came = groundwaterFlows(network, mound);
  const drive: Drive = {
    from: 0,
    inflow: new Float64Array(n),
    inflowSlope: new Float64Array(n),
    groundwater: new Float64Array(n).fill(NOWHERE),
    groundwaterSlope: new Float64Array(n),
    runs: new Int32Array(n),
    running: 0,
  };
  const { inflow: inflowAt, inflowSlope, groundwater: groundwaterAt, groundwaterSlope } = drive;
  // volume 1 mm above a body's lowest point: a pump fades out below it
  const film = Float64Array.from(bodies, (body) => body.volume(body.storage.floor + 1e-3));

  // passages from here on are at rest since the last call of `rates`
  let flowed = 0;
  // of the nodes: dH/dV of bodies and 0 beyond, dH/dt of groundwater and 0 before
  const levelSlope = new Float64Array(ground + n);
  const levelRate = new Float64Array(ground + n);
  // volumes at the last end of a step; and, where a body that narrows to nothing holds next to none, that, else 0
  const held = new Float64Array(n);
  const trickle = new Float64Array(n);
  const narrows = Uint8Array.from(bodies, ({ storage }) => (storage.exponent === 1 ? 0 : 1));
  // what runs into each body, and its slope with the volume
  const entering = new Float64Array(n);
  const enteringSlope = new Float64Array(n);
  // at a step's start: all flows, and the slopes of a passage's with the volumes at its ends and with time
  const startFlow = new Float64Array(count + n);
  const startByFrom = new Float64Array(count);
  const startByTo = new Float64Array(count);
  const startByTime = new Float64Array(count);
  const startEnteringSlope = new Float64Array(n);
  const startInflowSlope = new Float64Array(n);
  // the bank's seepage with its mound's rise
  let startByRise = 0;
  const sum = new Float64Array(count + n + came);
  // for a look at another state, which must not disturb what `linearise` reads of the last call of `rates`
  const seen = { ...passageColumns(network), table, slope: new Float64Array(n), rate: new Float64Array(size) };

  const system: WaterSystem = {
    size,
    flows: sum.length,
    scale: new Float64Array(size).fill(largestVolumePerMetre(bodies), 0, n).fill(MOUND_SCALE, n),
    lowest: Float64Array.from({ length: size }, (_, i) => (i < n ? lowestVolume(bodies[i]!.storage) : -Infinity)),
    corners: Array.from({ length: size }, (_, i) => bodies[i]?.corners ?? new Float64Array()),
    settles: mound === null,
    oneWay: Int32Array.from(network.passages.flatMap(({ law }, p) => (ONE_WAY_LAWS.includes(law) ? [p] : []))),
    lid: 0,
    lidHead: Infinity,
    table,
    drive,
    rates,
    linearise,
    beginSums,
    endSums,
    event,
    flowsAt,
    emitterHead,
    emitterFlow(volumes) {
      if (emitter === null) return 0;
      emitterHead(volumes);
      emitterFlows(seen, emitter.passage, emitter.passage + 1);
      return seen.flow[emitter.passage]!;
    },
  };
  return system;

  function rates(time: number, volumes: Float64Array, rate: Float64Array, weight: number): void {
    const since = time - drive.from;
    levelsOf(storages, volumes, level, levelSlope, 0, n);
    if (weight === 0) for (let b = 0; b < n; b++) held[b] = volumes[b]!;
    let awake = false;
    for (let b = 0; b < n; b++) {
      if (level[b]! > wakes[b]!) awake = true;
      level[ground + b] = groundwaterAt[b]! + groundwaterSlope[b]! * since;
      rate[b] = entering[b] = enteringSlope[b] = 0;
    }
    for (let i = 0; i < drive.running; i++) {
      const b = drive.runs[i]!;
      const q = inflowAt[b]! + inflowSlope[b]! * since;
      const fading = q < 0 && volumes[b]! < film[b]!;
      entering[b] = fading ? (q * volumes[b]!) / film[b]! : q;
      enteringSlope[b] = fading ? q / film[b]! : 0;
      rate[b] = entering[b]!;
      sum[count + b]! += weight * entering[b];
    }
    if (mound !== null) level[ground + mound.body]! += rise(volumes);

    seepageFlows(passages, 0, hollows);
    if (pipes > hollows) hollowSeepageFlows(passages, hollows, pipes);
    pipeFlows(passages, pipes, slits);
    if (edges > slits) {
      slitsFlows(passages, slits, stones);
      stoneBorderFlows(passages, stones, edges);
    }
    if (awake) edgeFlows();
    for (let i = 0; i < shut.length; i++) rest(passages, shut[i]!);
    const flowing = awake ? count : edges;
    for (; flowed > flowing; flowed--) rest(passages, flowed - 1);
    flowed = flowing;
    for (let p = 0; p < flowing; p++) {
      const q = flow[p]!;
      if (q === 0) continue;
      const a = from[p]!;
      const b = to[p]!;
      rate[a]! -= q;
      if (b < n) rate[b]! += q;
      sum[p]! += weight * q;
      if (came > 0 && b >= ground && q < 0) sum[count + n + a]! -= weight * q;
    }
    if (mound === null) return;
    const recharge = flow[mound.passage]! / mound.planArea;
    for (let k = 0; k < modes; k++) rate[n + k] = recharge - volumes[n + k]! / mound.timeConstants[k]!;
  }

  function edgeFlows(): void {
    weirFlows(passages, edges, sharedWeirs);
    if (emitters > sharedWeirs) {
      sharedWeirFlows(passages, sharedWeirs, covers);
      coverFlows(passages, covers, grates);
      grateFlows(passages, grates, weepHoles);
      weepHoleFlows(passages, weepHoles, emitters);
    }
    if (system.lid === 1) emitterFlows(passages, emitters, count);
    else for (let p = emitters; p < count; p++) rest(passages, p);
  }

  function rise(states: Float64Array): number {
    let sum = 0;
    for (let k = 0; k < modes; k++) sum += mound!.centre[k]! * states[n + k]!;
    return sum;
  }

  function linearise(jacobian: Float64Array, timeSlope: Float64Array): void {
    for (let i = 0; i < size * size; i++) jacobian[i] = 0;
    for (let b = 0; b < n; b++) {
      trickle[b] = narrows[b] === 1 && held[b]! < TRICKLE ? held[b]! : 0;
      startFlow[count + b] = entering[b]!;
      startEnteringSlope[b] = enteringSlope[b]!;
      // where a pump fades the slope in time fades with the volume; that small part is left to the error control
      startInflowSlope[b] = enteringSlope[b] === 0 ? inflowSlope[b]! : 0;
      jacobian[b * size + b] = enteringSlope[b]!;
      timeSlope[b] = startInflowSlope[b]!;
      levelRate[ground + b] = groundwaterSlope[b]!;
    }
    for (let p = 0; p < count; p++) {
      startFlow[p] = flow[p]!;
      if (byFrom[p] === 0 && byTo[p] === 0) {
        startByFrom[p] = startByTo[p] = startByTime[p] = 0;
        continue;
      }
      const a = from[p]!;
      const b = to[p]!;
      let byA = byFrom[p]! * levelSlope[a]!;
      let byB = byTo[p]! * levelSlope[b]!;
      // out of a last trickle the flow bends so sharply that its tangent would take more than is there; the chord does not
      if (trickle[a]! > 0 && flow[p]! > byA * trickle[a]!) byA = flow[p]! / trickle[a]!;
      if (b < n && trickle[b]! > 0 && flow[p]! < byB * trickle[b]!) byB = flow[p]! / trickle[b]!;
      const byTime = byTo[p]! * levelRate[b]!;
      startByFrom[p] = byA;
      startByTo[p] = byB;
      startByTime[p] = byTime;
      jacobian[a * size + a]! -= byA;
      timeSlope[a]! -= byTime;
      if (b < n) {
        jacobian[a * size + b]! -= byB;
        jacobian[b * size + a]! += byA;
        jacobian[b * size + b]! += byB;
      }
    }
    if (mound !== null) lineariseMound(mound, jacobian, timeSlope);
  }

  /** The modes take the bank's seepage, which in turn falls as the mound rises. */
  function lineariseMound(
    { body, passage, planArea, timeConstants, centre }: Mound, jacobian: Float64Array, timeSlope: Float64Array,
  ): void {
    for (let k = 0; k < modes; k++) {
      const row = (n + k) * size;
      jacobian[body * size + n + k] = -byTo[passage]! * centre[k]!;
      jacobian[row + body] = startByFrom[passage]! / planArea;
      for (let j = 0; j < modes; j++) jacobian[row + n + j] = (byTo[passage]! * centre[j]!) / planArea;
      jacobian[row + n + k]! -= 1 / timeConstants[k]!;
      timeSlope[n + k] = startByTime[passage]! / planArea;
    }
    startByRise = byTo[passage]!;
  }

  function beginSums(weight: number): void {
    for (let i = 0; i < count + n; i++) sum[i] = weight * startFlow[i]!;
    if (came === 0) return;
    for (let b = 0; b < n; b++) sum[count + n + b] = 0;
    for (let p = 0; p < count; p++) if (bringsIn(p)) sum[count + n + from[p]!]! -= weight * startFlow[p]!;
  }

  function endSums(direction: Float64Array, timeWeight: number, h: number, volume: Float64Array): void {
    for (let p = 0; p < count; p++) volume[p] = h * (sum[p]! + linearChange(p, direction, timeWeight));
    for (let b = 0; b < n; b++) {
      volume[count + b] = h * (sum[count + b]! + startEnteringSlope[b]! * direction[b]! + timeWeight * startInflowSlope[b]!);
    }
    if (came === 0) return;
    for (let b = 0; b < n; b++) volume[count + n + b] = h * sum[count + n + b]!;
    for (let p = 0; p < count; p++) {
      if (bringsIn(p)) volume[count + n + from[p]!]! -= h * linearChange(p, direction, timeWeight);
    }
  }

  /** dq/dy . direction + timeWeight dq/dt of a passage's flow at the step's start. */
  function linearChange(p: number, direction: Float64Array, timeWeight: number): number {
    let change = startByFrom[p]! * direction[from[p]!]! + timeWeight * startByTime[p]!;
    if (to[p]! < n) change += startByTo[p]! * direction[to[p]!]!;
    if (mound !== null && p === mound.passage) change += startByRise * rise(direction);
    return change;
  }

  /** Whether groundwater came in at the step's start: what came in is the seepage with its sign turned. */
  function bringsIn(p: number): boolean {
    return to[p]! >= ground && startFlow[p]! < 0;
  }

  function flowsAt(time: number, volumes: Float64Array, out: Float64Array): void {
    rates(time, volumes, seen.rate, 0);
    out.fill(0);
    out.set(flow);
    out.set(entering, count);
    if (came === 0) return;
    for (let p = 0; p < count; p++) if (to[p]! >= ground && flow[p]! < 0) out[count + n + from[p]!]! -= flow[p]!;
  }

  /** The lid moves when the head over its sill reaches `lidHead`, upwards while it is shut, downwards while it is open. */
  function event(_time: number, volumes: Float64Array): number {
    if (system.lidHead === Infinity) return -1;
    const over = emitterHead(volumes) - system.lidHead;
    return system.lid === 1 ? -over : over;
  }

  function emitterHead(volumes: Float64Array): number {
    if (emitter === null) return NOWHERE;
    const a = from[emitter.passage]!;
    const b = to[emitter.passage]!;
    levelsOf(storages, volumes, seen.level, seen.slope, a, a + 1);
    if (b < n) levelsOf(storages, volumes, seen.level, seen.slope, b, b + 1);
    return seen.level[a]! - emitterSill(table, row[emitter.passage]!, seen.level[b]!);
  }
}

/** Laws of passages that water goes through one way only. */
const ONE_WAY_LAWS: readonly Law[] = [LAW.weir, LAW.cover, LAW.weepHole, LAW.emitter];

/** One flow a body where a water table ever stands above a floor or may come to, none otherwise. */
function groundwaterFlows({ bodies }: Network, mound: Mound | null): number {
  const reached = bodies.some(({ groundwater, storage }) => groundwater !== null && Math.max(...groundwater.level) > storage.floor);
  return reached || mound !== null ? bodies.length : 0;
}

/**
 * What an error of any body's volume is weighed against: the water a metre of level holds [m3] in the largest body of the
 * works. The ledger asks for volumes, and a small box passes on what it holds, so its error is no worse than the pit's.
 */
function largestVolumePerMetre(bodies: Network["bodies"]): number {
  const perMetre = bodies.map(({ storage: { floor, topVolume, topLevel, topSlope } }) =>
    (topVolume > 0 ? topVolume / (topLevel - floor) : 1 / topSlope));
  return Math.max(...perMetre.filter(Number.isFinite));
}

/** what an error of a mode is weighed against [m]: a metre of rise, as for the volumes */
const MOUND_SCALE = 1;

/** volume below which a body that narrows to nothing at its floor holds but a trickle [m3] */
const TRICKLE = 1e-5;

/**
 * How far below nothing a body's volume may fall [m3]: a nanometre of its depth; where it narrows to nothing at its floor a
 * tenth of a millilitre, for there a trickle fills and empties it within microseconds.
 */
function lowestVolume({ exponent, emptySlope }: StorageTable): number {
  return exponent === 1 ? -1e-9 / emptySlope : -1e-7;
}
