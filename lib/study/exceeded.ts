/** A value of a ranked list and how many years lie between two such on average. */
export interface Exceeded {
  readonly returnPeriod: number;
  readonly value: number;
}

/**
 * The largest of each year, from the largest down, with the return period of its place.
 *
 *   return period of the i-th largest of n = (n + 0.12)/(i - 0.44)
 *
 * @param values  one a year, NaN where a year has none
 * @source  Gringorten, J. Geophysical Research 68, 1963, from memory
 */
export function ranked(values: readonly number[]): Exceeded[] {
  const ordered = values.filter((value) => !Number.isNaN(value)).sort((a, b) => b - a);
  return ordered.map((value, i) => ({ returnPeriod: returnPeriodOf(i + 1, ordered.length), value }));
}

export function returnPeriodOf(place: number, years: number): number {
  return (years + 0.12) / (place - 0.44);
}

/** What is reached once in a number of years, between the two places around it in the logarithm of years. */
export function valueAt(exceeded: readonly Exceeded[], years: number): number {
  const after = exceeded.findIndex(({ returnPeriod }) => returnPeriod <= years);
  if (after < 0) return exceeded.at(-1)!.value;
  const [low, high] = [exceeded[after]!, exceeded[Math.max(0, after - 1)]!];
  if (after === 0) return low.value;
  const share = Math.log(years / low.returnPeriod) / Math.log(high.returnPeriod / low.returnPeriod);
  return low.value + share * (high.value - low.value);
}
