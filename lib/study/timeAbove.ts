import type { Run } from "../simulate/run.ts";

/** Points within a step at which the level is looked up: between them it is taken as straight. */
const LOOKS = 4;

/**
 * How long a body's water stands at or above a level in a run [s], from its dense output looked up at a few points of every step.
 */
export function timeAbove(run: Run, body: string, level: number): number {
  let above = 0;
  let before = run.level(body, 0) - level;
  for (let step = 1; step < run.times.length; step++) {
    const [from, to] = [run.times[step - 1]!, run.times[step]!];
    for (let look = 1; look <= LOOKS; look++) {
      const after = run.level(body, look === LOOKS ? to : from + (look / LOOKS) * (to - from)) - level;
      above += shareAbove(before, after) * ((to - from) / LOOKS);
      before = after;
    }
  }
  // the pieces of a run add up to it but for round-off
  return Math.min(above, run.until);
}

/** Of a straight line from one height to another the share at or above 0. */
function shareAbove(from: number, to: number): number {
  if (from >= 0 && to >= 0) return 1;
  if (from < 0 && to < 0) return 0;
  return Math.max(from, to) / Math.abs(to - from);
}
