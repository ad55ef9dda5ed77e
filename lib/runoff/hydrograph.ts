import { InputError, type Problem } from "../text/problem.ts";

/**
 * Flow against time: straight lines between the points, zero before the first and after the last; two points at one
 * time are a jump.
 */
export interface Hydrograph {
  /** n times that do not fall [s] */
  readonly time: Float64Array;
  /** n flows at those times [m3/s]; negative takes water out */
  readonly flow: Float64Array;
}

/**
 * A checked hydrograph.
 *
 * @param points.time  n times [s], not falling, at most two alike
 * @param points.flow  n flows [m3/s]
 * @throws InputError  when the lengths differ, a value is not finite or the times fall
 * @example hydrograph({ time: [0, 60, 60], flow: [0, 0.001, 0] }).flow.length; // => 3
 */
export function hydrograph(points: { time: ArrayLike<number>; flow: ArrayLike<number> }): Hydrograph {
  const time = new Float64Array(points.time);
  const flow = new Float64Array(points.flow);
  const problems: Problem[] = [];
  if (time.length !== flow.length || time.length === 0) {
    problems.push({ where: "hydrograph", expected: "as many flows as times, one or more", got: `${time.length} times and ${flow.length} flows` });
  }
  for (let i = 0; i < time.length; i++) {
    if (!Number.isFinite(time[i]!)) problems.push({ where: `time[${i}]`, expected: "a finite number of seconds", got: String(time[i]) });
    else if (i > 0 && time[i]! < time[i - 1]!) {
      problems.push({ where: `time[${i}]`, expected: `${time[i - 1]} s or later`, got: `${time[i]} s` });
    } else if (i > 1 && time[i] === time[i - 2]) {
      problems.push({ where: `time[${i}]`, expected: "at most two points at one time", got: `a third at ${time[i]} s` });
    }
  }
  for (let i = 0; i < flow.length; i++) {
    if (!Number.isFinite(flow[i]!)) problems.push({ where: `flow[${i}]`, expected: "a finite flow in m3/s", got: String(flow[i]) });
  }
  if (problems.length > 0) throw new InputError("The hydrograph cannot be used:", problems);
  return madeHydrograph(time, flow);
}

/** A hydrograph of points that are right by the way they were made: not checked again, and not copied. */
export function madeHydrograph(time: Float64Array, flow: Float64Array): Hydrograph {
  return Object.freeze({ time, flow });
}
