import { seriesLevel } from "../ground/seriesLevel.ts";
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
  const grounds = network.bodies.map((body) => body.groundwater);
  const corners = cornersOf(network, flows, until);
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
      let bend = 0;
      for (const b of fed) {
        const before = drive.inflowSlope[b]!;
        enterFlow(drive, b, flows[b]!, from);
        bend = Math.max(bend, Math.abs(drive.inflowSlope[b]! - before));
      }
      for (const b of moving) {
        const level = seriesLevel(grounds[b]!, from);
        drive.groundwater[b] = level;
        drive.groundwaterSlope[b] = (seriesLevel(grounds[b]!, to) - level) / (to - from);
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

function cornersOf(network: Network, flows: readonly (Hydrograph | null)[], until: number): Float64Array {
  const lists: ArrayLike<number>[] = [[0], [until]];
  for (const flow of flows) if (flow !== null) lists.push(flow.time);
  for (const { groundwater } of network.bodies) if (groundwater !== null && groundwater.time.length > 1) lists.push(groundwater.time);
  for (const { from, to } of network.emitter?.heldShut ?? []) lists.push([from, to]);
  const corners = Float64Array.from(mergedTimes(lists).filter((t) => t >= -sameTime(0) && t <= until));
  // where one of them lies within a rounding of a corner it was taken for that
  corners[0] = 0;
  corners[corners.length - 1] = until;
  return corners;
}
