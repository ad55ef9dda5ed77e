import { InputError, type Problem } from "../text/problem.ts";

/**
 * Rain as depth in consecutive intervals, the intensity constant inside each.
 */
export interface Hyetograph {
  /** n + 1 rising edges of the intervals [s] */
  readonly time: Float64Array;
  /** n depths [m], 0 or more; `depth[i]` falls between `time[i]` and `time[i + 1]` */
  readonly depth: Float64Array;
}

/**
 * A checked hyetograph: a list of intervals. A dry spell is an interval of depth 0.
 *
 * @param intervals.time   n + 1 edges [s], each later than the one before
 * @param intervals.depth  n depths [m], 0 or more, one or more of them
 * @throws InputError  when the lengths do not fit, an edge is not later than the one before or a depth is below 0
 * @example hyetograph({ time: [0, 900, 1800], depth: [0.004, 0.001] }).depth.length; // => 2
 */
export function hyetograph(intervals: { time: ArrayLike<number>; depth: ArrayLike<number> }): Hyetograph {
  const time = new Float64Array(intervals.time);
  const depth = new Float64Array(intervals.depth);
  const problems: Problem[] = [];
  if (depth.length === 0 || time.length !== depth.length + 1) {
    const got = `${time.length} edges and ${depth.length} depths`;
    problems.push({ where: "hyetograph", expected: "one edge more than depths, and one depth or more", got });
  }
  for (let i = 0; i < time.length; i++) {
    const edge = time[i]!;
    if (!Number.isFinite(edge)) {
      problems.push({ where: `time[${i}]`, expected: "a finite number of seconds", got: String(edge) });
    } else if (i > 0 && edge <= time[i - 1]!) {
      problems.push({ where: `time[${i}]`, expected: `later than ${time[i - 1]} s`, got: `${edge} s` });
    }
  }
  for (let i = 0; i < depth.length; i++) {
    if (!(depth[i]! >= 0 && depth[i]! < Infinity)) {
      problems.push({ where: `depth[${i}]`, expected: "0 m or more", got: `${depth[i]} m` });
    }
  }
  if (problems.length > 0) throw new InputError("The hyetograph cannot be used:", problems);
  return Object.freeze({ time, depth });
}
