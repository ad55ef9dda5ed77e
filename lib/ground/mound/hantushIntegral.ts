import { leastOf } from "../../numerics/extremes.ts";
import { errorFunction } from "../../numerics/errorFunction.ts";
import { gaussLegendre } from "../../numerics/gaussLegendre.ts";

/**
 * Hantush's integral, the shape of a mound under a rectangle, summed over all pairs of arguments, to 2e-12 of 1:
 *
 *   S*(alpha, beta) = integral of erf(alpha/sqrt(T)) erf(beta/sqrt(T)) for T from 0 to 1
 *
 * One S* is odd in either argument and rises to 1; a mound is a sum of four. Far from the pit the four all but cancel, so the
 * error functions are added first, and the product of their sums is integrated. With v = sqrt(T) the integrand is 2 v times
 * that: every erf is 1 below a sixth of the smallest argument, and from there on each doubling of v is integrated by itself.
 *
 * @param alphas  such as (a + x)/sqrt(4 nu t) and (a - x)/sqrt(4 nu t)
 * @param betas   such as (c + y)/sqrt(4 nu t) and (c - y)/sqrt(4 nu t)
 * @source  Hantush, Water Resources Research 3(1), 1967, as stated in USGS SIR 2010-5102 (Carleton) p. 22-25
 * @example hantushIntegral([0.1], [1]); // => 0.198899
 */
export function hantushIntegral(alphas: readonly number[], betas: readonly number[]): number {
  const product = (v: number): number => sumOfErrors(alphas, v) * sumOfErrors(betas, v);
  const smallest = leastOf([...alphas, ...betas].map(Math.abs).filter((argument) => argument > 0));
  const level = Math.min(1, smallest / WHOLE);
  let sum = level * level * product(level);
  for (let top = 1; top > level; top /= 2) sum += gaussLegendre((v) => 2 * v * product(v), Math.max(level, top / 2), top);
  return sum;
}

/** erf(6) is 1 to the last bit. */
const WHOLE = 6;

function sumOfErrors(args: readonly number[], v: number): number {
  let sum = 0;
  for (const argument of args) sum += errorFunction(argument / v);
  return sum;
}
