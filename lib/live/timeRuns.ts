import { hourSpan } from "../figures/timeAxis.ts";
import type { Run } from "../simulate/run.ts";
import { timeWarp } from "./timeWarp.ts";

/** The storm as it runs before one's eyes. */
export interface TimeRuns {
  /** starts it at an hour, at the end from the beginning; or stops it */
  readonly toggle: (run: Run, hour: number) => void;
  readonly stop: () => void;
  readonly isRunning: () => boolean;
}

/** @param events  an hour to be drawn, once a frame; and when it begins and ends */
export function timeRuns(
  events: { readonly frame: (hour: number) => void; readonly begun: () => void; readonly ended: () => void },
): TimeRuns {
  let frame = 0;
  const stop = (): void => {
    if (frame === 0) return;
    cancelAnimationFrame(frame);
    frame = 0;
    events.ended();
  };
  return {
    stop,
    isRunning: () => frame !== 0,
    toggle: (run, hour) => {
      if (frame !== 0) {
        stop();
        return;
      }
      const { end } = hourSpan(run, 800);
      const warp = timeWarp(run, end);
      let share = warp.shareAt(hour);
      if (share > 0.995) share = 0;
      let before: number | null = null;
      events.begun();
      const step = (now: number): void => {
        // a page that was away for a while goes on where it was
        share += before === null ? 0 : Math.min(100, now - before) / WHOLE_MS;
        before = now;
        events.frame(warp.hourAt(share));
        if (share < 1) frame = requestAnimationFrame(step);
        else stop();
      };
      frame = requestAnimationFrame(step);
    },
  };
}

/** A whole storm takes so long [ms]. */
const WHOLE_MS = 24_000;
