import { bodiesOf, type Run } from "../simulate/run.ts";

/** How a storm is played: slow where water moves, quick where nothing does. */
export interface TimeWarp {
  /** how far through the whole an hour is, 0 to 1 */
  readonly shareAt: (hour: number) => number;
  /** the hour there [h] */
  readonly hourAt: (share: number) => number;
}

/**
 * The course of a storm by what happens in it: a quarter of the playing time goes evenly over the hours, the rest to where levels
 * move and the lid is open, each body by its share of its own range.
 *
 * @param end_h  the last hour shown
 */
export function timeWarp(run: Run, end_h: number): TimeWarp {
  const end = Math.min(run.until, end_h * 3600);
  const times = [0, ...Array.from(run.times).filter((time) => time > 0 && time < end), end];
  const moves = [...bodiesOf(run, "bank"), ...bodiesOf(run, "trench"), ...bodiesOf(run, "box"), ...bodiesOf(run, "lowSpot")].map((body) => {
    const levels = run.levels(body, times);
    let sum = 0;
    const steps = levels.map((level, i) => (i === 0 ? 0 : Math.abs(level - levels[i - 1]!)));
    for (const step of steps) sum += step;
    return { steps, sum };
  }).filter(({ sum }) => sum > 0.01);
  const isOpen = (from: number, to: number): boolean =>
    run.firings.some(({ start, end: shut }) => start < to && (shut ?? run.until) > from);
  const open = times.map((time, i) => (i > 0 && isOpen(times[i - 1]!, time) ? time - times[i - 1]! : 0));
  const opened = open.reduce((sum, each) => sum + each, 0);
  if (opened > 0) moves.push({ steps: Float64Array.from(open), sum: opened });
  const shares = [0];
  for (let i = 1; i < times.length; i++) {
    const even = (times[i]! - times[i - 1]!) / end;
    const moved = moves.reduce((sum, { steps, sum: all }) => sum + steps[i]! / all, 0) / Math.max(1, moves.length);
    shares.push(shares[i - 1]! + (moves.length === 0 ? even : EVEN * even + (1 - EVEN) * moved));
  }
  const whole = shares.at(-1)! || 1;
  return {
    shareAt: (hour) => along(times, shares, Math.max(0, Math.min(end, hour * 3600))) / whole,
    hourAt: (share) => along(shares, times, Math.max(0, Math.min(1, share)) * whole) / 3600,
  };
}

/** of the playing time, what goes evenly over the hours */
const EVEN = 0.25;

function along(from: readonly number[], to: readonly number[], at: number): number {
  let [low, high] = [0, from.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (from[middle]! <= at) low = middle;
    else high = middle;
  }
  const width = from[high]! - from[low]!;
  return width <= 0 ? to[high]! : to[low]! + ((at - from[low]!) / width) * (to[high]! - to[low]!);
}
