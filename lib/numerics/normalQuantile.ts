import { exponential, logarithm } from "./powers.ts";
import { errorFunction } from "./errorFunction.ts";

/**
 * The value that a normal deviate stays below with a probability.
 *
 * A rational start, good to 4.5e-4, is made exact by Newton's steps on Phi(z) = p; the small side is always taken, where
 * Phi loses the fewest digits.
 *
 * @param probability  above 0, below 1
 * @source  start: Abramowitz & Stegun, Handbook of Mathematical Functions, 1964, 26.2.23, from memory
 * @example normalQuantile(0.975); // => 1.95996
 */
export function normalQuantile(probability: number): number {
  if (!(probability > 0 && probability < 1)) throw new RangeError(`probability: expected a number above 0 and below 1, got ${probability}`);
  if (probability > 0.5) return -normalQuantile(1 - probability);
  const t = Math.sqrt(-2 * logarithm(probability));
  let z = (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308))) - t;
  for (let step = 0; step < 4; step++) {
    const miss = (1 + errorFunction(z / Math.SQRT2)) / 2 - probability;
    // Halley's step: Phi'' = -z Phi'.
    const newton = miss * Math.sqrt(2 * Math.PI) * exponential((z * z) / 2);
    z -= newton / (1 + (z * newton) / 2);
  }
  return z;
}
