/**
 * A number as a picture carries it: to four decimals of its axis' unit, far below a pixel, so that a page of pictures
 * stays light.
 *
 * @example shortNumber(1 / 3); // => 0.3333
 */
export function shortNumber(value: number): number {
  return Math.round(value * 1e4) / 1e4;
}
