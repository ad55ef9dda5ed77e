import { power } from "../numerics/powers.ts";
import { optionReader } from "../text/optionReader.ts";
import { hydrograph, type Hydrograph } from "./hydrograph.ts";
import { hydrographVolume } from "./hydrographVolume.ts";

/** A hydrograph parted at a capacity. */
export interface CappedFlow {
  /** what a gutter, downpipe or lateral carries */
  readonly carried: Hydrograph;
  /** what shoots over it, and is lost to the soakaway */
  readonly overshoot: Hydrograph;
  /** [m3] */
  readonly overshootVolume: number;
}

/**
 * Parts a hydrograph at the capacity of a gutter or lateral, exactly: the moments at which it is reached become corners,
 * and carried and overshoot add up to the flow at every time. Nothing is stored above the gutter. A site file has no key for
 * it: cap what `inflowHydrographs` gives and run that, so that the overshoot is yours to count.
 *
 * @param capacity  [m3/s], 0 or more; see `pipeCapacity`
 * @throws InputError  when the capacity is below 0
 * @example capFlow(hydrograph({ time: [0, 60, 120], flow: [0, 0.02, 0] }), 0.01).overshootVolume; // => 0.3
 */
export function capFlow(flow: Hydrograph, capacity: number): CappedFlow {
  const read = optionReader("capFlow", { capacity }, "The flow cannot be capped:");
  read.number("capacity", { least: 0 });
  read.done();
  const time: number[] = [];
  const whole: number[] = [];
  for (let i = 0; i < flow.time.length; i++) {
    if (i > 0) {
      const [before, after] = [flow.flow[i - 1]!, flow.flow[i]!];
      const moment = flow.time[i - 1]! + (flow.time[i]! - flow.time[i - 1]!) * ((capacity - before) / (after - before));
      if (before < capacity !== after < capacity && moment > flow.time[i - 1]! && moment < flow.time[i]!) {
        time.push(moment);
        whole.push(capacity);
      }
    }
    time.push(flow.time[i]!);
    whole.push(flow.flow[i]!);
  }
  const overshoot = hydrograph({ time, flow: whole.map((q) => Math.max(0, q - capacity)) });
  return {
    carried: hydrograph({ time, flow: whole.map((q) => Math.min(q, capacity)) }),
    overshoot,
    overshootVolume: hydrographVolume(overshoot),
  };
}

/**
 * Flow that a lateral or downpipe carries running full, by Manning.
 *
 *   Q = (pi d^2 / 4) (d / 4)^(2/3) sqrt(s) / n
 *
 * @param pipe.diameter  inside, text with a unit
 * @param pipe.slope     ratio
 * @param pipe.manningN  default 0.010
 * @returns  [m3/s]
 * @throws InputError  with all problems
 * @source  Manning's formula; n 0.010 is smooth plastic, common practice
 * @example pipeCapacity({ diameter: "100 mm", slope: 0.01 }); // => 0.006715
 */
export function pipeCapacity(pipe: { readonly diameter: string; readonly slope: number; readonly manningN?: number }): number {
  const read = optionReader("pipeCapacity", pipe, "The capacity cannot be computed:");
  const diameter = read.quantity("diameter", "length", { above: 0 });
  const slope = read.number("slope", { above: 0, most: 10 });
  const manningN = read.number("manningN", { above: 0, most: 1, missing: 0.01 });
  read.done();
  return ((Math.PI * diameter * diameter) / 4) * (power(diameter / 4, 2 / 3) * Math.sqrt(slope)) / manningN;
}
