import { exponential } from "./powers.ts";

/**
 * The error function
 *
 *   erf(x) = 2/sqrt(pi) * integral of exp(-s^2) for s from 0 to x
 *
 * to about 1e-15 of its value. Below 2 its series of positive terms, which loses no digits:
 *
 *   erf(x) = 2/sqrt(pi) * exp(-x^2) * (x + 2 x^3/3 + 4 x^5/15 + ...)
 *
 * and above it 1 - erfc(x), erfc by its continued fraction.
 *
 * @param x  any number; infinities give -1 and 1
 * @source   Abramowitz & Stegun, Handbook of Mathematical Functions, 1964, 7.1.6 and 7.1.14, from memory
 * @example errorFunction(0.5); // => 0.5204998778130465
 */
export function errorFunction(x: number): number {
  const size = Math.abs(x);
  // erfc(6) is 2e-17, less than the last bit of 1.
  const value = size < 2 ? series(size) : size < 6 ? 1 - complement(size) : 1;
  return x < 0 ? -value : value;
}

const INVERSE_SQRT_PI = 1 / Math.sqrt(Math.PI);

function series(x: number): number {
  const square = 2 * x * x;
  let term = x;
  let sum = x;
  for (let odd = 3; term > 1e-17 * sum; odd += 2) {
    term *= square / odd;
    sum += term;
  }
  return 2 * INVERSE_SQRT_PI * exponential(-x * x) * sum;
}

/** erfc(x) = exp(-x^2)/sqrt(pi) / (x + (1/2)/(x + 1/(x + (3/2)/(x + ...)))); 240/x^2 levels give it to 1e-15 of erf. */
function complement(x: number): number {
  let fraction = x;
  for (let level = Math.ceil(240 / (x * x)); level > 0; level--) fraction = x + level / 2 / fraction;
  return (INVERSE_SQRT_PI * exponential(-x * x)) / fraction;
}
