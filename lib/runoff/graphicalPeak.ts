import { logarithm, power } from "../numerics/powers.ts";
import { tableValue } from "../rain/storms/stormCurve.ts";
import { optionReader } from "../text/optionReader.ts";

/** The NRCS distributions, by their names in `designStorm`. */
export type NrcsPattern = "nrcs-i" | "nrcs-ia" | "nrcs-ii" | "nrcs-iii";

export const NRCS_PATTERNS: readonly NrcsPattern[] = ["nrcs-i", "nrcs-ia", "nrcs-ii", "nrcs-iii"];

type Row = readonly [abstractionShare: number, c0: number, c1: number, c2: number];

/** TR-55 (2nd ed. 1986) Table F-1 p. F-2, the same as HDS-2 Table 5.5 p. 5-28. */
const PEAK_COEFFICIENTS: Readonly<Record<NrcsPattern, readonly Row[]>> = {
  "nrcs-i": [
    [0.1, 2.3055, -0.51429, -0.1175],
    [0.2, 2.23537, -0.50387, -0.08929],
    [0.25, 2.18219, -0.48488, -0.06589],
    [0.3, 2.10624, -0.45695, -0.02835],
    [0.35, 2.00303, -0.40769, 0.01983],
    [0.4, 1.87733, -0.32274, 0.05754],
    [0.45, 1.76312, -0.15644, 0.00453],
    [0.5, 1.67889, -0.0693, 0],
  ],
  "nrcs-ia": [
    [0.1, 2.0325, -0.31583, -0.13748],
    [0.2, 1.91978, -0.28215, -0.0702],
    [0.25, 1.83842, -0.25543, -0.02597],
    [0.3, 1.72657, -0.19826, 0.02633],
    [0.5, 1.63417, -0.091, 0],
  ],
  "nrcs-ii": [
    [0.1, 2.55323, -0.61512, -0.16403],
    [0.3, 2.46532, -0.62257, -0.11657],
    [0.35, 2.41896, -0.61594, -0.0882],
    [0.4, 2.36409, -0.59857, -0.05621],
    [0.45, 2.29238, -0.57005, -0.02281],
    [0.5, 2.20282, -0.51599, -0.01259],
  ],
  "nrcs-iii": [
    [0.1, 2.47317, -0.51848, -0.17083],
    [0.3, 2.39628, -0.51202, -0.13245],
    [0.35, 2.35477, -0.49735, -0.11985],
    [0.4, 2.30726, -0.46541, -0.11094],
    [0.45, 2.24876, -0.41314, -0.11508],
    [0.5, 2.17772, -0.36803, -0.09525],
  ],
};

/** 1 cfs per mi2 and inch in SI [1/s]. */
const CSM_PER_INCH = (0.3048 * 0.3048 * 0.3048) / (5280 * 0.3048 * 5280 * 0.3048) / 0.0254;

/**
 * Peak flow of a day's storm by the NRCS graphical method, to hold a hydrograph's peak against.
 *
 *   q = qu A Q,   log10 qu = C0 + C1 log10 tc + C2 (log10 tc)^2,   qu [cfs/mi2/in], tc [h]
 *
 * with coefficients by Ia/P: straight between two rows, and those of the nearer end outside 0.1 to 0.5.
 *
 * @param catchment.pattern              distribution of the day's rain
 * @param catchment.area                 A [m2]
 * @param catchment.runoff               Q, runoff of the storm [m]; see `curveNumberRunoff`
 * @param catchment.abstractionShare     Ia/P, initial abstraction as a share of the rain, 0 to 1
 * @param catchment.timeOfConcentration  [s], 0.1 h to 10 h
 * @returns  [m3/s]
 * @throws InputError  with all problems
 * @source  TR-55 (2nd ed. 1986) chapter 4 and Table F-1 p. F-2; the use of the limiting Ia/P from memory
 * @example graphicalPeak({
 *   pattern: "nrcs-ii", area: 1.01e6, runoff: 0.0833, abstractionShare: 0.111, timeOfConcentration: 5508,
 * }); // => 9.729
 */
export function graphicalPeak(catchment: {
  readonly pattern: NrcsPattern;
  readonly area: number;
  readonly runoff: number;
  readonly abstractionShare: number;
  readonly timeOfConcentration: number;
}): number {
  const read = optionReader("graphicalPeak", catchment, "The peak flow cannot be computed:");
  const pattern = read.word("pattern", NRCS_PATTERNS);
  const area = read.number("area", { above: 0 });
  const runoff = read.number("runoff", { least: 0 });
  const share = read.number("abstractionShare", { least: 0, most: 1 });
  const hours = read.number("timeOfConcentration", { least: 360, most: 36000 }) / 3600;
  read.done();
  const rows = PEAK_COEFFICIENTS[pattern];
  const log = logarithm(hours) / Math.LN10;
  const unitPeak = power(10, tableValue(rows.map(([at]) => at), rows.map(([, c0, c1, c2]) => c0 + (c1 + c2 * log) * log), share));
  return CSM_PER_INCH * unitPeak * area * runoff;
}
