/**
 * Index of the first of some rising times that is later than a moment; their count where none is.
 *
 * @param count  of the times that are looked through, from the first
 * @example firstAfter([0, 60, 60, 120], 60); // => 3
 */
export function firstAfter(times: ArrayLike<number>, moment: number, count: number = times.length): number {
  let [low, high] = [0, count];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (times[middle]! > moment) high = middle;
    else low = middle + 1;
  }
  return low;
}
