import { errorFunction } from "../numerics/errorFunction.ts";

/** How likely dips are under a load that is not known exactly. */
export interface LoadLikelihood {
  /** ln of the likelihood, the load integrated out */
  readonly weight: number;
  /** squares of what dips and load are off by, in their errors, at the likeliest load */
  readonly squares: number;
  /** likeliest ln(load), over what was given */
  readonly load: number;
  /** both sides, less load and more: share of the likelihood, mean and standard deviation of ln(load) there */
  readonly sides: readonly [LoadSide, LoadSide];
}

export interface LoadSide {
  readonly share: number;
  readonly mean: number;
  readonly spread: number;
}

/**
 * The likelihood of misses r at some dips, Gaussian with a standard deviation s each, under a load whose logarithm y is normal about
 * 0 with t and moves the levels by g y, with one g for less load and one for more (a pit that runs over shows no more of more):
 *
 *   L = sum over both of exp(-(r.r/s^2 - m^2/a)/2) sqrt(a)/t Phi,    a = t^2/(1 + t^2 g.g/s^2),    m = a (r.g)/s^2
 *
 * m and a are middle and variance of y on that side, Phi the share of its normal curve that lies there: the exact integral over y.
 *
 * @param misses   dip less level, in s
 * @param slopes   g in s, for less load and for more
 * @param error    t; 0 where the load is known
 * @source  Gaussian integrals, any text on Bayesian regression
 */
export function loadLikelihood(
  misses: ArrayLike<number>, slopes: readonly [less: ArrayLike<number>, more: ArrayLike<number>], error: number,
): LoadLikelihood {
  const [less, more] = [sideOf(misses, slopes[0], error, -1), sideOf(misses, slopes[1], error, 1)];
  const most = Math.max(less.weight, more.weight);
  const [a, b] = [Math.exp(less.weight - most), Math.exp(more.weight - most)];
  const { squares, load } = less.squares < more.squares ? less : more;
  return {
    weight: most + Math.log(a + b), squares, load,
    sides: [{ share: a / (a + b), mean: less.mean, spread: less.spread }, { share: b / (a + b), mean: more.mean, spread: more.spread }],
  };
}

function sideOf(
  misses: ArrayLike<number>, slopes: ArrayLike<number>, error: number, sign: 1 | -1,
): { weight: number; squares: number; load: number; mean: number; spread: number } {
  let [rr, rg, gg] = [0, 0, 0];
  for (let i = 0; i < misses.length; i++) {
    rr += misses[i]! ** 2;
    rg += misses[i]! * slopes[i]!;
    gg += slopes[i]! ** 2;
  }
  if (error === 0) return { weight: -rr / 2 + Math.log(0.5), squares: rr, load: 0, mean: 0, spread: 0 };
  const variance = error ** 2 / (1 + error ** 2 * gg);
  const middle = variance * rg;
  const spread = Math.sqrt(variance);
  const z = (sign * middle) / spread;
  const share = Math.max(LEAST_SHARE, (1 + errorFunction(z / Math.SQRT2)) / 2);
  const load = z > 0 ? middle : 0;
  // mean and variance of a normal curve cut off at 0
  const lift = share > SOME_SHARE ? Math.exp((-z * z) / 2) / (Math.sqrt(2 * Math.PI) * share) : -z;
  return {
    weight: -(rr - variance * rg * rg) / 2 + Math.log(spread / error) + Math.log(share),
    squares: rr + load * (load * gg - 2 * rg) + (load / error) ** 2, load,
    mean: middle + sign * spread * lift, spread: spread * Math.sqrt(Math.max(0, 1 - lift * (lift + z))),
  };
}

/** Floor that keeps log(0) finite. */
const LEAST_SHARE = 1e-300;

/** Of less than this a cut-off curve has all of its rest at 0, to round-off. */
const SOME_SHARE = 1e-12;
