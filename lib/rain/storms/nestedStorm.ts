import { exponential, logarithm } from "../../numerics/powers.ts";
import { straightThrough } from "../../numerics/straightThrough.ts";
import { readDepthDuration, type DepthDuration } from "./depthDuration.ts";
import type { OptionReader } from "../../text/optionReader.ts";
import { REGIONAL_RATIOS, regionalRatios } from "./regionalRatios.ts";
import type { StormPattern } from "./stormCurve.ts";
import { stormDepth } from "./stormDepth.ts";

const DAY = 86400;

/**
 * The storm of a day that holds the town's own table: every stretch around noon has the depth that the place has for that
 * duration.
 *
 *   { pattern: "nested", rainfall: {...}, returnPeriod: "10 year" }
 *   { pattern: "nested", depth: "3.1 in", ratios: "nrcs-c" }
 *   { pattern: "nested", depth: "3.1 in", ratios: { "5 min": 0.1, "15 min": 0.2, "1 h": 0.42, "6 h": 0.72 } }
 *
 *   share fallen at T/2 -+ d/2 = 0.5 -+ r(d)/2,   r(d) = D(d)/D(T)
 *
 * r(d) is the table's own, or a set of ratios as a region publishes them (some by name, `regionalRatios`), straight between them in
 * logarithms, with 1 at the whole duration. `duration` is 24 h where missing. Stretches of one, two, three ... `interval` (5 min where
 * missing, which is also the peak's length) hold the place's depth exactly where depths rise less and less with duration; a table or a
 * set of ratios must reach down to it.
 *
 * @source  nesting as the 24-hour distributions of NRCS, National Engineering Handbook part 630, chapter 4, are built, from memory
 */
export const nestedStorm: StormPattern = (options) => {
  const duration = options.quantity("duration", "time", { above: 0, missing: DAY });
  const interval = options.quantity("interval", "time", { above: 0, missing: 300 });
  if (duration / interval > 5000) options.problem("interval", "a five-thousandth of the duration or more");
  if (duration < interval) options.problem("interval", "no longer than the duration");
  const rain = options.has("ratios") ? readRatios(options, duration, interval) : readDepthDuration(options);
  options.done();
  return { edges: nestedEdges(duration, interval), depthBy: nestedCurve(rain, duration, 0.5) };
};

/** T/2 -+ k interval/2, and both ends. */
function nestedEdges(duration: number, interval: number): number[] {
  const count = Math.ceil(duration / interval - 1e-9) - 1;
  const half = Array.from({ length: count }, (_, k) => ((k + 1) * interval) / 2);
  const middle = duration / 2;
  return [0, ...half.toReversed().map((each) => middle - each), ...half.map((each) => middle + each), duration];
}

/** The depth by ratios to that of the whole duration. */
function readRatios(options: OptionReader, duration: number, interval: number): DepthDuration {
  const depth = stormDepth(options, duration);
  const written = options.raw("ratios");
  const published = typeof written === "string" ? regionalRatios(written) : null;
  if (published !== null && Math.abs(duration - DAY) > 1) options.problem("duration", "24 h, which the region’s ratios are of");
  const given = published ?? written;
  if (typeof given !== "object" || given === null || Array.isArray(given) || Object.keys(given).length === 0) {
    options.problem("ratios", `ratios by duration, { "5 min": 0.1, "1 h": 0.42, ... }, or a region's: ${REGIONAL_RATIOS.join(", ")}`);
    return () => NaN;
  }
  const rows = Object.entries(given).map(([name, ratio]: readonly [string, unknown]) => {
    const key = `ratios["${name}"]`;
    if (!(typeof ratio === "number" && ratio > 0 && ratio <= 1)) options.problem(key, "a ratio above 0 and of 1 or less", String(ratio));
    return { key, time: options.check(`${options.where}.${key}`, name, "time", { above: 0, most: duration }), ratio: Number(ratio) };
  }).sort((a, b) => a.time - b.time);
  rows.forEach(({ key, ratio }, i) => {
    if (i > 0 && ratio < rows[i - 1]!.ratio) options.problem(key, `no less than at the duration before (${rows[i - 1]!.ratio})`, String(ratio));
  });
  if (rows[0]!.time > interval) options.problem("ratios", "one for the interval, or for a shorter duration");
  const inner = rows.filter(({ time }) => time < duration);
  const at = [...inner.map(({ time }) => logarithm(time)), logarithm(duration)];
  const logs = [...inner.map(({ ratio }) => logarithm(ratio)), 0];
  return (time) => (time === 0 ? 0 : depth() * exponential(straightThrough(at, logs, logarithm(time))));
}

/**
 * Rain fallen by a time in the storm whose every stretch around the peak, cut there in the ratio r to 1 - r, has the depth D
 * that the place has for that duration:
 *
 *   r D(T) - r D((r T - t) / r)                    before the peak at r T
 *   r D(T) + (1 - r) D((t - r T) / (1 - r))        after it
 *
 * @param rain      the place's depth by duration
 * @param duration  T [s]
 * @param peakAt    r, 0 to 1
 * @source  derived from the nesting; its derivative is the intensity of Keifer & Chu 1957, and with r = 0.5 it is the curve
 *          0.5 -+ D(d)/(2 D(T)) at T/2 -+ d/2 by which 24-hour distributions are built
 */
export function nestedCurve(rain: DepthDuration, duration: number, peakAt: number): (time: number) => number {
  const peak = peakAt * duration;
  const beforePeak = peakAt * rain(duration);
  // The ends of both branches are the whole storm, however the division rounds.
  return (time) => {
    if (time < peak) return beforePeak - peakAt * rain(Math.min(duration, (peak - time) / peakAt));
    return time > peak ? beforePeak + (1 - peakAt) * rain(Math.min(duration, (time - peak) / (1 - peakAt))) : beforePeak;
  };
}
