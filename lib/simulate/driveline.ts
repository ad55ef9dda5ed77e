import { seriesLevel, straightLevels, type TimedLevel } from "../ground/seriesLevel.ts";
import type { Hydrograph } from "../runoff/hydrograph.ts";
import { mergedTimes, sameTime } from "../runoff/sumHydrographs.ts";
import type { Network } from "./network.ts";
import type { Drive } from "./waterSystem.ts";

/**
 * What drives a run, cut at its corners: between two of them every inflow and every groundwater level is a straight line
 * and no lid schedule begins or ends.
 */
export interface Driveline {
  /** times that steps land on, rising, from 0 to the end of the run [s] */
  readonly corners: Float64Array;
  /**
   * Sets the straight lines of the segment that begins at a corner; quick when asked in order.
   *
   * @returns the largest change of an inflow's slope there [m3/s2]
   */
  enter(drive: Drive, segment: number): number;
}

/** @param inflows  by body name, without straight corners; bodies without one get nothing */
export function driveline(network: Network, inflows: Readonly<Record<string, Hydrograph>>, until: number): Driveline {
  const flows = network.bodies.map((body) => inflows[body.name] ?? null);
  const grounds = network.bodies.map(({ groundwater }) => groundwater && straightLevels(groundwater));
  const corners = cornersOf(network, flows, grounds, until);
  const at = new Int32Array(flows.length);
  let begun = false;
  const bodies = Array.from(flows.keys());
  const fed = bodies.filter((b) => flows[b] !== null);
  const moving = bodies.filter((b) => (grounds[b]?.time.length ?? 0) > 1);
  return {
    corners,
    enter(drive, segment) {
      const [from, to] = [corners[segment]!, corners[segment + 1]!];
      drive.from = from;
      if (!begun) begin(drive);
      drive.wets = false;
      let bend = 0;
      for (const b of fed) {
        const before = drive.inflowSlope[b]!;
        enterFlow(drive, b, flows[b]!, from);
        bend = Math.max(bend, Math.abs(drive.inflowSlope[b]! - before));
      }
      for (const b of moving) {
        const level = seriesLevel(grounds[b]!, from);
        drive.groundwater[b] = level;
        const last = seriesLevel(grounds[b]!, to);
        drive.groundwaterSlope[b] = (last - level) / (to - from);
        if (last > level && last > network.bodies[b]!.storage.floor) drive.wets = true;
      }
      return bend;
    },
  };

  /** Nothing that an earlier run left in the drive stays. */
  function begin(drive: Drive): void {
    begun = true;
    drive.inflow.fill(0);
    drive.inflowSlope.fill(0);
    drive.groundwaterSlope.fill(0);
    for (let b = 0; b < grounds.length; b++) drive.groundwater[b] = seriesLevel(grounds[b]!, 0);
  }

  /** The straight line a hydrograph follows from a corner on. */
  function enterFlow(drive: Drive, b: number, flow: Hydrograph, from: number): void {
    drive.inflow[b] = 0;
    drive.inflowSlope[b] = 0;
    const { time } = flow;
    // a corner stands for all times merged into it
    const reached = from + sameTime(from);
    let i = at[b]!;
    if (i > 0 && time[i - 1]! > reached) i = 0;
    while (i < time.length && time[i]! <= reached) i++;
    at[b] = i;
    if (i === 0 || i === time.length) return;
    const slope = (flow.flow[i]! - flow.flow[i - 1]!) / (time[i]! - time[i - 1]!);
    drive.inflow[b] = flow.flow[i - 1]! + slope * (from - time[i - 1]!);
    drive.inflowSlope[b] = slope;
  }
}

function cornersOf(
  network: Network, flows: readonly (Hydrograph | null)[], grounds: readonly (TimedLevel | null)[], until: number,
): Float64Array {
  const lists: ArrayLike<number>[] = [[0], [until]];
  for (const flow of flows) if (flow !== null) lists.push(flow.time);
  network.bodies.forEach(({ cornerLevels }, b) => {
    const ground = grounds[b]!;
    if (ground !== null && ground.time.length > 1) lists.push(ground.time, timesOf(ground, cornerLevels));
  });
  for (const { from, to } of network.emitter?.heldShut ?? []) lists.push([from, to]);
  const corners = Float64Array.from(mergedTimes(lists).filter((t) => t >= -sameTime(0) && t <= until));
  // where one of them lies within a rounding of a corner it was taken for that
  corners[0] = 0;
  corners[corners.length - 1] = until;
  return corners;
}

/**
 * When a water table passes any of some levels, rising times [s]: as long as it stands below a dry floor nothing moves, and it
 * is there that water begins to come in.
 */
function timesOf({ time, level }: TimedLevel, levels: Float64Array): number[] {
  const times: number[] = [];
  for (let i = 1; i < time.length; i++) {
    const [from, to] = [level[i - 1]!, level[i]!];
    for (const at of levels) {
      if (!(at > Math.min(from, to) && at < Math.max(from, to))) continue;
      times.push(time[i - 1]! + ((at - from) / (to - from)) * (time[i]! - time[i - 1]!));
    }
  }
  return times.sort((a, b) => a - b);
}
