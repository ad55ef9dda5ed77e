import { seriesLevel, straightLevels, type TimedLevel } from "../ground/seriesLevel.ts";
import { firstAfter } from "../numerics/firstAfter.ts";
import type { Hydrograph } from "../runoff/hydrograph.ts";
import { mergedTimes, sameTime } from "../runoff/sumHydrographs.ts";
import { segmentSize, type Segments } from "./kernel.ts";
import type { Network } from "./network.ts";

/**
 * What drives a run, cut at its corners: between two of them every inflow and every groundwater level is a straight line
 * and no lid schedule begins or ends.
 */
export interface Driveline {
  /** times that steps land on, rising, from 0 to the end of the run [s] */
  readonly corners: Float64Array;
  /** The segments from one corner to another, by their indices; quick when asked in order. Gone with the next call. */
  segments(first: number, end: number): Segments;
}

/**
 * Drives as many times the inflows of a driveline as is asked, through works like its own whose groundwater stands still: the corners
 * are the same, and so are the straight lines but for the factor.
 *
 * @returns  a driveline for a factor and the groundwater level at each body [m]; each is gone with the next call
 */
export function scaledDriveline(line: Driveline, bodies: number): (factor: number, groundwater: ArrayLike<number>) => Driveline {
  const size = segmentSize(bodies);
  const { corners } = line;
  const written = line.segments(0, corners.length - 1).numbers.slice();
  const numbers = written.slice();
  return (factor, groundwater) => {
    for (let i = 3; i < numbers.length; i += size) {
      for (let b = 0, at = i; b < bodies; b++, at += 4) {
        numbers[at] = factor * written[at]!;
        numbers[at + 1] = factor * written[at + 1]!;
        numbers[at + 2] = groundwater[b]!;
      }
    }
    return { corners, segments: (first, end) => ({ numbers: numbers.subarray(first * size, end * size), count: end - first }) };
  };
}

/** Whether the groundwater at some body moves while a run goes on. */
export function hasMovingGroundwater({ bodies }: Network): boolean {
  return bodies.some(({ groundwater }) => groundwater !== null && straightLevels(groundwater).time.length > 1);
}

/**
 * @param inflows  by body name, without straight corners; bodies without one get nothing
 * @param more     further times that steps are to land on, rising [s]
 */
export function driveline(
  network: Network, inflows: Readonly<Record<string, Hydrograph>>, until: number, more: ArrayLike<number> = [],
): Driveline {
  const { bodies } = network;
  // a box may bear the name of something that every object has, such as "constructor"
  const flows = bodies.map(({ name }) => (Object.hasOwn(inflows, name) ? inflows[name]! : null));
  const grounds = bodies.map(({ groundwater }) => groundwater && straightLevels(groundwater));
  const corners = cornersOf(network, flows, grounds, until, more);
  const heldShut = network.emitter?.heldShut ?? [];
  const constant = bodies.map(({ groundwater }) => seriesLevel(groundwater, 0));
  const at = new Int32Array(bodies.length);
  let numbers = new Float64Array();
  return {
    corners,
    segments(first, end) {
      const count = end - first;
      const size = segmentSize(bodies.length);
      if (numbers.length < count * size) numbers = new Float64Array(count * size);
      for (let segment = first, i = 0; segment < end; segment++) i = write(i, corners[segment]!, corners[segment + 1]!);
      return { numbers, count };
    },
  };

  /** Writes the segment between two times from index i on, and returns where the next one begins. */
  function write(i: number, from: number, to: number): number {
    numbers[i++] = from;
    numbers[i++] = to;
    // a corner stands for all times merged into it
    const reached = from + sameTime(from);
    numbers[i++] = heldShut.some((held) => held.from <= reached && reached < held.to) ? 1 : 0;
    for (let b = 0; b < bodies.length; b++) {
      const flow = flows[b]!;
      const next = flow === null ? 0 : nextPoint(b, flow.time, reached);
      numbers[i] = numbers[i + 1] = 0;
      if (flow !== null && next > 0 && next < flow.time.length) {
        const slope = (flow.flow[next]! - flow.flow[next - 1]!) / (flow.time[next]! - flow.time[next - 1]!);
        numbers[i] = flow.flow[next - 1]! + slope * (from - flow.time[next - 1]!);
        numbers[i + 1] = slope;
      }
      numbers[i + 2] = constant[b]!;
      numbers[i + 3] = 0;
      if (moves(grounds[b]!)) {
        const level = seriesLevel(grounds[b]!, from);
        numbers[i + 2] = level;
        numbers[i + 3] = (seriesLevel(grounds[b]!, to) - level) / (to - from);
      }
      i += 4;
    }
    return i;
  }

  /** Index of the first point of a body's hydrograph that lies after a time. */
  function nextPoint(b: number, time: Float64Array, reached: number): number {
    let i = at[b]!;
    // the next one or so where it is asked in order; any other is searched for
    for (let tries = 0; tries < 4 && i < time.length && time[i]! <= reached; tries++) i++;
    if ((i > 0 && time[i - 1]! > reached) || (i < time.length && time[i]! <= reached)) i = firstAfter(time, reached);
    at[b] = i;
    return i;
  }
}

function moves(ground: TimedLevel | null): ground is TimedLevel {
  return ground !== null && ground.time.length > 1;
}

function cornersOf(
  network: Network, flows: readonly (Hydrograph | null)[], grounds: readonly (TimedLevel | null)[], until: number, more: ArrayLike<number>,
): Float64Array {
  const lists: Float64Array[] = [Float64Array.of(0, until), Float64Array.from(more)];
  for (const flow of flows) if (flow !== null) lists.push(flow.time);
  network.bodies.forEach(({ cornerLevels }, b) => {
    const ground = grounds[b]!;
    if (moves(ground)) lists.push(Float64Array.from(ground.time), timesOf(ground, cornerLevels));
  });
  for (const { from, to } of network.emitter?.heldShut ?? []) lists.push(Float64Array.of(from, to));
  const merged = mergedTimes(lists);
  let first = 0;
  while (merged[first]! < -sameTime(0)) first++;
  const corners = merged.subarray(first, firstAfter(merged, until));
  // where one of them lies within a rounding of a corner it was taken for that
  corners[0] = 0;
  corners[corners.length - 1] = until;
  return corners;
}

/**
 * When a water table passes any of some levels, rising times [s]: as long as it stands below a dry floor nothing moves, and it
 * is there that water begins to come in.
 */
function timesOf({ time, level }: TimedLevel, levels: Float64Array): Float64Array {
  const times: number[] = [];
  for (let i = 1; i < time.length; i++) {
    const [from, to] = [level[i - 1]!, level[i]!];
    for (const at of levels) {
      if (!(at > Math.min(from, to) && at < Math.max(from, to))) continue;
      times.push(time[i - 1]! + ((at - from) / (to - from)) * (time[i]! - time[i - 1]!));
    }
  }
  return Float64Array.from(times).sort();
}
