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
  /** flow through each passage at given volumes [m3/s], for looking at a state outside the stepper */
  flowsAt(time: number, volumes: Float64Array, flows: Float64Array): void;
  /** head over the emitter's sill [m] */
  emitterHead(volumes: Float64Array): number;
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
  const ground = new Float64Array(n);
  // slopes of each passage's flow with the levels at its two ends (seepage: its own and the groundwater's)
  const slopeA = new Float64Array(count);
  const slopeB = new Float64Array(count);
  const pumpSlope = new Float64Array(n);
  const out = new Float64Array(3);
  // kept by `linearise` for `addFlowSlopes`
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
  // volume 1 mm above a body's lowest point: a pump fades out below it
  const film = Float64Array.from(bodies, (body) => body.volume(body.storage.floor + 1e-3));

  const system: WaterSystem = {
    size: n,
    flows: count + n + groundwaterFlows(network),
    scale: Float64Array.from(storages, volumePerMetre),
    lowest: Float64Array.from(film, (volume) => -LOWEST * volume),
    lid: 0,
    lidHead: Infinity,
    drive,
    rates,
    linearise,
    addFlowSlopes,
    event,
    flowsAt(time, volumes, flows) {
      levelsOf(storages, volumes, level, levelSlope, place);
      passageFlows(time, flows);
    },
    emitterHead,
  };
  return system;

  function rates(time: number, volumes: Float64Array, rate: Float64Array, flow: Float64Array): void {
    levelsOf(storages, volumes, level, levelSlope, place);
    passageFlows(time, flow);
    inflows(time, volumes, flow);
    for (let b = 0; b < n; b++) rate[b] = flow[count + b]!;
    for (let p = 0; p < count; p++) {
      const q = flow[p]!;
      if (q === 0) continue;
      rate[from[p]!]! -= q;
      if (to[p]! >= 0) rate[to[p]!]! += q;
    }
  }

  function passageFlows(time: number, flow: Float64Array): void {
    const since = time - drive.from;
    for (let b = 0; b < n; b++) {
      ground[b] = drive.groundwater[b]! + drive.groundwaterSlope[b]! * since;
    }
    for (let i = count + n; i < flow.length; i++) flow[i] = 0;
    for (let p = 0; p < count; p++) {
      const a = from[p]!;
      const b = to[p]!;
      const Ha = level[a]!;
      const Hb = b < 0 ? NOWHERE : level[b]!;
      if (Ha <= crest[p]! && Hb <= crest[p]!) {
        flow[p] = slopeA[p] = slopeB[p] = 0;
        continue;
      }
      const r = row[p]!;
      switch (law[p]) {
        case LAW.pipe: pipeFlow(table, r, Ha, Hb, out); break;
        case LAW.weir: weirFlow(table, r, Ha, Hb, out); break;
        case LAW.sharedWeir: sharedWeirFlow(table, r, Ha, Hb, out); break;
        case LAW.emitter:
          if (system.lid === 1) emitterFlow(table, r, Ha, Hb, out);
          else out[0] = out[1] = out[2] = 0;
          break;
        case LAW.weepHole: weepHoleFlow(table, r, Ha, Hb, out); break;
        case LAW.seepage: seepageFlow(table, r, Ha, ground[a]!, out); break;
        case LAW.hollowSeepage: hollowSeepageFlow(table, r, Ha, ground[a]!, out); break;
        case LAW.cover: coverFlow(table, r, Ha, Hb, out); break;
        case LAW.grate: grateFlow(table, r, Ha, Hb, out); break;
        case LAW.slits: slitsFlow(table, r, Ha, Hb, out); break;
        case LAW.stone: stoneBorderFlow(table, r, Ha, Hb, out); break;
        default: out[0] = out[1] = out[2] = 0;
      }
      const q = out[0]!;
      flow[p] = q;
      slopeA[p] = out[1]!;
      slopeB[p] = out[2]!;
      if (q < 0 && soaks[p] === 1) flow[count + n + a]! -= q;
    }
  }

  function inflows(time: number, volumes: Float64Array, flow: Float64Array): void {
    const since = time - drive.from;
    for (let b = 0; b < n; b++) {
      const q = drive.inflow[b]! + drive.inflowSlope[b]! * since;
      const fading = q < 0 && volumes[b]! < film[b]!;
      flow[count + b] = fading ? (q * volumes[b]!) / film[b]! : q;
      pumpSlope[b] = fading ? q / film[b]! : 0;
    }
  }

  function linearise(jacobian: Float64Array, timeSlope: Float64Array): void {
    for (let i = 0; i < n * n; i++) jacobian[i] = 0;
    for (let b = 0; b < n; b++) {
      keptPump[b] = pumpSlope[b]!;
      // where a pump fades the slope in time fades with the volume; that small part is left to the error control
      keptInflowSlope[b] = pumpSlope[b] === 0 ? drive.inflowSlope[b]! : 0;
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
        const inTime = drive.groundwaterSlope[a] === 0 ? 0 : slopeB[p]! * drive.groundwaterSlope[a]!;
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

  function addFlowSlopes(direction: Float64Array, timeWeight: number, h: number, volume: Float64Array): void {
    for (let p = 0; p < count; p++) {
      const byA = keptA[p]!;
      const byB = keptB[p]!;
      if (byA !== 0) volume[p]! += h * byA * direction[from[p]!]!;
      if (byB !== 0) volume[p]! += h * byB * direction[to[p]!]!;
      if (keptTime[p] !== 0) volume[p]! += h * timeWeight * keptTime[p]!;
    }
    for (let b = 0; b < n; b++) {
      volume[count + b]! += h * (keptPump[b]! * direction[b]! + timeWeight * keptInflowSlope[b]!);
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

/** What a metre of level holds on average [m3]: errors are weighed by the level they stand for. */
function volumePerMetre({ floor, topVolume, topLevel, topSlope, pieces }: StorageTable): number {
  if (topVolume === Infinity) return (1 / pieces[2]!) ** 2;
  return topVolume > 0 ? topVolume / (topLevel - floor) : 1 / topSlope;
}

/** share of the volume in a millimetre's film that a body may be overdrawn by: 1e-9 m of level */
const LOWEST = 1e-6;
