import { cumulativeDepth } from "./cumulativeDepth.ts";
import { readDepthDuration } from "./depthDuration.ts";
import { evenEdges } from "./evenEdges.ts";
import { tableValue, type StormPattern } from "./stormCurve.ts";

/**
 * The nested storm of a place: every stretch around the peak has the depth that the place has for that duration.
 *
 *   { pattern: "alternating-block", duration: "2 h", interval: "10 min", rainfall: {...}, returnPeriod: "10 year" }
 *
 * Block k of the falling row has the depth D(k dt) - D((k - 1) dt). The largest comes at `peakAt`, a share of the duration
 * (default 0.5: the third of six, the sixth of twelve), the next after it, the next before it, and so on; where one side is
 * full the rest follow on the other.
 *
 * @source  HDS-2 (FHWA-NHI-02-001, 2nd ed. 2002), Example 6.6 p. 6-36; Chow, Maidment & Mays 1988, Example 14.4.1
 */
export const alternatingBlockStorm: StormPattern = (options) => {
  const duration = options.quantity("duration", "time", { above: 0 });
  const interval = options.quantity("interval", "time", { above: 0 });
  const peakAt = options.number("peakAt", { least: 0, most: 1, missing: 0.5 });
  const rain = readDepthDuration(options);
  const count = Math.round(duration / interval);
  if (Number.isFinite(count) && (count < 1 || count > 10000 || Math.abs(duration - count * interval) > 1e-9 * duration)) {
    options.problem("interval", "a whole part of the duration, 1 to 10000 of them");
  }
  options.done();
  const edges = evenEdges(duration, interval, 0);
  const falling = edges.slice(1).map((edge, k) => rain(edge) - (k === 0 ? 0 : rain(edges[k]!))).sort((a, b) => b - a);
  const fallen = cumulativeDepth({ time: Float64Array.from(edges), depth: Float64Array.from(alternate(falling, peakAt)) });
  return { edges, depthBy: (time) => tableValue(edges, fallen, time) };
};

function alternate(falling: readonly number[], peakAt: number): number[] {
  const peak = Math.max(0, Math.ceil(peakAt * falling.length) - 1);
  const blocks = new Array<number>(falling.length);
  blocks[peak] = falling[0]!;
  let [before, after] = [peak - 1, peak + 1];
  for (let k = 1; k < falling.length; k++) {
    const isAfter = before < 0 || (after < falling.length && k % 2 === 1);
    blocks[isAfter ? after++ : before--] = falling[k]!;
  }
  return blocks;
}
