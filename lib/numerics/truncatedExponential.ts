/**
 * A number of (0, 1) whose chance falls, or rises, exponentially from 0 to 1 and whose mean is given.
 *
 *   p(x) ~ exp(-k x) on 0 to 1,   mean = 1/k - 1/(exp(k) - 1)
 *
 * @param mean  above 0 and below 1
 * @returns     the number by its share 0 to 1
 * @source  the exponential distribution cut at 1
 */
export function truncatedExponential(mean: number): (share: number) => number {
  let [low, high] = [-700, 700];
  while (high - low > 1e-9) {
    const middle = (low + high) / 2;
    if (meanOf(middle) > mean) low = middle;
    else high = middle;
  }
  const k = (low + high) / 2;
  return (share) => (Math.abs(k) < 1e-6 ? share : -Math.log1p(share * Math.expm1(-k)) / k);
}

function meanOf(k: number): number {
  return Math.abs(k) < 1e-4 ? 0.5 - k / 12 : 1 / k - 1 / Math.expm1(k);
}
