import { hyetograph, type Hyetograph } from "../rain/hyetograph.ts";
import type { LossModel } from "./lossModel.ts";

/**
 * A depth lost before any rain runs off: wetting, hollows of a paved area. The moment it is filled becomes an edge, so the
 * effective rain is exact.
 *
 * @param depth  [m], 0 or more
 * @returns      a loss model: total runoff is max(0, P - depth)
 * @throws RangeError  when it is below 0
 * @example initialLoss(0.002)(hyetograph({ time: [0, 600], depth: [0.005] })).time; // => [0, 240, 600]
 */
export function initialLoss(depth: number): LossModel {
  if (!(depth >= 0)) throw new RangeError(`depth: expected 0 m or more, got ${depth}`);
  return (rain) => (depth > 0 ? afterLoss(rain, depth) : rain);
}

function afterLoss(rain: Hyetograph, loss: number): Hyetograph {
  const { time, depth } = splitWhereFallen(rain, loss);
  let left = loss;
  const effective = depth.map((fallen) => {
    const runoff = Math.max(0, fallen - left);
    left = Math.max(0, left - fallen);
    return runoff;
  });
  return hyetograph({ time, depth: effective });
}

/**
 * The same rain with one more edge: the moment at which a depth has fallen. Where that moment is an edge already, or
 * differs from one by rounding only, or never comes, the rain as it is.
 */
export function splitWhereFallen(rain: Hyetograph, fallen: number): Hyetograph {
  let left = fallen;
  let i = 0;
  while (i < rain.depth.length && rain.depth[i]! < left) left -= rain.depth[i++]!;
  if (i === rain.depth.length) return rain;
  const [from, to] = [rain.time[i]!, rain.time[i + 1]!];
  const share = left / rain.depth[i]!;
  const moment = from + share * (to - from);
  if (!(moment > from && moment < to)) return rain;
  const time = [...rain.time.subarray(0, i + 1), moment, ...rain.time.subarray(i + 1)];
  const before = rain.depth.subarray(0, i);
  const after = rain.depth.subarray(i + 1);
  return hyetograph({ time, depth: [...before, left, rain.depth[i]! - left, ...after] });
}
