import type { System } from "../numerics/system.ts";
import { emitterFlows, emitterSill } from "../works/emitter.ts";
import { rest } from "../works/flowLaw.ts";
import { levelsOf, levelTables } from "../works/storageTable.ts";
import { LAW, type Network } from "./network.ts";
import { FLOWS, lawGroups, NOWHERE, passageColumns, wakeLevels } from "./passageColumns.ts";

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
}

/**
 * Inside, passages run between nodes as in `passageColumns`.
 *
 * @param blocked  passages that are taken as shut
 */
export function waterSystem(network: Network, blocked: ReadonlySet<number>): WaterSystem {
  const { bodies, emitter } = network;
  const n = bodies.length;
  const count = network.passages.length;
  const ground = n + 1;
  const storages = levelTables(bodies.map((body) => body.storage));
  const passages = passageColumns(network);
  const { table, row, from, to, level, flow, byFrom, byTo } = passages;
  const groups = lawGroups(network, blocked);
  const edges = groups.findIndex(({ law }) => law >= LAW.weir);
  const firstEdge = edges < 0 ? count : groups[edges]!.first;
  const wakes = wakeLevels(network);
  const came = groundwaterFlows(network);
  const drive: Drive = {
    from: 0,
    inflow: new Float64Array(n),
    inflowSlope: new Float64Array(n),
    groundwater: new Float64Array(n).fill(NOWHERE),
    groundwaterSlope: new Float64Array(n),
  };
  const { inflow: inflowAt, inflowSlope, groundwater: groundwaterAt, groundwaterSlope } = drive;
  // volume 1 mm above a body's lowest point: a pump fades out below it
  const film = Float64Array.from(bodies, (body) => body.volume(body.storage.floor + 1e-3));

  // passages from here on are at rest since the last call of `rates`
  let flowed = 0;
  // of the nodes: dH/dV of bodies and 0 beyond, dH/dt of groundwater and 0 before
  const levelSlope = new Float64Array(ground + n);
  const levelRate = new Float64Array(ground + n);
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
  const sum = new Float64Array(count + n + came);
  // for a look at another state, which must not disturb what `linearise` reads of the last call of `rates`
  const seen = { ...passageColumns(network), slope: new Float64Array(n), rate: new Float64Array(n) };

  const system: WaterSystem = {
    size: n,
    flows: sum.length,
    scale: new Float64Array(n).fill(largestVolumePerMetre(bodies)),
    lowest: Float64Array.from(bodies, ({ storage }) => -LOWEST / storage.emptySlope),
    corners: bodies.map((body) => body.corners),
    settles: true,
    lid: 0,
    lidHead: Infinity,
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
    let awake = false;
    for (let b = 0; b < n; b++) {
      if (level[b]! > wakes[b]!) awake = true;
      level[ground + b] = groundwaterAt[b]! + groundwaterSlope[b]! * since;
      if (inflowAt[b] === 0 && inflowSlope[b] === 0) {
        rate[b] = entering[b] = enteringSlope[b] = 0;
        continue;
      }
      const q = inflowAt[b]! + inflowSlope[b]! * since;
      const fading = q < 0 && volumes[b]! < film[b]!;
      entering[b] = fading ? (q * volumes[b]!) / film[b]! : q;
      enteringSlope[b] = fading ? q / film[b]! : 0;
      rate[b] = entering[b]!;
      sum[count + b]! += weight * entering[b]!;
    }
    const flowing = awake ? count : firstEdge;
    for (let g = 0; g < groups.length && groups[g]!.first < flowing; g++) {
      const { law, first, end } = groups[g]!;
      if (law !== LAW.emitter || system.lid === 1) FLOWS[law](passages, first, end);
      else rest(passages, first);
    }
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
  }

  function linearise(jacobian: Float64Array, timeSlope: Float64Array): void {
    for (let i = 0; i < n * n; i++) jacobian[i] = 0;
    for (let b = 0; b < n; b++) {
      startFlow[count + b] = entering[b]!;
      startEnteringSlope[b] = enteringSlope[b]!;
      // where a pump fades the slope in time fades with the volume; that small part is left to the error control
      startInflowSlope[b] = enteringSlope[b] === 0 ? inflowSlope[b]! : 0;
      jacobian[b * n + b] = enteringSlope[b]!;
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
      const byA = byFrom[p]! * levelSlope[a]!;
      const byB = byTo[p]! * levelSlope[b]!;
      const byTime = byTo[p]! * levelRate[b]!;
      startByFrom[p] = byA;
      startByTo[p] = byB;
      startByTime[p] = byTime;
      jacobian[a * n + a]! -= byA;
      timeSlope[a]! -= byTime;
      if (b < n) {
        jacobian[a * n + b]! -= byB;
        jacobian[b * n + a]! += byA;
        jacobian[b * n + b]! += byB;
      }
    }
  }

  function beginSums(weight: number): void {
    for (let i = 0; i < count + n; i++) sum[i] = weight * startFlow[i]!;
    if (came === 0) return;
    for (let b = 0; b < n; b++) sum[count + n + b] = 0;
    for (let p = 0; p < count; p++) if (bringsIn(p)) sum[count + n + from[p]!]! -= weight * startFlow[p]!;
  }

  function endSums(direction: Float64Array, timeWeight: number, h: number, volume: Float64Array): void {
    for (let p = 0; p < count; p++) {
      const b = to[p]!;
      let change = sum[p]! + startByFrom[p]! * direction[from[p]!]! + timeWeight * startByTime[p]!;
      if (b < n) change += startByTo[p]! * direction[b]!;
      volume[p] = h * change;
    }
    for (let b = 0; b < n; b++) {
      volume[count + b] = h * (sum[count + b]! + startEnteringSlope[b]! * direction[b]! + timeWeight * startInflowSlope[b]!);
    }
    if (came === 0) return;
    for (let b = 0; b < n; b++) volume[count + n + b] = h * sum[count + n + b]!;
    for (let p = 0; p < count; p++) {
      const a = from[p]!;
      if (bringsIn(p)) volume[count + n + a]! -= h * (startByFrom[p]! * direction[a]! + timeWeight * startByTime[p]!);
    }
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

/** One flow a body where a water table ever stands above a floor, none otherwise. */
function groundwaterFlows({ bodies }: Network): number {
  const reached = bodies.some(({ groundwater, storage }) => groundwater !== null && Math.max(...groundwater.level) > storage.floor);
  return reached ? bodies.length : 0;
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

/** how far below its floor round-off may take a body [m] */
const LOWEST = 1e-9;
