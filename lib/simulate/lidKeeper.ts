import type { Integration } from "../numerics/integrate.ts";
import { denseState } from "../numerics/rodas4p2.ts";
import { stepWork } from "../numerics/stepWork.ts";
import { sameTime } from "../runoff/sumHydrographs.ts";
import type { Network } from "./network.ts";
import type { Firing } from "./run.ts";
import type { WaterSystem } from "./waterSystem.ts";

/**
 * Keeps the emitter's lid, a switch with memory: it opens when the head over its sill rises to one height and closes when
 * it falls to a lower one; held shut by its schedule it does neither. It has a little inertia: after a move it rests for a second,
 * so that a run has no more than one move a second. Every opening is a firing.
 */
export interface LidKeeper {
  /** when it wants looking at again [s]; Infinity unless it rests although its head asks for a move */
  readonly wakesAt: number;
  /** at a corner of the run, or when it wakes: its schedule may shut it or set it free, its head may ask for a move */
  look(integration: Integration, totals: Float64Array): void;
  /** moves the lid where the stepper found its event, unless it rests */
  move(integration: Integration, totals: Float64Array): void;
  /** looks at an accepted step for the firing's peak flow */
  passed(): void;
  /** the firings up to now; the last one's end is null while it goes on */
  firings(totals: Float64Array): Firing[];
}

/** @param standsOpen  whether the lid is open when the run begins, which is a firing from there on */
export function lidKeeper(network: Network, system: WaterSystem, blocked: ReadonlySet<number>, standsOpen: boolean): LidKeeper {
  const { emitter } = network;
  const closed: { start: number; end: number | null; volume: number; peakFlow: number }[] = [];
  const between = new Float64Array(system.size);
  let firing: OpenFiring | null = null;
  let restsUntil = -Infinity;
  let wakesAt = Infinity;

  if (emitter === null || blocked.has(emitter.passage)) {
    return { wakesAt, look: () => {}, move: () => {}, passed: () => {}, firings: () => [] };
  }
  const { passage, opensAtHead, closesAtHead, heldShut } = emitter;
  // asked at a corner, which stands for all times merged into it
  const isHeld = (corner: number): boolean => {
    const time = corner + sameTime(corner);
    return heldShut.some(({ from, to }) => from <= time && time < to);
  };

  return {
    get wakesAt() { return wakesAt; },
    look(integration, totals) {
      const { time } = integration;
      wakesAt = Infinity;
      if (time === 0 && standsOpen) open(0, totals);
      if (isHeld(time)) {
        if (firing !== null) shut(time, totals);
        system.lidHead = Infinity;
        return;
      }
      const head = system.emitterHead(stepWork.start);
      if (firing === null ? head >= opensAtHead : head <= closesAtHead) turn(time, totals);
      else system.lidHead = firing === null ? opensAtHead : closesAtHead;
    },
    move: ({ time }, totals) => turn(time, totals),
    passed() {
      if (firing === null) return;
      raisePeak(firing, stepWork.end);
      // a step far below the highest head so far has no higher one inside
      if (firing.lastHead < firing.topHead - NEAR_TOP) return;
      for (let quarter = 1; quarter < 4; quarter++) {
        denseState(quarter / 4, between);
        raisePeak(firing, between);
      }
    },
    firings(totals) {
      const all: Firing[] = [...closed];
      if (firing !== null) {
        all.push({ start: firing.start, end: null, volume: totals[passage]! - firing.volumeBefore, peakFlow: firing.peakFlow });
      }
      return all;
    },
  };

  /** Opens a shut lid and shuts an open one, or has it wait until it has rested. */
  function turn(time: number, totals: Float64Array): void {
    if (time < restsUntil - sameTime(time)) {
      wakesAt = restsUntil;
      system.lidHead = Infinity;
    } else if (firing === null) {
      open(time, totals);
    } else {
      shut(time, totals);
    }
  }

  function open(time: number, totals: Float64Array): void {
    restsUntil = time + REST;
    system.lid = 1;
    system.lidHead = closesAtHead;
    firing = { start: time, volumeBefore: totals[passage]!, topHead: -Infinity, lastHead: 0, peakFlow: 0 };
    raisePeak(firing, stepWork.start);
  }

  function shut(time: number, totals: Float64Array): void {
    restsUntil = time + REST;
    system.lid = 0;
    system.lidHead = opensAtHead;
    closed.push({ start: firing!.start, end: time, volume: totals[passage]! - firing!.volumeBefore, peakFlow: firing!.peakFlow });
    firing = null;
  }

  /** The flow rises with the head, so only a head above the highest so far needs the law. */
  function raisePeak(open: OpenFiring, volumes: Float64Array): void {
    const head = system.emitterHead(volumes);
    open.lastHead = head;
    if (head <= open.topHead) return;
    open.topHead = head;
    open.peakFlow = system.emitterFlow(volumes);
  }
}

/** how long the lid rests after a move [s] */
const REST = 1;

/** [m] */
const NEAR_TOP = 0.01;

interface OpenFiring {
  readonly start: number;
  /** what the emitter had passed before [m3] */
  readonly volumeBefore: number;
  topHead: number;
  lastHead: number;
  peakFlow: number;
}
