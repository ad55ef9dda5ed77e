import type { System } from "../numerics/system.ts";
import { coverFlow } from "../works/cover.ts";
import { emitterFlow, emitterSill } from "../works/emitter.ts";
import { grateFlow } from "../works/grate.ts";
import { hollowSeepageFlow } from "../works/hollowSeepage.ts";
import { pipeFlow } from "../works/pipe.ts";
import { seepageFlow } from "../works/seepage.ts";
import { slitsFlow } from "../works/slits.ts";
import { levelsOf, type StorageTable } from "../works/storageTable.ts";
import { stoneBorderFlow } from "../works/stoneBorder.ts";
import { sharedWeirFlow, weirFlow } from "../works/weir.ts";
import { weepHoleFlow } from "../works/weepHole.ts";
import { LAW, type Network } from "./network.ts";

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

/** level that has no say: beyond a passage that leaves the works */
const NOWHERE = -Infinity;

/**
 * @param blocked  passages that are taken as shut
 */
export function waterSystem(network: Network, blocked: ReadonlySet<number>): WaterSystem {
  const { bodies, passages, table, emitter } = network;
  const n = bodies.length;
  const count = passages.length;
  const storages = bodies.map((body) => body.storage);
  const law = Int32Array.from(passages, (passage, p) => (blocked.has(p) ? -1 : passage.law));
  const from = Int32Array.from(passages, (passage) => passage.from);
  const to = Int32Array.from(passages, (passage) => passage.to);
  const row = Int32Array.from(passages, (passage) => passage.row);
  // seepage always has a say; every other law rests while the water at both ends is below the level its row begins with
  const soaks = Uint8Array.from(passages, ({ law }) => (law === LAW.seepage || law === LAW.hollowSeepage ? 1 : 0));
  const crest = Float64Array.from(passages, ({ row }, p) => (soaks[p] === 1 ? NOWHERE : table[row]!));
  const place = new Int32Array(n);
  const level = new Float64Array(n);
  const levelSlope = new Float64Array(n);
  // a look at another state must not disturb what `linearise` reads of the last call of `rates`
  const seenLevel = new Float64Array(n);
  const seenSlope = new Float64Array(n);
  // slopes of each passage's flow with the levels at its two ends (seepage: its own and the groundwater's)
  const slopeA = new Float64Array(count);
  const slopeB = new Float64Array(count);
  const pumpSlope = new Float64Array(n);
  const out = new Float64Array(3);
  const came = groundwaterFlows(network);
  const flow = new Float64Array(count + n + came);
  const sum = new Float64Array(flow.length);
  const seenRate = new Float64Array(n);
  const seenOut = new Float64Array(3);
  // kept by `linearise`: a step's start
  const keptFlow = new Float64Array(flow.length);
  const keptA = new Float64Array(count);
  const keptB = new Float64Array(count);
  const keptTime = new Float64Array(count);
  const keptPump = new Float64Array(n);
  const keptInflowSlope = new Float64Array(n);
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

  const system: WaterSystem = {
    size: n,
    flows: count + n + came,
    scale: new Float64Array(n).fill(largestVolumePerMetre(storages)),
    lowest: Float64Array.from(storages, (storage) => -LOWEST / storage.emptySlope),
    corners: bodies.map((body) => body.corners),
    lid: 0,
    lidHead: Infinity,
    drive,
    rates,
    linearise,
    beginSums,
    endSums,
    event,
    flowsAt(time, volumes, flows) {
      rates(time, volumes, seenRate, 0);
      flows.set(flow);
    },
    emitterHead,
    emitterFlow(volumes) {
      if (emitter === null) return 0;
      const p = emitter.passage;
      levelsOf(storages, volumes, seenLevel, seenSlope, place);
      emitterFlow(table, row[p]!, seenLevel[from[p]!]!, to[p]! < 0 ? NOWHERE : seenLevel[to[p]!]!, seenOut);
      return seenOut[0]!;
    },
  };
  return system;

  function rates(time: number, volumes: Float64Array, rate: Float64Array, weight: number): void {
    levelsOf(storages, volumes, level, levelSlope, place);
    const since = time - drive.from;
    // only the end of a step, which has no weight, is ever linearised or looked at
    const keep = weight === 0;
    for (let b = 0; b < n; b++) {
      let q = 0;
      if (inflowAt[b] !== 0 || inflowSlope[b] !== 0) {
        q = inflow(b, since, volumes[b]!);
        sum[count + b]! += weight * q;
      } else if (keep) {
        flow[count + b] = pumpSlope[b] = 0;
      }
      rate[b] = q;
    }
    for (let p = 0; p < count; p++) {
      const a = from[p]!;
      const b = to[p]!;
      const Ha = level[a]!;
      const Hb = b < 0 ? NOWHERE : level[b]!;
      if (Ha <= crest[p]! && Hb <= crest[p]!) {
        if (keep) flow[p] = slopeA[p] = slopeB[p] = 0;
        continue;
      }
      passageFlow(p, Ha, Hb, soaks[p] === 1 ? groundwaterAt[a]! + groundwaterSlope[a]! * since : NOWHERE);
      const q = out[0]!;
      rate[a]! -= q;
      if (b >= 0) rate[b]! += q;
      sum[p]! += weight * q;
      if (keep) {
        flow[p] = q;
        slopeA[p] = out[1]!;
        slopeB[p] = out[2]!;
      }
      if (came > 0 && q < 0 && soaks[p] === 1) sum[count + n + a]! -= weight * q;
    }
    if (came > 0 && keep) groundwaterCame();
  }

  /** Flow of one passage and its slopes, into `out`. */
  function passageFlow(p: number, Ha: number, Hb: number, G: number): void {
    const r = row[p]!;
    switch (law[p]) {
      case LAW.seepage: return seepageFlow(table, r, Ha, G, out);
      case LAW.pipe: return pipeFlow(table, r, Ha, Hb, out);
      case LAW.weir: return weirFlow(table, r, Ha, Hb, out);
      case LAW.sharedWeir: return sharedWeirFlow(table, r, Ha, Hb, out);
      case LAW.weepHole: return weepHoleFlow(table, r, Ha, Hb, out);
      case LAW.hollowSeepage: return hollowSeepageFlow(table, r, Ha, G, out);
      case LAW.cover: return coverFlow(table, r, Ha, Hb, out);
      case LAW.grate: return grateFlow(table, r, Ha, Hb, out);
      case LAW.slits: return slitsFlow(table, r, Ha, Hb, out);
      case LAW.stone: return stoneBorderFlow(table, r, Ha, Hb, out);
    }
    if (law[p] === LAW.emitter && system.lid === 1) emitterFlow(table, r, Ha, Hb, out);
    else out[0] = out[1] = out[2] = 0;
  }

  function inflow(b: number, since: number, volume: number): number {
    const q = inflowAt[b]! + inflowSlope[b]! * since;
    const fading = q < 0 && volume < film[b]!;
    pumpSlope[b] = fading ? q / film[b]! : 0;
    flow[count + b] = fading ? (q * volume) / film[b]! : q;
    return flow[count + b]!;
  }

  /** What groundwater brings into each body at the end of a step, beside the net seepage. */
  function groundwaterCame(): void {
    for (let b = 0; b < n; b++) flow[count + n + b] = 0;
    for (let p = 0; p < count; p++) if (soaks[p] === 1 && flow[p]! < 0) flow[count + n + from[p]!]! -= flow[p]!;
  }

  function linearise(jacobian: Float64Array, timeSlope: Float64Array): void {
    for (let i = 0; i < flow.length; i++) keptFlow[i] = flow[i]!;
    for (let i = 0; i < n * n; i++) jacobian[i] = 0;
    for (let b = 0; b < n; b++) {
      keptPump[b] = pumpSlope[b]!;
      // where a pump fades the slope in time fades with the volume; that small part is left to the error control
      keptInflowSlope[b] = pumpSlope[b] === 0 ? inflowSlope[b]! : 0;
      jacobian[b * n + b] = pumpSlope[b]!;
      timeSlope[b] = keptInflowSlope[b]!;
    }
    for (let p = 0; p < count; p++) {
      if (slopeA[p] === 0 && slopeB[p] === 0) {
        keptA[p] = keptB[p] = keptTime[p] = 0;
        continue;
      }
      const a = from[p]!;
      const b = to[p]!;
      const byA = slopeA[p]! * levelSlope[a]!;
      keptA[p] = byA;
      jacobian[a * n + a]! -= byA;
      if (soaks[p] === 1) {
        const inTime = groundwaterSlope[a] === 0 ? 0 : slopeB[p]! * groundwaterSlope[a]!;
        keptB[p] = 0;
        keptTime[p] = inTime;
        timeSlope[a]! -= inTime;
      } else if (b >= 0) {
        const byB = slopeB[p]! * levelSlope[b]!;
        keptB[p] = byB;
        keptTime[p] = 0;
        jacobian[a * n + b]! -= byB;
        jacobian[b * n + a]! += byA;
        jacobian[b * n + b]! += byB;
      } else {
        keptB[p] = keptTime[p] = 0;
      }
    }
  }

  function beginSums(weight: number): void {
    for (let i = 0; i < sum.length; i++) sum[i] = weight * keptFlow[i]!;
  }

  function endSums(direction: Float64Array, timeWeight: number, h: number, volume: Float64Array): void {
    for (let p = 0; p < count; p++) {
      const byA = keptA[p]!;
      const byB = keptB[p]!;
      let change = sum[p]!;
      if (byA !== 0) change += byA * direction[from[p]!]!;
      if (byB !== 0) change += byB * direction[to[p]!]!;
      if (keptTime[p] !== 0) change += timeWeight * keptTime[p]!;
      volume[p] = h * change;
    }
    for (let b = 0; b < n; b++) {
      volume[count + b] = h * (sum[count + b]! + keptPump[b]! * direction[b]! + timeWeight * keptInflowSlope[b]!);
    }
    if (came > 0) endGroundwaterSums(direction, timeWeight, h, volume);
  }

  /** What came in is the seepage with its sign turned, and has its slopes, wherever the step began with it. */
  function endGroundwaterSums(direction: Float64Array, timeWeight: number, h: number, volume: Float64Array): void {
    for (let b = 0; b < n; b++) volume[count + n + b] = h * sum[count + n + b]!;
    for (let p = 0; p < count; p++) {
      const a = from[p]!;
      if (soaks[p] === 1 && keptFlow[p]! < 0) volume[count + n + a]! -= h * (keptA[p]! * direction[a]! + timeWeight * keptTime[p]!);
    }
  }

  /** The lid moves when the head over its sill reaches `lidHead`, upwards while it is shut, downwards while it is open. */
  function event(_time: number, volumes: Float64Array): number {
    if (system.lidHead === Infinity) return -1;
    const over = emitterHead(volumes) - system.lidHead;
    return system.lid === 1 ? -over : over;
  }

  function emitterHead(volumes: Float64Array): number {
    if (emitter === null) return NOWHERE;
    const p = emitter.passage;
    levelsOf(storages, volumes, seenLevel, seenSlope, place);
    return seenLevel[from[p]!]! - emitterSill(table, row[p]!, to[p]! < 0 ? NOWHERE : seenLevel[to[p]!]!);
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
function largestVolumePerMetre(storages: readonly StorageTable[]): number {
  return Math.max(...storages.filter(({ topVolume }) => topVolume < Infinity).map(({ floor, topVolume, topLevel, topSlope }) =>
    (topVolume > 0 ? topVolume / (topLevel - floor) : 1 / topSlope)));
}

/** how far below its floor round-off may take a body [m] */
const LOWEST = 1e-9;
