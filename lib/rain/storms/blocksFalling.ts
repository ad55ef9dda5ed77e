import type { OptionReader, Rule } from "../../text/optionReader.ts";
import { cumulativeDepth } from "../cumulativeDepth.ts";
import { readDepthDuration } from "./depthDuration.ts";
import { evenEdges } from "./evenEdges.ts";
import { tableValue, type StormCurve } from "./stormCurve.ts";

/**
 * A storm put together of blocks: block k of the falling row has the depth D(k dt) - D((k - 1) dt) that the place has, and
 * `arrange` says where each comes.
 *
 * @param rule     of the interval
 * @param arrange  the falling row, in the order of the storm
 */
export function blocksFalling(options: OptionReader, rule: Rule, arrange: (falling: readonly number[]) => number[]): StormCurve {
  const duration = options.quantity("duration", "time", { above: 0 });
  const interval = options.quantity("interval", "time", { above: 0, ...rule });
  const rain = readDepthDuration(options);
  const count = Math.round(duration / interval);
  if (Number.isFinite(count) && (count < 1 || count > 10000 || Math.abs(duration - count * interval) > 1e-9 * duration)) {
    options.problem("interval", "a whole part of the duration, 1 to 10000 of them");
  }
  options.done();
  const edges = evenEdges(duration, interval, 0);
  const falling = edges.slice(1).map((edge, k) => rain(edge) - (k === 0 ? 0 : rain(edges[k]!))).sort((a, b) => b - a);
  const fallen = cumulativeDepth({ time: Float64Array.from(edges), depth: Float64Array.from(arrange(falling)) });
  return { edges, depthBy: (time) => tableValue(edges, fallen, time) };
}
