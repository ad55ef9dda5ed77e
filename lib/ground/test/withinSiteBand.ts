import { exponential, power } from "../../numerics/powers.ts";

/** Where a conductivity is taken to lie, with 95 percent confidence. */
export interface Band {
  /** [m/s] */
  readonly low: number;
  /** [m/s] */
  readonly high: number;
  /** what the band was made from: the scatter of a test's own readings, that of soil within a site, or both */
  readonly from: "readings" | "within-site scatter" | "readings and within-site scatter";
}

/**
 * How far conductivities a few metres apart on one site lie from each other: 95 percent within this factor of the middle.
 *
 * They are log-normal, and their standard deviation is about as large as their mean; so ln K has a standard deviation of
 * sqrt(ln 2) = 0.83, and the factor is exp(1.96 * 0.83) = 5.1.
 *
 * @source  log-normal: Nielsen, Biggar & Erh, Hilgardia 42(7), 1973, abstract. A coefficient of variation of 1 and more within a
 *          field: Warrick & Nielsen, in Hillel (ed.), Applications of Soil Physics, 1980, from memory
 */
export const WITHIN_SITE_FACTOR: number = exponential(1.959963984540054 * Math.sqrt(Math.LN2));

/**
 * The band of the ground around one test, or around a conductivity that came without readings.
 *
 *   K / f to K f,   ln f = 1.96 sqrt(ln 2 + e^2)
 *
 * @param conductivity   K, above 0 [m/s]
 * @param relativeError  e, standard error of the test over K; 0 where it is not known
 * @source  see `WITHIN_SITE_FACTOR`; the variances of the logarithms added
 * @example withinSiteBand(1e-5); // => { low: 1.96e-6, high: 5.11e-5, from: "within-site scatter" }
 */
export function withinSiteBand(conductivity: number, relativeError = 0): Band {
  const factor = power(WITHIN_SITE_FACTOR, Math.sqrt(1 + (relativeError * relativeError) / Math.LN2));
  const from = relativeError > 0 ? "readings and within-site scatter" : "within-site scatter";
  return { low: conductivity / factor, high: conductivity * factor, from };
}
