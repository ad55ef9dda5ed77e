import { power } from "../numerics/powers.ts";
import type { DepthDuration } from "../rain/storms/depthDuration.ts";
import { optionReader } from "../text/optionReader.ts";
import { hydrograph, type Hydrograph } from "./hydrograph.ts";

/** What the modified rational method finds. */
export interface ModifiedRational {
  /** duration of the block storm that asks for most storage [s] */
  readonly duration: number;
  /** its mean intensity [m/s] */
  readonly intensity: number;
  /** C i A [m3/s] */
  readonly peakFlow: number;
  /** storage that holds the outflow at the flow allowed [m3]; 0 where none is needed */
  readonly storage: number;
  /** the inflow: up during tc, level, down during tc */
  readonly inflow: Hydrograph;
}

/**
 * Storage by the modified rational method: of all block storms no shorter than tc, the one that asks for most.
 *
 *   V(D) = C i(D) A D - Qo (D + tc) / 2
 *
 * the trapezoid of the inflow less an outflow that rises in a straight line to Qo at the inflow's falling limb. The inflow's
 * hydrograph is the library's own time-area one, so a run can replace the assumed outflow.
 *
 * @param catchment.area                 [m2]
 * @param catchment.runoffCoefficient    0 to 1
 * @param catchment.timeOfConcentration  [s], more than 0
 * @param catchment.allowedFlow          Qo [m3/s], 0 or more
 * @param catchment.longest              longest duration looked at [s], default 24 h
 * @param rain                           depth by duration, from tc to `longest`
 * @throws InputError  when a value is outside its bounds
 * @source  modified rational method, common practice; at D = tc it is the tc (qa - qb) of HDS-2 Example 8.2 p. 8-7
 */
export function modifiedRational(
  catchment: {
    readonly area: number;
    readonly runoffCoefficient: number;
    readonly timeOfConcentration: number;
    readonly allowedFlow: number;
    readonly longest?: number;
  },
  rain: DepthDuration,
): ModifiedRational {
  const read = optionReader("modifiedRational", catchment, "The modified rational method cannot be used:");
  const area = read.number("area", { above: 0 });
  const runoffCoefficient = read.number("runoffCoefficient", { least: 0, most: 1 });
  const timeOfConcentration = read.number("timeOfConcentration", { above: 0 });
  const allowedFlow = read.number("allowedFlow", { least: 0 });
  const longest = read.number("longest", { missing: Math.max(86400, timeOfConcentration) });
  if (longest < timeOfConcentration) read.problem("longest", "timeOfConcentration or more");
  read.done();
  const storageOf = (duration: number): number =>
    runoffCoefficient * area * rain(duration) - (allowedFlow * (duration + timeOfConcentration)) / 2;
  const duration = mostAsking(storageOf, timeOfConcentration, longest);
  const intensity = rain(duration) / duration;
  const peakFlow = runoffCoefficient * intensity * area;
  return {
    duration,
    intensity,
    peakFlow,
    storage: Math.max(0, storageOf(duration)),
    inflow: trapezoid(duration, timeOfConcentration, peakFlow),
  };
}

/**
 * Storage that brings the peak of a triangle of inflow down to an allowed one, both on a base of 2 tc.
 *
 *   V = tc (qa - qb)
 *
 * @param peaks.inflow   qa [m3/s]
 * @param peaks.outflow  qb [m3/s], 0 to inflow
 * @param peaks.timeOfConcentration  [s]
 * @returns  [m3]
 * @throws InputError  with all problems, an outflow above the inflow among them
 * @source  HDS-2 (FHWA-NHI-02-001, 2nd ed. 2002) Example 8.2 p. 8-7
 * @example triangleStorage({ inflow: 0.83, outflow: 0.34, timeOfConcentration: 780 }); // => 382.2
 */
export function triangleStorage(peaks: {
  readonly inflow: number;
  readonly outflow: number;
  readonly timeOfConcentration: number;
}): number {
  const read = optionReader("triangleStorage", peaks, "The storage cannot be computed:");
  const inflow = read.number("inflow", { least: 0 });
  const outflow = read.number("outflow", { least: 0 });
  const timeOfConcentration = read.number("timeOfConcentration", { above: 0 });
  if (outflow > inflow) read.problem("outflow", "no more than inflow");
  read.done();
  return timeOfConcentration * (inflow - outflow);
}

/** Golden-section search around the best of a row of durations evenly spaced in their logarithm. */
function mostAsking(storageOf: (duration: number) => number, shortest: number, longest: number): number {
  const count = 200;
  const at = (i: number): number => (i === count ? longest : shortest * power(longest / shortest, i / count));
  let best = 0;
  for (let i = 1; i <= count; i++) if (storageOf(at(i)) > storageOf(at(best))) best = i;
  let [low, high] = [at(Math.max(0, best - 1)), at(Math.min(count, best + 1))];
  for (let i = 0; i < 60; i++) {
    const third = (high - low) * 0.381966011250105;
    if (storageOf(low + third) < storageOf(high - third)) low += third;
    else high -= third;
  }
  const middle = (low + high) / 2;
  return storageOf(middle) > storageOf(at(best)) ? middle : at(best);
}

function trapezoid(duration: number, timeOfConcentration: number, peakFlow: number): Hydrograph {
  const time = [0, timeOfConcentration, duration, duration + timeOfConcentration];
  return duration > timeOfConcentration
    ? hydrograph({ time, flow: [0, peakFlow, peakFlow, 0] })
    : hydrograph({ time: [0, timeOfConcentration, 2 * timeOfConcentration], flow: [0, peakFlow, 0] });
}
