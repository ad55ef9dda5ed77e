import { hyetograph, type Hyetograph } from "../hyetograph.ts";
import type { OptionReader } from "../../text/optionReader.ts";

/**
 * A design storm before it is cut into intervals: the rain fallen by any time, and the edges to cut it at. The depth of
 * an interval is a difference of two values of the curve, so the intervals add up to the storm's depth.
 */
export interface StormCurve {
  /** rising, the first 0 [s] */
  readonly edges: ArrayLike<number>;
  /** [s] -> [m], not falling, 0 at the first edge */
  readonly depthBy: (time: number) => number;
}

/** A pattern of rain: reads its options (and calls `done` on them) and answers with the curve. */
export type StormPattern = (options: OptionReader) => StormCurve;

/**
 * The curve cut at its edges.
 *
 * @returns  depths [m] that add up to the curve's last value
 */
export function cutCurve({ edges, depthBy }: StormCurve): Hyetograph {
  const by = Float64Array.from(edges, depthBy);
  // A curve that is level between two edges may dip by a rounding error there; no rain falls upwards.
  const depth = Float64Array.from({ length: by.length - 1 }, (_, i) => Math.max(0, by[i + 1]! - by[i]!));
  return hyetograph({ time: edges, depth });
}

/**
 * The straight line through a table at one place; constant outside.
 *
 * @param at      rising places
 * @param values  as many values
 */
export function tableValue(at: ArrayLike<number>, values: ArrayLike<number>, place: number): number {
  let low = 0;
  let high = at.length - 1;
  if (place <= at[low]!) return values[low]!;
  if (place >= at[high]!) return values[high]!;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (at[middle]! <= place) low = middle;
    else high = middle;
  }
  const share = (place - at[low]!) / (at[high]! - at[low]!);
  return values[low]! + share * (values[high]! - values[low]!);
}
