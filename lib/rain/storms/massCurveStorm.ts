import type { OptionReader } from "../../text/optionReader.ts";
import { tableValue, type StormCurve, type StormPattern } from "./stormCurve.ts";
import { stormDepth } from "./stormDepth.ts";

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
