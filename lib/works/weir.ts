/** coefficient of a broad-crested weir in SI; sqrt(g) (2/3)^1.5 = 1.705 rounded as the trade does */
export const WEIR = 1.7;

/** [level, 1.7 x length] of an edge water spills over */
export function weirRow(level: number, length: number): number[] {
  return [level, WEIR * length];
}

/** [lower end, higher end, 1.7 x 0.8 x length/rise, 1.7 x width at the lower end and at the higher] of a ground that slopes */
export function slopedWeirRow(
  { high, low }: { readonly high: number; readonly low: number }, length: number,
  { atHigh, atLow }: { readonly atHigh: number; readonly atLow: number },
): number[] {
  const [foot, head] = [Math.min(high, low), Math.max(high, low)];
  const [atFoot, atHead] = low <= high ? [atLow, atHigh] : [atHigh, atLow];
  return [foot, head, (0.8 * WEIR * length) / (head - foot), WEIR * atFoot, WEIR * atHead];
}
