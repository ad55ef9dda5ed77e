import { flowOfKind, type Run } from "../simulate/run.ts";
import { DRY } from "../figures/bodyViews.ts";
import { NO_FLOW } from "../figures/flowRows.ts";
import { DAY_3 } from "../figures/stateMoments.ts";

/** A moment of a run to jump to. */
export interface TimeMark {
  readonly words: string;
  /** the same on a phone */
  readonly short: string;
  /** [s] */
  readonly time: number;
}

/**
 * The moments of a run that one would want to see: the first water in the pit, the pit running over into the trench, the lid
 * lifting, the highest water, the pit empty again or
 * only groundwater left in it, and the third day's beginning; those that come, in order.
 */
export function timeMarks(run: Run): TimeMark[] {
  const { until, firings, peaks } = run;
  const start = run.level("chamberBank", 0);
  const first = run.times.find((time) => run.level("chamberBank", time) > start + 10 * DRY);
  const over = run.times.find((time) => flowOfKind(run, "trenchInlet", time) > NO_FLOW);
  const peak = peaks["chamberBank"]!;
  const { empty } = run.drainDown;
  const marks: TimeMark[] = [];
  const add = (words: string, time: number | null | undefined, short: string = words): void => {
    if (time !== null && time !== undefined && time >= 0 && time <= until) marks.push({ words, short, time });
  };
  add("first water", first, "water");
  add("pit runs over", over, "over");
  add("lid lifts", firings[0]?.start, "lid");
  add("highest", peak.level > start + 10 * DRY ? peak.time : null);
  const emptyAt = empty === null || empty === 0 ? null : run.drainDown.full + empty;
  add(emptyAt !== null && run.level("chamberBank", emptyAt) - run.site.chamberBank.floor > 0.02 ? "groundwater left" : "empty", emptyAt, "empty");
  add("day 3 begins", DAY_3, "day 3");
  return marks.sort((a, b) => a.time - b.time);
}
