/**
 * What should be said of a floor that is taken to stay open: silt settles on it for as long as it is used, so that a clean floor
 * for life is optimistic.
 *
 * @param openFloorShare  of the floor that still drains, 0 to 1
 * @returns  a sentence, or null for a sealed floor
 * @throws RangeError  when the share is not from 0 to 1
 * @source  common practice; British sizing by the block-storm rule counts the sides alone for this reason
 * @example cloggingNote(0); // => null
 */
export function cloggingNote(openFloorShare: number): string | null {
  if (!(openFloorShare >= 0 && openFloorShare <= 1)) throw new RangeError(`openFloorShare: expected 0 to 1, got ${openFloorShare}`);
  if (openFloorShare === 0) return null;
  const counted = openFloorShare === 1 ? "The floor of the pit is taken to stay clean"
    : `${Math.round(100 * openFloorShare)} percent of the pit's floor is taken to stay open`;
  return `${counted} for life, which is optimistic (common practice): look at "openFloorShare": 0 as well.`;
}
