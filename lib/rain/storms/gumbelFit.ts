import { logarithm, logarithmOf1Plus, power } from "../../numerics/powers.ts";
import { readQuantity } from "../../text/quantity.ts";
import { optionReader } from "../../text/optionReader.ts";
import { normalQuantile } from "../../numerics/normalQuantile.ts";

/** Annual maxima of one duration, as they were tabulated. */
export interface AnnualMaxima {
  /** of every number, `"mm"` */
  readonly unit: string;
  /** the highest of each year, in any order; 5 or more */
  readonly maxima: readonly number[];
  /** default "moments" */
  readonly method?: "moments" | "l-moments";
}

/** A Gumbel distribution of annual maxima. */
export interface GumbelFit {
  /** [m] */
  readonly location: number;
  /** [m] */
  readonly scale: number;
  /** depth [m] that is reached or passed once in a return period [years, more than 1] in the mean */
  depth(returnPeriod_year: number): number;
  /**
   * The depth's confidence band [m]: how far another record of as many years might have put it.
   *
   * @param confidence  0 to 1, default 0.9
   */
  band(returnPeriod_year: number, confidence?: number): { readonly low: number; readonly high: number };
}

/**
 * Fits a Gumbel distribution to annual maxima.
 *
 *   x(T) = u + a y,   y = -ln(-ln(1 - 1/T))
 *   moments:    a = s sqrt(6) / pi           (s with n - 1)
 *   L-moments:  a = l2 / ln 2
 *   both:       u = mean - 0.5772 a
 *
 * The band is x(T) -+ z SE, the standard error from the asymptotic variance (a^2 / n) (A + B y + C y^2), A, B, C being
 * 1.1589, 0.1919, 1.1 for moments and 1.1128, 0.4574, 0.8046 for L-moments.
 *
 * @throws InputError  with all problems: fewer than 5 maxima, one below 0, all alike, a unit that is no length
 * @source  Chow, Maidment & Mays, Applied Hydrology, 1988, chapter 12, and Phien 1987, J. Hydrology 90, for the variances; all
 *          from memory
 * @example gumbelFit({ unit: "mm", maxima: [31, 44, 28, 52, 39, 35] }).depth(10); // => 0.0497
 */
export function gumbelFit(record: AnnualMaxima): GumbelFit {
  const read = optionReader("gumbelFit", record, "The annual maxima cannot be fitted:");
  const method = read.word("method", ["moments", "l-moments"], "moments");
  const unit = read.raw("unit");
  if (!("value" in readQuantity(`1 ${String(unit)}`, "length"))) read.problem("unit", 'a unit of depth such as "mm"');
  const maxima = read.list("maxima", (value, where) => {
    if (typeof value === "number" && value >= 0) return read.check(where, `${value} ${String(unit)}`, "length");
    read.problem(where.slice(read.where.length + 1), "a number of 0 or more", String(value));
    return NaN;
  });
  if (maxima.length < 5) read.problem("maxima", "5 years or more", `${maxima.length}`);
  if (maxima.length > 0 && maxima.every((depth) => depth === maxima[0])) read.problem("maxima", "years that differ", "one value");
  read.done();
  const mean = maxima.reduce((sum, depth) => sum + depth, 0) / maxima.length;
  const scale = method === "moments" ? (standardDeviation(maxima, mean) * Math.sqrt(6)) / Math.PI : secondLMoment(maxima, mean) / Math.LN2;
  const location = mean - EULER * scale;
  const [constant, linear, square] = VARIANCE[method];
  const depth = (returnPeriod_year: number): number => location + scale * reducedVariate(returnPeriod_year);
  return {
    location,
    scale,
    depth,
    band(returnPeriod_year, confidence = 0.9) {
      if (!(confidence > 0 && confidence < 1)) throw new RangeError(`confidence: expected above 0 and below 1, got ${confidence}`);
      const y = reducedVariate(returnPeriod_year);
      const error = scale * Math.sqrt((constant + linear * y + square * y * y) / maxima.length);
      const reach = normalQuantile((1 + confidence) / 2) * error;
      return { low: depth(returnPeriod_year) - reach, high: depth(returnPeriod_year) + reach };
    },
  };
}

const EULER = 0.5772156649015329;

const VARIANCE = { moments: [1.1589, 0.1919, 1.1], "l-moments": [1.1128, 0.4574, 0.8046] } as const;

function reducedVariate(returnPeriod_year: number): number {
  if (!(returnPeriod_year > 1 && returnPeriod_year < Infinity)) {
    throw new RangeError(`returnPeriod_year: expected more than 1 year, got ${returnPeriod_year}`);
  }
  return -logarithm(-logarithmOf1Plus(-1 / returnPeriod_year));
}

function standardDeviation(values: readonly number[], mean: number): number {
  return Math.sqrt(values.reduce((sum, value) => sum + power(value - mean, 2), 0) / (values.length - 1));
}

/** l2 = 2 b1 - b0, b1 the mean of the values weighted by their share of smaller ones. */
function secondLMoment(values: readonly number[], mean: number): number {
  const rising = [...values].sort((a, b) => a - b);
  const weighted = rising.reduce((sum, value, i) => sum + (i / (rising.length - 1)) * value, 0) / rising.length;
  return 2 * weighted - mean;
}
