import { seriesLevel } from "../ground/seriesLevel.ts";
import type { Run } from "../simulate/run.ts";

/**
 * The hour that belongs to `run.drainDown.empty` [s since the run's start]: when the pit's water first stands less than a
 * centimetre above its rest after its peak. Null where the pit is not back by the run's end or never filled.
 */
export function pitEmptyTime(run: Run): number | null {
  const { empty } = run.drainDown;
  if (empty === null || empty === 0) return null;
  const start = run.level("chamberBank", 0);
  const isEmpty = (time: number): boolean => run.level("chamberBank", time) - Math.max(start, waterAround(run, time)) < EMPTY_DEPTH;
  // the clock of `drainDown` starts at the peak or later
  const from = Math.min(run.until, run.peaks["chamberBank"]!.time + empty);
  let [before, after] = [from, from];
  for (const time of [...run.times, run.until]) {
    if (time <= from) continue;
    if (isEmpty(before)) break;
    [before, after] = [after, time];
    if (isEmpty(after)) break;
  }
  for (let i = 0; i < 40; i++) {
    const middle = (before + after) / 2;
    if (isEmpty(middle)) after = middle;
    else before = middle;
  }
  return after;
}

/** depth that counts as empty [m], as in `drainDown` */
const EMPTY_DEPTH = 0.01;

/** Groundwater round the pit with its mound [m]; -Infinity where it is far below. */
function waterAround(run: Run, time: number): number {
  return seriesLevel(run.site.chamberBank.groundwater, time) + (run.rise(time)?.centre ?? 0);
}
