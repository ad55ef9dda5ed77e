import { exponential, logarithm } from "../numerics/powers.ts";
import { optionReader } from "../text/optionReader.ts";
import { tableValue } from "../rain/storms/stormCurve.ts";
import type { UnitResponse } from "./unitResponse.ts";

/**
 * NRCS dimensionless unit hydrograph: t / Tp and q / qp.
 *
 * @source  NRCS NEH 630 chapter 16 (March 2007) Table 16-1; the same in HDS-2 Table 6.10 p. 6-59, whose mass column
 *          misprints two values (0.012 at 0.3, 0.700 at 1.5); the mass column is not used here
 */
export const NRCS_UNIT_HYDROGRAPH: { readonly time: readonly number[]; readonly flow: readonly number[] } = {
  time: [
    0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1, 1.1, 1.2, 1.3, 1.4, 1.5, 1.6,
    1.7, 1.8, 1.9, 2, 2.2, 2.4, 2.6, 2.8, 3, 3.2, 3.4, 3.6, 3.8, 4, 4.5, 5,
  ],
  flow: [
    0, 0.03, 0.1, 0.19, 0.31, 0.47, 0.66, 0.82, 0.93, 0.99, 1, 0.99, 0.93, 0.86, 0.78, 0.68, 0.56,
    0.46, 0.39, 0.33, 0.28, 0.207, 0.147, 0.107, 0.077, 0.055, 0.04, 0.029, 0.021, 0.015, 0.011, 0.005, 0,
  ],
};

/** The peak rate factor that the tabulated curve stands for, in its customary units (cfs, mi2, in, h). */
const TABULATED_FACTOR = 484;

/** Step of the unit hydrograph as a share of the time of concentration: the most NEH 630 allows (0.133 tc). */
export const UNIT_STEP_SHARE = 0.133;

/**
 * The NRCS unit hydrograph of a catchment, as a response.
 *
 *   D = 0.133 tc,  Tp = D / 2 + 0.6 tc,  rate(k D) in proportion to q/qp at k D / Tp
 *
 * For peak rate factor 484 q/qp is the tabulated curve; for others the gamma curve (t/Tp e^(1 - t/Tp))^m, m such that the
 * area under it gives the factor, cut where it has passed all but a ten-thousandth of the water. In both the ordinates are
 * scaled so that the water is kept; for 484 that makes 483.05 of it, as the table's own area does.
 *
 * @param catchment.timeOfConcentration  [s], more than 0
 * @param catchment.peakRateFactor       50 to 1000, default 484; NEH 630 speaks of 100 (flat, swampy) to 600 (steep)
 * @throws InputError  when a value is outside its bounds
 * @source  NRCS NEH 630 chapter 16 (March 2007), Table 16-1 and, for the gamma curve, Table 16-5
 */
export function unitHydrograph(catchment: {
  readonly timeOfConcentration: number;
  readonly peakRateFactor?: number;
}): UnitResponse {
  const read = optionReader("unitHydrograph", catchment, "The unit hydrograph cannot be made:");
  const timeOfConcentration = read.number("timeOfConcentration", { above: 0 });
  const factor = read.number("peakRateFactor", { least: 50, most: 1000, missing: TABULATED_FACTOR });
  read.done();
  const step = UNIT_STEP_SHARE * timeOfConcentration;
  const timeToPeak = step / 2 + 0.6 * timeOfConcentration;
  const { share, end } = factor === TABULATED_FACTOR ? tabulatedCurve() : gammaCurve(gammaExponent(factor));
  const count = Math.ceil((end * timeToPeak) / step);
  const rate = Float64Array.from({ length: count + 1 }, (_, k) => (k === 0 || k === count ? 0 : share((k * step) / timeToPeak)));
  const sum = rate.reduce((total, q) => total + q, 0);
  return { step, rate: rate.map((q) => q / (sum * step)) };
}

interface Curve {
  /** q / qp by t / Tp */
  readonly share: (time: number) => number;
  /** t / Tp at which it ends */
  readonly end: number;
}

function tabulatedCurve(): Curve {
  const { time, flow } = NRCS_UNIT_HYDROGRAPH;
  return { share: (at) => tableValue(time, flow, at), end: time[time.length - 1]! };
}

function gammaCurve(exponent: number): Curve {
  const share = (time: number): number => exponential(exponent * (logarithm(time) + 1 - time));
  const left = 1e-4 * gammaArea(exponent);
  let end = 1;
  // From t on the curve falls at the rate m (1 - 1/t) or faster, so at most share / rate is left.
  while (share(end) / (exponent * (1 - 1 / end)) > left) end += 0.25;
  return { share, end };
}

/**
 * The gamma curve's exponent m for a peak rate factor, by bisection on
 *
 *   factor = 645.33 / (integral of (x e^(1 - x))^m from 0 to infinity)
 *
 * 645.33 = 640 acres per mi2 x 43560 ft2 per acre / 12 in per ft / 3600 s per h.
 *
 * @param factor  50 to 1000
 * @source  NRCS NEH 630 chapter 16 (March 2007) Table 16-5 (m and factors), the relation derived
 * @example gammaExponent(484); // => 3.697
 */
export function gammaExponent(factor: number): number {
  let [low, high] = [0.01, 40];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (PEAK_FACTOR_OF_UNIT_AREA / gammaArea(middle) < factor) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

const PEAK_FACTOR_OF_UNIT_AREA = (640 * 43560) / (12 * 3600);

/** Area under (x e^(1 - x))^m: e^m Gamma(m + 1) / m^(m + 1). */
function gammaArea(exponent: number): number {
  return exponential(exponent + logGamma(exponent + 1) - (exponent + 1) * logarithm(exponent));
}

/** ln Gamma(x), x 1 or more: Stirling's series at x + 10, good to 1e-14 there, and down by the recurrence. */
function logGamma(x: number): number {
  let product = 1;
  let at = x;
  for (let i = 0; i < 10; i++) product *= at++;
  const square = at * at;
  const series = (1 / 12 - (1 / 360 - (1 / 1260 - 1 / (1680 * square)) / square) / square) / at;
  return (at - 0.5) * logarithm(at) - at + logarithm(2 * Math.PI) / 2 + series - logarithm(product);
}
