/** The least of some numbers, Infinity of none; of any number of them, where a call with each as an argument would fail. */
export function leastOf(numbers: Iterable<number>): number {
  let least = Infinity;
  for (const number of numbers) least = Math.min(least, number);
  return least;
}

/** The greatest of some numbers, -Infinity of none. */
export function greatestOf(numbers: Iterable<number>): number {
  let greatest = -Infinity;
  for (const number of numbers) greatest = Math.max(greatest, number);
  return greatest;
}
