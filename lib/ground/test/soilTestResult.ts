import type { SorptiveNumber } from "./sorptiveNumber.ts";
import type { Band } from "./withinSiteBand.ts";

/** What a test in the ground says about the soil. */
export interface SoilTestResult {
  /** of the slowest fill; 0 where the water did not fall [m/s] */
  readonly hydraulicConductivity: number;
  /** of the soil at the hole itself, from its readings' scatter where there are three or more, else as `siteBand` */
  readonly band: Band;
  /** of the ground some metres around, where the works will be: wider, and what a run should be tried over */
  readonly siteBand: Band;
  /** what the fall of the water, taken for a conductivity, would have said [m/s] */
  readonly naive: number;
  /** how many times too high that would have been (of a percolation hole against the lower figure); null where it is 0 */
  readonly naiveFactor: number | null;
  /** what a person should know, in sentences */
  readonly notes: readonly string[];
}

/** A test in which the water falls. */
export interface FallingHeadResult extends SoilTestResult {
  /** false if the readings show no fall */
  readonly drained: boolean;
  /** in the order given */
  readonly fills: readonly FillResult[];
  /** which of them is the slowest, and governs */
  readonly governing: number;
}

/** A percolation hole, which is small: pressure and suction draw water out of it too, not gravity alone. */
export interface PercolationHoleResult extends FallingHeadResult {
  /** by the steady law of Reynolds and Elrick, from the mean rate at mid-depth; 0 where the water did not fall [m/s] */
  readonly fieldSaturated: number;
  /** sorptive number it is for [1/m] */
  readonly alpha: number;
  readonly alphaFrom: SorptiveNumber["from"];
  /** the same test over all classes of the sorptive number; one figure twice where it is given [m/s] */
  readonly fieldSaturatedOver: { readonly low: number; readonly high: number };
  /** of the ground some metres around: the scatter within a site and that of the classes, added as squares of logarithms */
  readonly fieldSaturatedBand: Band;
}

/** One fill, its fit, and a curve to draw through its readings. */
export interface FillResult {
  /** 0 where the water did not fall [m/s] */
  readonly hydraulicConductivity: number;
  /** 95 percent, from this fill's readings alone; null with two readings */
  readonly band: Band | null;
  /** of the readings that were used [s] */
  readonly time: Float64Array;
  /** [m] */
  readonly depth: Float64Array;
  /** by the fit [m] */
  readonly fitted: Float64Array;
  /** reading less fit [m] */
  readonly residual: Float64Array;
  /** standard deviation of a reading about the fit [m]; null with two readings */
  readonly residualDeviation: number | null;
  /** the fit at evenly spaced times, to be drawn */
  readonly line: { readonly time: Float64Array; readonly depth: Float64Array };
}
