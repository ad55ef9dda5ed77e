import { power } from "../../numerics/powers.ts";
import { readDepthDuration } from "./depthDuration.ts";
import { nestedCurve } from "./nestedStorm.ts";
import { type StormCurve, type StormPattern, tableValue } from "./stormCurve.ts";
import { stormDepth } from "./stormDepth.ts";
import type { OptionReader, Rule } from "../../text/optionReader.ts";
import { cumulativeDepth } from "../cumulativeDepth.ts";

/**
 * The smooth nested storm: around its peak every stretch, cut at the peak in the ratio r to 1 - r, has the depth D that the
 * place has for that duration.
 *
 *   { pattern: "keifer-chu", duration: "1 h", interval: "5 min", rainfall: {...} }
 *
 * The rain fallen by a time is that of `nestedCurve`,
 * whose derivative is Keifer and Chu's intensity, but no derivative is needed: a table serves as well as an equation. The
 * peak is an edge of the intervals, which count from it. `peakAt` is r, default 0.375.
 *
 * @source  Keifer & Chu 1957, J. Hydraulics Division ASCE, from memory, Chicago's r of 3/8 too; the cumulative form derived
 */
export const keiferChuStorm: StormPattern = (options) => {
  const duration = options.quantity("duration", "time", { above: 0 });
  const interval = options.quantity("interval", "time", { above: 0 });
  const peakAt = options.number("peakAt", { least: 0, most: 1, missing: 0.375 });
  if (duration / interval > 10000) options.problem("interval", "a ten-thousandth of the duration or more");
  const rain = readDepthDuration(options);
  options.done();
  return { edges: evenEdges(duration, interval, peakAt * duration), depthBy: nestedCurve(rain, duration, peakAt) };
};

/**
 * Intensity that rises in a straight line to twice the mean and falls back: `{ pattern: "triangular", depth: "1 in",
 * duration: "2 h" }`. `peakAt` is the peak's share of the duration (default 0.5), `interval` the length of the intervals it
 * is cut into (default a 24th of the duration), each with its exact depth.
 *
 * @source  triangular hyetograph, common practice
 */
export const triangularStorm: StormPattern = (options) => {
  const duration = options.quantity("duration", "time", { above: 0 });
  const interval = options.quantity("interval", "time", { above: 0, missing: duration / 24 });
  const peakAt = options.number("peakAt", { least: 0, most: 1, missing: 0.5 });
  if (duration / interval > 10000) options.problem("interval", "a ten-thousandth of the duration or more");
  const depth = stormDepth(options, duration);
  options.done();
  const [total, peak] = [depth(), peakAt * duration];
  return {
    edges: evenEdges(duration, interval, peak),
    depthBy(time) {
      const [before, after] = [time / duration, 1 - time / duration];
      return total * (time <= peak ? (peak === 0 ? 0 : (before * before) / peakAt) : 1 - (after * after) / (1 - peakAt));
    },
  };
};

/**
 * The second type of Euler: blocks of the place's rain that rise to a peak at three tenths of the duration and fall from there.
 *
 *   { pattern: "euler-2", duration: "60 min", rainfall: {...}, returnPeriod: "2 year" }
 *
 * The peak's block begins at 0.3 of the duration, rounded down to a whole `interval` (5 min where missing). The next largest
 * blocks stand before it, the larger the nearer, back to the beginning; all others follow it, falling.
 *
 * @source  as used in Germany for storm sewers (DWA-A 118), from memory
 */
export const eulerStorm: StormPattern = (options) => blocksFalling(options, options.has("interval") ? {} : { missing: 300 }, (falling) => {
  const peak = Math.floor(0.3 * falling.length + 1e-9);
  return [...falling.slice(0, peak + 1).reverse(), ...falling.slice(peak + 1)];
});

/**
 * Constant intensity: `{ pattern: "block", depth: "34 mm", duration: "1 h" }`; instead of the depth an
 * `intensity: "140 mm/h"` may stand.
 *
 * @source  HDS-2 (FHWA-NHI-02-001, 2nd ed. 2002), constant-intensity design storm, Example 6.5 p. 6-32
 */
export const blockStorm: StormPattern = (options) => {
  const duration = options.quantity("duration", "time", { above: 0 });
  const depth = options.has("intensity")
    ? duration * options.quantity("intensity", "speed", { least: 0 }) * options.number("climateFactor", { above: 0, most: 10, missing: 1 })
    : stormDepth(options, duration);
  options.done();
  const total = typeof depth === "number" ? depth : depth();
  return { edges: [0, duration], depthBy: (time) => total * (time / duration) };
};

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
  const peakAt = options.number("peakAt", { least: 0, most: 1, missing: 0.5 });
  return blocksFalling(options, {}, (falling) => alternate(falling, peakAt));
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

/**
 * A storm put together of blocks: block k of the falling row has the depth D(k dt) - D((k - 1) dt) that the place has, and
 * `arrange` says where each comes.
 *
 * @param rule     of the interval
 * @param arrange  the falling row, in the order of the storm
 */
function blocksFalling(options: OptionReader, rule: Rule, arrange: (falling: readonly number[]) => number[]): StormCurve {
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

/** Cumulative percent of the depth at every 5 percent of the duration, by quartile. */
const HUFF_MEDIANS: readonly (readonly number[])[] = [
  [0, 16, 33, 43, 52, 60, 66, 71, 75, 79, 82, 84, 86, 88, 90, 92, 94, 96, 97, 98, 100],
  [0, 3, 8, 12, 16, 22, 29, 39, 51, 62, 70, 76, 81, 85, 88, 91, 93, 95, 97, 98, 100],
  [0, 3, 6, 9, 12, 15, 19, 23, 27, 32, 38, 45, 57, 70, 79, 85, 89, 92, 95, 97, 100],
  [0, 2, 5, 8, 10, 13, 16, 19, 22, 25, 28, 32, 35, 39, 45, 51, 59, 72, 84, 92, 100],
];

/**
 * A storm that is heaviest in a quarter of its duration: `{ pattern: "huff-1", depth: "2 in", duration: "3 h" }`. The median
 * curves of point rainfall, straight between every 5 percent of the duration.
 *
 * @param quartile  1 to 4
 * @source  Huff 1990, Illinois State Water Survey Circular 173, Table 3, from memory (two independent listings agree)
 */
export function huffStorm(quartile: 1 | 2 | 3 | 4): StormPattern {
  return (options) => {
    const duration = options.quantity("duration", "time", { above: 0 });
    const depth = stormDepth(options, duration);
    options.done();
    const total = depth();
    const percent = HUFF_MEDIANS[quartile - 1]!;
    const edges = percent.map((_, i) => (duration * i) / 20);
    return { edges, depthBy: (time) => total * (tableValue(edges, percent, time) / 100) };
  };
}

/** From memory. */
const PROFILES = { winter: { a: 0.06, b: 1.026 }, summer: { a: 0.1, b: 0.815 } } as const;

/**
 * The profiles of the United Kingdom: `{ pattern: "uk-summer", depth: "25 mm", duration: "1 h" }`, the same on both sides of the
 * middle. The summer's is the more peaked one and meant for roofs and paved ground, the winter's for the country.
 *
 *   y = (1 - a^(x^b))/(1 - a)     share y of the depth in the middle share x of the duration
 *   winter a 0.060, b 1.026;      summer a 0.100, b 0.815
 *
 * `interval` is the length of the intervals the profile is cut into (default a 24th of the duration), each with its exact depth.
 *
 * @source  Flood Studies Report, 1975, 75 percent winter and 50 percent summer profiles, with a and b FROM MEMORY
 */
export function ukProfileStorm(season: keyof typeof PROFILES): StormPattern {
  const { a, b } = PROFILES[season];
  return (options) => {
    const duration = options.quantity("duration", "time", { above: 0 });
    const interval = options.quantity("interval", "time", { above: 0, missing: duration / 24 });
    if (duration / interval > 10000) options.problem("interval", "a ten-thousandth of the duration or more");
    const depth = stormDepth(options, duration);
    options.done();
    const total = depth();
    return {
      edges: evenEdges(duration, interval, duration / 2),
      depthBy(time) {
        const x = (2 * time) / duration - 1;
        return (total / 2) * (1 + (Math.sign(x) * (1 - power(a, power(Math.abs(x), b)))) / (1 - a));
      },
    };
  };
}

/**
 * A storm of the user's own, one of
 *
 *   { pattern: "mass-curve", depth: "2 in", duration: "6 h", times: [0, 0.25, 1], shares: [0, 0.6, 1] }
 *   { pattern: "mass-curve", points: [["0 min", "0 in"], ["15 min", "0.03 in"], ["45 min", "0.5 in"]] }
 *
 * the first with shares of duration and depth, both from 0 to 1, the second with time and rain fallen by then, from nothing;
 * `climateFactor` multiplies both. Intensity is constant between the points.
 */
export const massCurveStorm: StormPattern = (options) => (options.has("points") ? pointsCurve(options) : sharesCurve(options));

function sharesCurve(options: OptionReader): StormCurve {
  const duration = options.quantity("duration", "time", { above: 0 });
  const depth = stormDepth(options, duration);
  const times = shareList(options, "times");
  const shares = shareList(options, "shares");
  refuseStandstill(options, "times", times);
  refuseFall(options, "shares", shares);
  if (times.length !== shares.length) options.problem("shares", `as many as times (${times.length})`, `${shares.length}`);
  options.done();
  const [total, edges] = [depth(), times.map((share) => share * duration)];
  return { edges, depthBy: (time) => total * tableValue(edges, shares, time) };
}

function shareList(options: OptionReader, key: string): number[] {
  const list = options.list(key, (value, where) => {
    if (typeof value === "number" && value >= 0 && value <= 1) return value;
    options.problem(where.slice(options.where.length + 1), "a share from 0 to 1", String(value));
    return NaN;
  });
  if (list.length > 0 && !list.some(Number.isNaN) && !(list[0] === 0 && list[list.length - 1] === 1)) {
    options.problem(key, "shares from 0 to 1", `from ${list[0]} to ${list[list.length - 1]}`);
  }
  return list;
}

function pointsCurve(options: OptionReader): StormCurve {
  const climateFactor = options.number("climateFactor", { above: 0, most: 10, missing: 1 });
  const points = options.list("points", (value, where) => {
    const [time, depth, more] = Array.isArray(value) ? (value as readonly unknown[]) : [];
    if (more !== undefined) options.problem(where.slice(options.where.length + 1), "a time and a depth", "more than two");
    return { time: options.check(`${where}[0]`, time, "time", { least: 0 }), depth: options.check(`${where}[1]`, depth, "length", { least: 0 }) };
  });
  const edges = points.map(({ time }) => time);
  const fallen = points.map(({ depth }) => depth);
  if (points.length === 1) options.problem("points", "two or more");
  if (fallen[0]! > 0) options.problem("points[0]", "a depth of 0", `${fallen[0]} m`);
  refuseStandstill(options, "points", edges);
  refuseFall(options, "points", fallen);
  options.done();
  return { edges, depthBy: (time) => climateFactor * tableValue(edges, fallen, time) };
}

function refuseStandstill(options: OptionReader, key: string, times: readonly number[]): void {
  times.forEach((time, i) => {
    if (i > 0 && time <= times[i - 1]!) options.problem(`${key}[${i}]`, "later than the one before", `${time} after ${times[i - 1]}`);
  });
}

function refuseFall(options: OptionReader, key: string, fallen: readonly number[]): void {
  fallen.forEach((depth, i) => {
    if (i > 0 && depth < fallen[i - 1]!) options.problem(`${key}[${i}]`, "no less than the one before", `${depth} after ${fallen[i - 1]}`);
  });
}

/**
 * Edges from 0 to a duration, every interval to both sides of a pivot; the first and last interval may be shorter.
 *
 * @param duration  [s], more than 0
 * @param interval  [s], more than 0
 * @param pivot     [s], an edge of its own, 0 to duration
 */
function evenEdges(duration: number, interval: number, pivot: number): number[] {
  const before = Math.ceil(pivot / interval - NEAR);
  const after = Math.ceil((duration - pivot) / interval - NEAR);
  const edges: number[] = [];
  for (let k = before; k > 0; k--) edges.push(k === before ? 0 : pivot - k * interval);
  edges.push(pivot);
  for (let k = 1; k <= after; k++) edges.push(k === after ? duration : pivot + k * interval);
  return edges;
}

/** Share of an interval that is rounding and no interval of its own. */
const NEAR = 1e-9;
