/**
 * The dense output of a step as the cubic it is: between the ends y0 and y1, u from 0 to 1,
 *
 *   y(u) = y0 + u (y1 - y0 + (1-u) (e1 + u e2))
 *
 * so written that a state at rest stays what it is to the last digit.
 */
export function denseValue(y0: number, y1: number, e1: number, e2: number, u: number): number {
  return y0 + u * (y1 - y0 + (1 - u) * (e1 + u * e2));
}

/** Where inside a step its cubic has a top, as a share of it; 0 where it does not rise at its start and fall at its end. */
export function denseTop(y0: number, y1: number, e1: number, e2: number): number {
  // y'(u) = c + b u + a u^2
  const c = y1 - y0 + e1;
  const b = 2 * (e2 - e1);
  const a = -3 * e2;
  if (c <= 0 || c + b + a >= 0) return 0;
  const q = -0.5 * (b + (b < 0 ? -1 : 1) * Math.sqrt(b * b - 4 * a * c));
  const root = c / q;
  return root > 0 && root < 1 ? root : q / a;
}
