/**
 * Integral by the Gauss-Legendre rule of 8 points, exact for polynomials up to degree 15.
 *
 * @source  Abramowitz & Stegun, Handbook of Mathematical Functions, 1964, table 25.4
 * @example gaussLegendre((x) => x ** 15, 0, 1); // => 0.0625
 */
export function gaussLegendre(integrand: (x: number) => number, from: number, to: number): number {
  const [middle, half] = [(from + to) / 2, (to - from) / 2];
  let sum = 0;
  for (let i = 0; i < POINTS.length; i++) {
    sum += WEIGHTS[i]! * (integrand(middle - half * POINTS[i]!) + integrand(middle + half * POINTS[i]!));
  }
  return half * sum;
}

const POINTS = [0.1834346424956498, 0.525532409916329, 0.7966664774136267, 0.9602898564975363];
const WEIGHTS = [0.362683783378362, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763];
