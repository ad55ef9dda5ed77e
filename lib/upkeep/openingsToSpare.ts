import { oneLevel } from "../simulate/oneLevel.ts";
import type { Run } from "../simulate/run.ts";

/**
 * Share of the chambers' holes that silt and roots may close before the chambers stop sharing one level at a run's worst moment,
 * as `oneLevel` has it: more than 25 mm between the first and the last. How fast holes close is not known, so this says how much
 * there is to spare and not when it is used up.
 *
 * @returns  0 where they do not share one level when clean; null where no chamber says its openings or none stands in water
 */
export function openingsToSpare(run: Run): number | null {
  const matters = (clogged: number): boolean | null => oneLevel(run, { clogged })?.clogged.matters ?? null;
  const clean = matters(0);
  if (clean === null) return null;
  if (clean) return 0;
  let [open, closed] = [0, 1];
  // to a part in a thousand: the difference grows with every hole that closes
  while (closed - open > 1e-3) {
    const middle = (open + closed) / 2;
    if (matters(middle) === true) closed = middle;
    else open = middle;
  }
  return open;
}
