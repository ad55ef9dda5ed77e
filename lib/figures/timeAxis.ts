import type { Run } from "../simulate/run.ts";
import type { Axis, YAxis } from "./figure.ts";
import { letterSizes, font, ink, quietAxis } from "./look.ts";
import { DRY } from "./bodyViews.ts";

/** The hours a picture shows, and the step of its figures. */
export interface HourSpan {
  /** end of the axis [h] */
  readonly end: number;
  readonly tick: number;
}

/**
 * The hours worth showing: to the end of the rain, and on until every body is at rest where it will stay (within a
 * centimetre of its level at the run's end), and a little more, to a whole step of the axis; no longer than the run.
 *
 * @param run        the run
 * @param plotWidth  of the time axis [px]
 */
export function hourSpan(run: Run, plotWidth: number): HourSpan {
  const rests = RESTS.get(run) ?? restsAt(run);
  RESTS.set(run, rests);
  return hoursTo(rests, run.until, plotWidth);
}

/** A page draws a run at many widths. */
const RESTS = new WeakMap<Run, number>();

/** The hours to a time and a little more [s], no longer than the run. */
export function hoursTo(time: number, until: number, plotWidth: number): HourSpan {
  const run_h = until / 3600;
  const end_h = Math.min(run_h, (time / 3600) * 1.06);
  const tick = tickStep(end_h, plotWidth);
  return { end: Math.min(run_h, Math.max(tick, Math.ceil(end_h / tick) * tick)), tick };
}

/** The time axis of every picture. */
export function timeAxis(run: Run, span: HourSpan, width: number, anchor: YAxis): Axis {
  const { small } = letterSizes(width);
  return {
    ...quietAxis(width),
    range: [0, span.end],
    anchor,
    tick0: 0,
    dtick: span.tick,
    ticks: "outside",
    ticklen: 4,
    tickcolor: ink.rule,
    showline: true,
    linecolor: ink.rule,
    hoverformat: ".1f",
    unifiedhovertitle: { text: "hour %{x}" },
    title: { text: `hours since the ${run.rain === null ? "start" : "rain began"}`, font: font(small, ink.text), standoff: 8 },
  };
}

/** When the last body comes to rest, or the rain ends or the emitter shuts for the last time, if that is later [s]. */
function restsAt(run: Run): number {
  let last = run.rain === null ? 0 : Math.min(run.until, run.rain.time.at(-1)!);
  for (const { end } of run.firings) last = Math.max(last, end ?? run.until);
  for (const { name } of run.bodies) {
    const levels = run.levels(name, run.times);
    const rest = levels.at(-1)!;
    for (let i = levels.length - 1; i >= 0; i--) {
      if (Math.abs(levels[i]! - rest) > 10 * DRY) {
        last = Math.max(last, run.times[Math.min(i + 1, levels.length - 1)]!);
        break;
      }
    }
  }
  return last;
}

// A figure every few hours: parts and multiples of a day.
const STEPS = [0.25, 0.5, 1, 2, 3, 6, 12, 24, 48, 96, 168, 336, 720, 2160, 8760];

function tickStep(end_h: number, plotWidth: number): number {
  const most = Math.max(2, plotWidth / 44);
  return STEPS.find((step) => end_h / step <= most) ?? STEPS.at(-1)!;
}
