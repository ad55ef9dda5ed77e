import type { Run } from "../simulate/run.ts";
import { LOOKS, shareAbove } from "../simulate/levelWatch.ts";

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
