/** head [m] within which the square root of a head difference is made smooth at rest, so that level bodies do not ring */
const REST = 1e-3;

/** Square root of a head difference with its sign, made smooth at rest: r(x) = x / (x^2 + e^2)^(1/4), e = 1 mm. */
export function smoothRoot(x: number): number {
  return x / Math.sqrt(Math.sqrt(x * x + REST * REST));
}
