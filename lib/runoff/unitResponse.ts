import type { GriddedRain } from "../rain/gridRain.ts";
import { gridRain } from "../rain/gridRain.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import { hydrograph, type Hydrograph } from "./hydrograph.ts";

/**
 * How a unit depth that runs off evenly during one step leaves a catchment: `rate[k]` is the flow per unit area and depth
 * at k steps after the step began [1/s], straight between. First and last are 0 and step * sum(rate) = 1, so that the
 * water is kept. A user's own response is as good as the library's.
 */
export interface UnitResponse {
  /** [s] */
  readonly step: number;
  readonly rate: Float64Array;
}

/**
 * Hydrograph of effective rain through a unit response: the rain summed up in cells of one step from its first edge, and
 * each cell's response added.
 *
 *   q(start + n step) = A * sum over cells k of depth[k] * rate[n - k]
 *
 * @param effective  rain that runs off (losses taken)
 * @param area       [m2]
 * @returns          flows whose volume is area x depth to round-off, on whole steps from the rain's first edge
 * @throws RangeError  when the area is below 0, or the response does not keep the water
 * @example respond(hyetograph({ time: [0, 60], depth: [0.006] }), 100, {
 *   step: 60, rate: Float64Array.of(0, 1 / 60, 0),
 * }).flow; // => [0, 0.01, 0]
 */
export function respond(effective: Hyetograph, area: number, { step, rate }: UnitResponse): Hydrograph {
  if (!(area >= 0 && area < Infinity)) throw new RangeError(`area: expected 0 m2 or more, got ${area}`);
  const kept = step * rate.reduce((sum, one) => sum + one, 0);
  const isClosed = rate[0] === 0 && rate[rate.length - 1] === 0;
  if (!(step > 0 && isClosed && Math.abs(kept - 1) < 1e-9)) {
    throw new RangeError(`response: expected a step above 0 s and rates from 0 to 0 whose sum times the step is 1, got ${kept}`);
  }
  const cells = gridRain(effective, step);
  const last = rate.length - 1;
  if (cells.cell.length === 0) {
    return hydrograph({ time: [effective.time[0]!, effective.time[effective.depth.length]!], flow: [0, 0] });
  }
  const time: number[] = [];
  const flow: number[] = [];
  for (const [first, end] of overlapping(cells, last)) {
    const start = cells.cell[first]!;
    const run = new Float64Array(cells.cell[end - 1]! - start + last + 1);
    for (let i = first; i < end; i++) {
      const offset = cells.cell[i]! - start;
      const water = area * cells.depth[i]!;
      for (let k = 1; k < last; k++) run[offset + k]! += water * rate[k]!;
    }
    // Where one run ends on the step at which the next begins, both are 0 there and one point does.
    const shared = time.length > 0 && start === lastStep(time[time.length - 1]!, cells);
    for (let n = shared ? 1 : 0; n < run.length; n++) {
      time.push(cells.start + (start + n) * step);
      flow.push(run[n]!);
    }
  }
  return hydrograph({ time, flow });
}

/** Runs of cells whose responses overlap: a new one starts where the response to all cells before has died out. */
function overlapping({ cell }: GriddedRain, reach: number): [first: number, end: number][] {
  const runs: [number, number][] = [];
  let first = 0;
  for (let i = 1; i <= cell.length; i++) {
    if (i < cell.length && cell[i]! < cell[i - 1]! + reach) continue;
    runs.push([first, i]);
    first = i;
  }
  return runs;
}

function lastStep(time: number, { start, step }: GriddedRain): number {
  return Math.round((time - start) / step);
}
