import { hyetograph } from "../rain/hyetograph.ts";
import { splitAt } from "../rain/splitAt.ts";
import { optionReader } from "../text/optionReader.ts";
import type { LossModel } from "./lossModel.ts";

/**
 * An area of several surfaces that the same rain falls on: the effective rain is the mean of theirs, weighted by area.
 *
 * @param parts  areas in any one unit, and what each loses
 * @throws InputError  when there is no part or an area is not above 0
 */
export function compositeLoss(parts: readonly { readonly area: number; readonly loss: LossModel }[]): LossModel {
  const read = optionReader("compositeLoss", { parts }, "The composite loss cannot be used:");
  for (const part of read.children("parts")) {
    part.number("area", { above: 0 });
    if (typeof part.raw("loss") !== "function") part.problem("loss", "a loss model");
  }
  read.done();
  const whole = parts.reduce((sum, { area }) => sum + area, 0);
  return (rain) => {
    const effective = parts.map(({ loss }) => loss(rain));
    const time = [...new Set(effective.flatMap((part) => [...part.time]))].sort((a, b) => a - b);
    const depth = new Float64Array(time.length - 1);
    effective.forEach((part, p) => {
      splitAt(part, time).depth.forEach((fallen, k) => (depth[k]! += (parts[p]!.area / whole) * fallen));
    });
    return hyetograph({ time, depth });
  };
}

/**
 * Mean weighted by area: a runoff coefficient or curve number of several surfaces together. A weighted curve number gives
 * less runoff than the weighted runoffs, as the law is not a straight line (NEH 630 chapter 10, Examples 10-3 and 10-4).
 *
 * @param parts  areas in any one unit, above 0
 * @throws InputError  when there is no part or an area is not above 0
 * @example areaWeighted([{ area: 120, value: 0.9 }, { area: 80, value: 0.15 }]); // => 0.6
 */
export function areaWeighted(parts: readonly { readonly area: number; readonly value: number }[]): number {
  const read = optionReader("areaWeighted", { parts }, "The weighted mean cannot be computed:");
  for (const part of read.children("parts")) {
    part.number("area", { above: 0 });
    part.number("value");
  }
  read.done();
  return parts.reduce((sum, { area, value }) => sum + area * value, 0) / parts.reduce((sum, { area }) => sum + area, 0);
}
