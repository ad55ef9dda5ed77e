/**
 * Mean over a length of what lies above nothing, of a depth that runs straight from one end to the other:
 *
 *   (a + b)/2  where both are 0 or more,   a^2 / (2 (a - b))  where b is less,   0 where both are
 *
 * @example positiveMean(1, -1); // => 0.25
 */
export function positiveMean(a: number, b: number): number {
  const [low, high] = [Math.min(a, b), Math.max(a, b)];
  if (high <= 0) return 0;
  return low >= 0 ? (low + high) / 2 : (high * high) / (2 * (high - low));
}
