import { hyetograph } from "../rain/hyetograph.ts";
import type { LossModel } from "./lossModel.ts";

/**
 * A steady rate lost all through the rain: only what falls faster runs off.
 *
 * @param rate  [m/s], 0 or more
 * @returns     a loss model: runoff rate max(0, i - rate), exact as the intensity i is constant in each interval
 * @throws RangeError  when it is below 0
 * @source  constant loss rate, common practice
 * @example continuingLoss(1e-6)(hyetograph({ time: [0, 600], depth: [0.005] })).depth[0]; // => 0.0044
 */
export function continuingLoss(rate: number): LossModel {
  if (!(rate >= 0)) throw new RangeError(`rate: expected 0 m/s or more, got ${rate}`);
  return ({ time, depth }) =>
    hyetograph({ time, depth: depth.map((fallen, i) => Math.max(0, fallen - rate * (time[i + 1]! - time[i]!))) });
}

/**
 * A share of the rain runs off, all through.
 *
 * @param runoffCoefficient  0 to 1
 * @throws RangeError  when it is not from 0 to 1
 * @example proportionalLoss(0.9)(hyetograph({ time: [0, 600], depth: [0.005] })).depth[0]; // => 0.0045
 */
export function proportionalLoss(runoffCoefficient: number): LossModel {
  if (!(runoffCoefficient >= 0 && runoffCoefficient <= 1)) {
    throw new RangeError(`runoffCoefficient: expected 0 to 1, got ${runoffCoefficient}`);
  }
  return ({ time, depth }) => hyetograph({ time, depth: depth.map((fallen) => runoffCoefficient * fallen) });
}
