/**
 * Straight lines through points, the first and last going on beyond.
 *
 * @param at      rising places, one or more
 * @param values  as many; of one point its value everywhere
 * @example straightThrough([0, 1, 2], [0, 10, 30], 3); // => 50
 */
export function straightThrough(at: readonly number[], values: readonly number[], place: number): number {
  if (at.length === 1) return values[0]!;
  let i = 1;
  while (i < at.length - 1 && at[i]! < place) i++;
  const share = (place - at[i - 1]!) / (at[i]! - at[i - 1]!);
  return values[i - 1]! + share * (values[i]! - values[i - 1]!);
}
