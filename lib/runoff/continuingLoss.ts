import { hyetograph } from "../rain/hyetograph.ts";
import type { LossModel } from "./lossModel.ts";

/**
 * A steady rate lost all through the rain: only what falls faster runs off.
 *
 * @param rate  [m/s], 0 or more
 * @returns     a loss model: runoff rate max(0, i - rate), exact as the intensity i is constant in each interval
 */
export function continuingLoss(rate: number): LossModel {
  return ({ time, depth }) =>
    hyetograph({ time, depth: depth.map((fallen, i) => Math.max(0, fallen - rate * (time[i + 1]! - time[i]!))) });
}

/**
 * A share of the rain runs off, all through.
 *
 * @param runoffCoefficient  0 to 1
 */
export function proportionalLoss(runoffCoefficient: number): LossModel {
  return ({ time, depth }) => hyetograph({ time, depth: depth.map((fallen) => runoffCoefficient * fallen) });
}
