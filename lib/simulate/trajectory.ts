import { firstAfter } from "../numerics/firstAfter.ts";
import type { StepRows } from "./kernel.ts";

/** Rows of coefficients of the dense output. */
const DENSE_ROWS = 2;

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

/** The volumes of all bodies over a run, as the stepper's own dense output of every step. */
export interface Trajectory {
  readonly size: number;
  /** number of steps */
  readonly steps: number;
  /** ends of the steps, the start first [steps + 1] */
  readonly time: Float64Array;
  /** volumes there [(steps + 1) x size] */
  readonly volume: Float64Array;
  /** e_r of each step [steps x DENSE_ROWS x size] */
  readonly dense: Float64Array;
}

/** A trajectory while it is recorded. */
export interface Recorder {
  add(rows: StepRows): void;
  trajectory(): Trajectory;
}

export function recorder(size: number, time: number, start: Float64Array): Recorder {
  const blocks: StepRows[] = [];
  let steps = 0;
  return {
    add({ numbers, count }) {
      blocks.push({ numbers: numbers.slice(), count });
      steps += count;
    },
    trajectory() {
      const times = new Float64Array(steps + 1);
      const volume = new Float64Array((steps + 1) * size);
      const dense = new Float64Array(steps * DENSE_ROWS * size);
      times[0] = time;
      volume.set(start.subarray(0, size));
      let [step, state, cubic] = [1, size, 0];
      for (const { numbers, count } of blocks) {
        for (let row = 0, at = 0; row < count; row++) {
          times[step++] = numbers[at++]!;
          for (let n = 0; n < size; n++, at += 3) {
            volume[state + n] = numbers[at]!;
            dense[cubic + n] = numbers[at + 1]!;
            dense[cubic + size + n] = numbers[at + 2]!;
          }
          state += size;
          cubic += DENSE_ROWS * size;
        }
      }
      return { size, steps, time: times, volume, dense };
    },
  };
}

/** Index of the step a time lies in. */
export function stepAt({ time, steps }: Trajectory, at: number): number {
  return Math.max(0, firstAfter(time, at, steps) - 1);
}

/** Volume of one body at a share u of a step [m3]. */
export function volumeIn({ size, volume, dense }: Trajectory, step: number, body: number, u: number): number {
  const at = step * size + body;
  const row = step * DENSE_ROWS * size + body;
  return denseValue(volume[at]!, volume[at + size]!, dense[row]!, dense[row + size]!, u);
}

/** Volume of one body at a time [m3]. */
export function volumeAt(trajectory: Trajectory, body: number, at: number): number {
  if (trajectory.steps === 0) return trajectory.volume[body]!;
  const step = stepAt(trajectory, at);
  const [t0, t1] = [trajectory.time[step]!, trajectory.time[step + 1]!];
  return volumeIn(trajectory, step, body, (at - t0) / (t1 - t0));
}

/** Largest volume of a body over the run and when, of the dense output and not only of the steps. */
export function largestVolume(trajectory: Trajectory, body: number): { readonly volume: number; readonly time: number } {
  const { size, steps, time, volume } = trajectory;
  let best = { volume: volume[body]!, time: time[0]! };
  for (let step = 0; step < steps; step++) {
    const end = volume[(step + 1) * size + body]!;
    const u = topInside(trajectory, step, body);
    if (u > 0) {
      const inside = volumeIn(trajectory, step, body, u);
      if (inside > best.volume && inside >= end) best = { volume: inside, time: time[step]! + u * (time[step + 1]! - time[step]!) };
    }
    if (end > best.volume) best = { volume: end, time: time[step + 1]! };
  }
  return best;
}

/** Where inside a step the volume has a top, as a share of it; 0 where it has none. */
function topInside({ size, volume, dense }: Trajectory, step: number, body: number): number {
  const at = step * size + body;
  const row = step * DENSE_ROWS * size + body;
  return denseTop(volume[at]!, volume[at + size]!, dense[row]!, dense[row + size]!);
}

/** First time a body's volume reaches a value from below [s]; null where it never does, the start where it begins above. */
export function firstReached(trajectory: Trajectory, body: number, value: number): number | null {
  const { size, steps, time, volume } = trajectory;
  if (volume[body]! >= value) return time[0]!;
  for (let step = 0; step < steps; step++) {
    const top = volume[(step + 1) * size + body]! >= value ? 1 : topInside(trajectory, step, body);
    if (top === 0 || volumeIn(trajectory, step, body, top) < value) continue;
    let [low, high] = [0, top];
    for (let i = 0; i < 50; i++) {
      const middle = (low + high) / 2;
      if (volumeIn(trajectory, step, body, middle) >= value) high = middle;
      else low = middle;
    }
    return time[step]! + high * (time[step + 1]! - time[step]!);
  }
  return null;
}
