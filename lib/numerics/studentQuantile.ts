import { sineAndCosine } from "./powers.ts";

/**
 * The value t that a Student variable stays below with a probability, for whole degrees of freedom.
 *
 * With tan(theta) = t/sqrt(n), P(|T| < t) is a finite sum of powers of cos(theta); theta is found by halving.
 *
 * @param probability       0.5 to below 1
 * @param degreesOfFreedom  n, whole, 1 or more
 * @source  Abramowitz & Stegun, Handbook of Mathematical Functions, 1964, 26.7.3 and 26.7.4, from memory
 * @example studentQuantile(0.975, 10); // => 2.22814
 */
export function studentQuantile(probability: number, degreesOfFreedom: number): number {
  const twoSided = 2 * probability - 1;
  let [low, high] = [0, Math.PI / 2];
  // Each halving is a bit of theta.
  for (let halving = 0; halving < 60; halving++) {
    const middle = (low + high) / 2;
    if (insideShare(middle, degreesOfFreedom) < twoSided) low = middle;
    else high = middle;
  }
  const [sine, cosine] = sineAndCosine((low + high) / 2);
  return Math.sqrt(degreesOfFreedom) * (sine / cosine);
}

/** P(|T| < sqrt(n) tan(theta)). */
function insideShare(theta: number, degreesOfFreedom: number): number {
  const [sine, cosine] = sineAndCosine(theta);
  const odd = degreesOfFreedom % 2;
  let term = odd === 1 ? cosine : 1;
  let sum = degreesOfFreedom === 1 ? 0 : term;
  for (let power = odd + 2; power <= degreesOfFreedom - 2; power += 2) {
    term *= ((power - 1) / power) * cosine * cosine;
    sum += term;
  }
  return odd === 1 ? (2 / Math.PI) * (theta + sine * sum) : sine * sum;
}
