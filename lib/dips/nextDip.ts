import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { durationText } from "../text/format.ts";
import { staffText } from "../text/staffText.ts";
import { slopes } from "./leastSquares.ts";
import type { FilledPit } from "./fillModel.ts";
import { deviateOf } from "./fillFit.ts";
import { causesText } from "./fillVerdict.ts";
import type { FillSolution } from "./fillSolution.ts";

/** The moment at which one more dip would tell most. */
export interface NextDip {
  /** on the test's clock [s] */
  readonly time: number;
  /** what the fitted works would show then [m] */
  readonly level: number;
  readonly words: string;
}

/** A soil known to this share needs no further dip; it is known worse from anything else. */
const KNOWN_WELL = 0.2;

/** What a dip must narrow the soil's band by to be worth waiting for. */
const WORTH = 0.8;

/** Moments that are tried, after the last dip, in spans of the test. */
const LATER: readonly number[] = [0.15, 0.3, 0.5, 0.75, 1, 1.5, 2, 3];

/**
 * Where rivals are left: when their levels lie farthest apart, if that is more than three times what a dip is off. Else, where the
 * soil's band is wide: the dip that narrows it most, by the slopes of the fitted line,
 *
 *   C' = C - C g g' C/(s^2 + g' C g),    g the slopes of the level at that moment
 *
 * @source  the next best measurement: Atkinson & Donev, Optimum Experimental Designs, 1992, from memory
 */
export function nextDip(pit: FilledPit, solutions: readonly FillSolution[]): NextDip | null {
  const { time, level } = pit.dips;
  const span = time.at(-1)! - time[level.indexOf(greatestOf(level))]!;
  const moments = Float64Array.from(LATER, (share) => round(time.at(-1)! + share * span));
  return tellingDip(pit, solutions, moments) ?? narrowingDip(pit, solutions[0]!, moments);
}

function tellingDip({ site, dips }: FilledPit, solutions: readonly FillSolution[], moments: Float64Array): NextDip | null {
  const { chamberBank: { floor }, units } = site;
  if (solutions.length < 2) return null;
  const levels = solutions.map(({ fit: { model, fit } }) => model.levels(fit.values, moments));
  const apart = moments.map((_, i) => greatestOf(levels.map((each) => each[i]!)) - leastOf(levels.map((each) => each[i]!)));
  const at = apart.indexOf(greatestOf(apart));
  if (!(apart[at]! > 3 * solutions[0]!.scatter.deviation)) return null;
  const expected = solutions.map(({ fit: { model } }, k) => `${staffText(levels[k]![at]! - floor, units)} of water if it is ${causesText(model.causes)}`);
  return {
    time: moments[at]!, level: levels[0]![at]!,
    words: `One more dip ${durationText(moments[at]! - dips.time.at(-1)!)} after the last would tell: ${expected.join(", ")}.`,
  };
}

function narrowingDip({ site, dips }: FilledPit, solution: FillSolution, moments: Float64Array): NextDip | null {
  const { chamberBank: { floor }, units } = site;
  const { fit: { model, fit }, covariance, scatter } = solution;
  const soil = model.names.indexOf("soil");
  const variance = covariance[soil]![soil]!;
  if (deviateOf(scatter, 0.975) * Math.sqrt(variance) < KNOWN_WELL * fit.values[soil]!) return null;
  const levels = model.levels(fit.values, moments);
  const columns = slopes((values) => model.levels(values, moments), model.unknowns, fit.values);
  const left = moments.map((_, i) => {
    const turned = covariance.map((line) => line.reduce((sum, value, k) => sum + value * columns[k]![i]!, 0));
    const own = turned.reduce((sum, value, k) => sum + value * columns[k]![i]!, 0);
    return levels[i]! > floor + 0.02 ? (turned[soil]! ** 2) / (scatter.deviation ** 2 + own) : 0;
  });
  const at = left.indexOf(greatestOf(left));
  const narrowed = Math.sqrt(Math.max(0, 1 - left[at]! / variance));
  if (narrowed > WORTH) return null;
  return {
    time: moments[at]!, level: levels[at]!,
    words: `One more dip ${durationText(moments[at]! - dips.time.at(-1)!)} after the last, at about ${staffText(levels[at]! - floor, units)} of water, `
      + `would narrow the soil's band to ${Math.round(100 * narrowed)} percent of its width.`,
  };
}

/** To five minutes, as people look at a watch; to one below an hour. */
function round(time: number): number {
  const step = time < 3600 ? 60 : 300;
  return Math.ceil(time / step) * step;
}
