import { firstAfter } from "../numerics/firstAfter.ts";
import type { StepRows } from "./kernel.ts";

/**
 * The dense output of a step as the cubic it is: between the ends y0 and y1, u from 0 to 1,
 *
 *   y(u) = y0 + u (y1 - y0 + (1-u) (e1 + u e2))
 *
 * so written that a state at rest stays what it is to the last digit.
 */
export function denseValue(y0: number, y1: number, e1: number, e2: number, u: number): number {
  return y0 + u * (y1 - y0 + (1 - u) * (e1 + u * e2));
}

/** Where inside a step its cubic has a top, as a share of it; 0 where it does not rise at its start and fall at its end. */
function denseTop(y0: number, y1: number, e1: number, e2: number): number {
  // y'(u) = c + b u + a u^2
  const c = y1 - y0 + e1;
  const b = 2 * (e2 - e1);
  const a = -3 * e2;
  if (c <= 0 || c + b + a >= 0) return 0;
  const q = -0.5 * (b + (b < 0 ? -1 : 1) * Math.sqrt(b * b - 4 * a * c));
  const root = c / q;
  return root > 0 && root < 1 ? root : q / a;
}

/** The states over a run, as the stepper's own dense output of every step. */
export interface Trajectory {
  /** number of states */
  readonly size: number;
  /** number of steps */
  readonly steps: number;
  /** ends of the steps, the start first [steps + 1] */
  readonly time: Float64Array;
  /** the start as a row, then those of the steps as `StepRows` has them [(steps + 1) x (1 + 3 size)] */
  readonly rows: Float64Array;
}

/** A trajectory while it is recorded. */
export interface Recorder {
  add(rows: StepRows): void;
  trajectory(): Trajectory;
}

export function recorder(start: Float64Array): Recorder {
  const size = start.length;
  const width = 1 + 3 * size;
  const blocks: Float64Array[] = [];
  let steps = 0;
  return {
    add({ numbers, count }) {
      blocks.push(numbers.slice());
      steps += count;
    },
    trajectory() {
      const rows = new Float64Array((steps + 1) * width);
      for (let n = 0; n < size; n++) rows[1 + 3 * n] = start[n]!;
      let end = width;
      for (const block of blocks) {
        rows.set(block, end);
        end += block.length;
      }
      const time = new Float64Array(steps + 1);
      for (let step = 0; step <= steps; step++) time[step] = rows[step * width]!;
      return { size, steps, time, rows };
    },
  };
}

/** A recorder for one run after the other: each trajectory is gone with the next run. */
export function lentRecorder(): (start: Float64Array) => Recorder {
  let rows = new Float64Array(1 << 14);
  let time = new Float64Array(1 << 10);
  return (start) => {
    const size = start.length;
    const width = 1 + 3 * size;
    let [steps, end] = [0, width];
    rows[0] = 0;
    for (let n = 0; n < size; n++) rows[1 + 3 * n] = start[n]!;
    return {
      add({ numbers, count }) {
        if (end + numbers.length > rows.length) {
          const more = new Float64Array(2 * (end + numbers.length));
          more.set(rows.subarray(0, end));
          rows = more;
        }
        rows.set(numbers, end);
        end += numbers.length;
        steps += count;
      },
      trajectory() {
        if (steps >= time.length) time = new Float64Array(2 * (steps + 1));
        for (let step = 0, at = 0; step <= steps; step++, at += width) time[step] = rows[at]!;
        return { size, steps, time: time.subarray(0, steps + 1), rows: rows.subarray(0, end) };
      },
    };
  };
}

/** Where the numbers of a state begin in a row of the trajectory: its value at the end of that step, e1, e2. */
function placeOf({ size }: Trajectory, row: number, state: number): number {
  return row * (1 + 3 * size) + 1 + 3 * state;
}

/** A state at the end of a step, the start being that of step -1. */
export function valueAfter(trajectory: Trajectory, step: number, state: number): number {
  return trajectory.rows[placeOf(trajectory, step + 1, state)]!;
}

/** Index of the step a time lies in. */
export function stepAt({ time, steps }: Trajectory, at: number): number {
  return Math.max(0, firstAfter(time, at, steps) - 1);
}

/** A state at a share u of a step. */
function valueIn(trajectory: Trajectory, step: number, state: number, u: number): number {
  const at = placeOf(trajectory, step + 1, state);
  const { rows } = trajectory;
  return denseValue(valueAfter(trajectory, step - 1, state), rows[at]!, rows[at + 1]!, rows[at + 2]!, u);
}

/** Volume of one body at a time [m3]. */
export function volumeAt(trajectory: Trajectory, body: number, at: number): number {
  if (trajectory.steps === 0) return valueAfter(trajectory, -1, body);
  const step = stepAt(trajectory, at);
  const [t0, t1] = [trajectory.time[step]!, trajectory.time[step + 1]!];
  return valueIn(trajectory, step, body, (at - t0) / (t1 - t0));
}

/** Volume of one body [m3] at the times of the step that a time lies in. */
export function volumeWithin(trajectory: Trajectory, body: number, from: number): (at: number) => number {
  const step = stepAt(trajectory, from);
  const [t0, t1] = [trajectory.time[step]!, trajectory.time[step + 1]!];
  return (at) => valueIn(trajectory, step, body, (at - t0) / (t1 - t0));
}

/** Where inside a step a state has a top, as a share of it; 0 where it has none. */
function topInside(trajectory: Trajectory, step: number, state: number): number {
  const at = placeOf(trajectory, step + 1, state);
  const { rows } = trajectory;
  return denseTop(valueAfter(trajectory, step - 1, state), rows[at]!, rows[at + 1]!, rows[at + 2]!);
}

/** First time a body's volume reaches a value from below [s]; null where it never does, the start where it begins above. */
export function firstReached(trajectory: Trajectory, body: number, value: number): number | null {
  const { steps, time } = trajectory;
  if (valueAfter(trajectory, -1, body) >= value) return time[0]!;
  for (let step = 0; step < steps; step++) {
    const top = valueAfter(trajectory, step, body) >= value ? 1 : topInside(trajectory, step, body);
    if (top === 0 || valueIn(trajectory, step, body, top) < value) continue;
    let [low, high] = [0, top];
    for (let i = 0; i < 50; i++) {
      const middle = (low + high) / 2;
      if (valueIn(trajectory, step, body, middle) >= value) high = middle;
      else low = middle;
    }
    return time[step]! + high * (time[step + 1]! - time[step]!);
  }
  return null;
}
