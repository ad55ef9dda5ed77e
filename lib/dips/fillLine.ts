import type { FilledPit } from "./fillModel.ts";
import { fillModel } from "./fillModel.ts";
import { deviateOf } from "./fillFit.ts";
import type { FillSolution } from "./fillSolution.ts";
import { slopes } from "./leastSquares.ts";

/** Levels in time by the fitted works and by the design [s], [m]. */
export interface FillLine {
  readonly time: Float64Array;
  readonly level: Float64Array;
  /** where the fitted line itself lies, 95 percent; a dip scatters about that */
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** the works as drawn, with the water that went in as it was fitted */
  readonly design: Float64Array;
}

/** No bend of a falling level shows between this many points. */
const POINTS = 81;

/** From the first moment of the test to the last dip; the band by the slopes of the line with the unknowns. */
export function fillLines(pit: FilledPit, { fit: { model, fit }, covariance, scatter }: FillSolution): FillLine {
  const { dips: { time: dipped }, site: { chamberBank: { floor } } } = pit;
  const first = pit.filling.by === "hose" ? 0 : dipped[0]!;
  const last = dipped.at(-1)!;
  const even = Array.from({ length: POINTS }, (_, i) => first + ((last - first) * i) / (POINTS - 1));
  // the peak, where the hose is shut, is no place to cut a corner
  const shut = pit.filling.by === "hose" && pit.filling.duration < last ? [pit.filling.duration] : [];
  const time = Float64Array.from(new Set([...even, ...shut])).sort();
  const levels = (values: readonly number[]): Float64Array => model.levels(values, time);
  const level = levels(fit.values);
  const columns = slopes(levels, model.unknowns, fit.values);
  const deviate = deviateOf(scatter, 0.975);
  const spread = level.map((_, i) => {
    const variance = columns.reduce((sum, a, j) => sum + columns.reduce((part, b, k) => part + a[i]! * covariance[j]![k]! * b[i]!, 0), 0);
    return deviate * Math.sqrt(Math.max(0, variance));
  });
  return {
    time, level,
    low: level.map((water, i) => Math.max(floor, water - spread[i]!)),
    high: level.map((water, i) => water + spread[i]!),
    design: fillModel(pit, [], false).levels(fit.values.slice(0, 1), time),
  };
}
