import { hyetograph, type Hyetograph } from "../rain/hyetograph.ts";
import { separateStorms } from "../rain/separateStorms.ts";
import type { LossModel } from "./lossModel.ts";

/**
 * A loss that starts again in each storm of a record: after a long dry spell hollows are empty again and the soil has
 * drained. Without it 50 years of rain would be one storm that wets a roof once.
 *
 * @param loss     what one storm loses
 * @param dryTime  dry spell that restores the start [s], more than 0
 * @throws RangeError  when it is not, once rain is given
 * @example eachStorm(initialLoss(0.001), 3600)(hyetograph({ time: [0, 60, 7260, 7320], depth: [0.003, 0, 0.003] })).depth.length; // => 5
 */
export function eachStorm(loss: LossModel, dryTime: number): LossModel {
  return (rain) => {
    const spans = separateStorms(rain, dryTime);
    if (spans.length <= 1) return loss(rain);
    const time: number[] = [rain.time[0]!];
    const depth: number[] = [];
    spans.forEach((_, i) => {
      // A storm keeps the dry spell that follows it, and the first one the spell before it.
      const from = i === 0 ? 0 : spans[i]!.first;
      const to = i === spans.length - 1 ? rain.depth.length : spans[i + 1]!.first;
      const effective = loss({ time: rain.time.subarray(from, to + 1), depth: rain.depth.subarray(from, to) });
      for (let k = 0; k < effective.depth.length; k++) {
        time.push(effective.time[k + 1]!);
        depth.push(effective.depth[k]!);
      }
    });
    return hyetograph({ time, depth });
  };
}

/** One loss after the other: what the first leaves is rain to the next. */
export function inTurn(...losses: readonly LossModel[]): LossModel {
  return (rain) => losses.reduce((left: Hyetograph, loss) => loss(left), rain);
}
