import { leastOf } from "../../numerics/extremes.ts";
import { studentQuantile } from "../../numerics/studentQuantile.ts";
import { fitFallingHead, fittedDepth, type FallingHeadFit, type FallingHeadLaw, type Fill } from "./fallingHead.ts";
import { fillNotes } from "./fillNotes.ts";
import type { FallingHeadResult, FillResult } from "./soilTestResult.ts";
import { withinSiteBand, type Band } from "./withinSiteBand.ts";

/** A fill with its fit, and how much of the water's fall can be believed. */
export interface JudgedFill {
  readonly fill: Fill;
  readonly fit: FallingHeadFit;
  /** the water fell, and by more than the readings' own scatter */
  readonly drained: boolean;
  /** the conductivity at which the water would have fallen by 3 mm, which a tape just shows [m/s] */
  readonly unseen: number;
}

/** Smallest fall that a tape or a ruler in a hole shows, an eighth of an inch [m]; ours. */
const SMALLEST_FALL = 0.003;

/** Readings that are all alike leave a fall of round-off, and an error as small [m]. */
const ROUND_OFF = 1e-9;

/**
 * The result of a test in which water falls: each fill fitted by itself, the slowest governing.
 *
 * The band is K -+ t SE, Student's t with n - 2 degrees of freedom, 2.5 percent left out at either end and nothing below 0.
 * Where the slowest of m fills was taken it is more likely too slow than too fast, so what is left out above is 1 - 0.95^(1/m)
 * where that is less. Where the water did not fall the band ends at what could have gone unseen.
 *
 * @param fills     one or more, each of two readings or more with water in the hole
 * @param leftOut   which readings do not count and why, as sentences
 * @param believed  what the fall taken for a conductivity is held against, from the governing fill; default the fit's conductivity
 */
export function fallingHeadTest(
  fills: readonly Fill[], law: FallingHeadLaw, leftOut: readonly string[] = [],
  believed: (governing: JudgedFill) => number = ({ fit }) => Math.max(0, fit.hydraulicConductivity),
): FallingHeadResult {
  const judged = fills.map((fill) => judge(fill, law));
  const conductivity = judged.map(({ fit }) => Math.max(0, fit.hydraulicConductivity));
  const governing = conductivity.indexOf(leastOf(conductivity));
  const { fill, fit, drained, unseen } = judged[governing]!;
  const hydraulicConductivity = conductivity[governing]!;
  const own = bandOf(judged[governing]!, Math.min(0.025, 1 - 0.95 ** (1 / fills.length)));
  const siteBand = drained
    ? withinSiteBand(hydraulicConductivity, (fit.standardError ?? 0) / hydraulicConductivity)
    : { low: 0, high: withinSiteBand(Math.max(own?.high ?? 0, hydraulicConductivity, unseen)).high, from: "within-site scatter" as const };
  const naive = Math.max(0, fill.depth[0]! - fill.depth.at(-1)!) / (fill.time.at(-1)! - fill.time[0]!);
  const naiveFactor = hydraulicConductivity > 0 ? naive / believed(judged[governing]!) : null;
  return {
    hydraulicConductivity,
    band: own ?? siteBand,
    siteBand,
    naive,
    naiveFactor,
    drained,
    fills: judged.map((each) => fillResult(each, law)),
    governing,
    notes: [...leftOut, ...fillNotes(judged, governing, law, naiveFactor)],
  };
}

function judge(fill: Fill, law: FallingHeadLaw): JudgedFill {
  const fit = fitFallingHead(fill, law);
  const count = fill.time.length;
  const span = fill.time[count - 1]! - fill.time[0]!;
  const fall = fill.depth[0]! - fill.depth[count - 1]!;
  const fittedFall = fit.fitted[0]! - fit.fitted[count - 1]!;
  const drained = fit.standardError === null
    ? fall >= SMALLEST_FALL
    : fittedFall > ROUND_OFF && fit.hydraulicConductivity > studentQuantile(0.975, count - 2) * fit.standardError;
  const first = fill.depth[0]! + law.offset;
  const unseen = Math.log(first / Math.max(first / 2, first - SMALLEST_FALL)) / (law.rate * span);
  return { fill, fit, drained, unseen };
}

function bandOf({ fill, fit, drained, unseen }: JudgedFill, leftOutAbove: number): Band | null {
  if (fit.standardError === null) return null;
  const freedom = fill.time.length - 2;
  const low = Math.max(0, fit.hydraulicConductivity - studentQuantile(0.975, freedom) * fit.standardError);
  const high = fit.hydraulicConductivity + studentQuantile(1 - leftOutAbove, freedom) * fit.standardError;
  return { low, high: drained ? high : Math.max(high, unseen), from: "readings" };
}

/** Points of a drawn curve: no bend of an exponential shows between them. */
const LINE_POINTS = 61;

function fillResult(judged: JudgedFill, law: FallingHeadLaw): FillResult {
  const { fill: { time, depth }, fit } = judged;
  const count = time.length;
  const lineTime = Float64Array.from({ length: LINE_POINTS }, (_, i) => time[0]! + (i / (LINE_POINTS - 1)) * (time[count - 1]! - time[0]!));
  const squares = fit.residual.reduce((sum, residual) => sum + residual * residual, 0);
  return {
    hydraulicConductivity: Math.max(0, fit.hydraulicConductivity),
    band: bandOf(judged, 0.025),
    time,
    depth,
    fitted: fit.fitted,
    residual: fit.residual,
    residualDeviation: count > 2 ? Math.sqrt(squares / (count - 2)) : null,
    line: { time: lineTime, depth: lineTime.map((moment) => fittedDepth(fit, law, moment - time[0]!)) },
  };
}
