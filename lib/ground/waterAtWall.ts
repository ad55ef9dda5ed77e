/** Water in the ground at a wall. */
export interface WaterAtWall {
  /** of the water table there [m] */
  readonly level: number;
  /** slab above the water table; below 0 where water stands against the wall above the slab [m] */
  readonly belowSlab: number;
  /** slab above the ground that is wet by capillary rise; below 0 where the slab stands in it [m] */
  readonly dampBelowSlab: number;
}

/**
 * Where water stands at a foundation against its slab: the groundwater level, the mound's rise at the wall, and the ground
 * that capillary rise keeps wet above it.
 *
 *   level = groundwater level + rise
 *
 * @param wall  levels and rises as elevations and heights [m]; `capillaryRise` 0 where it is left out
 * @throws RangeError  when anything is not a number
 * @source  by definition
 * @example waterAtWall({ groundwaterLevel: 46, rise: 0.4, slabLevel: 47 }).belowSlab; // => 0.6
 */
export function waterAtWall({ groundwaterLevel, rise, slabLevel, capillaryRise = 0 }: {
  readonly groundwaterLevel: number;
  readonly rise: number;
  readonly slabLevel: number;
  readonly capillaryRise?: number;
}): WaterAtWall {
  for (const [key, value] of Object.entries({ groundwaterLevel, rise, slabLevel, capillaryRise })) {
    if (!Number.isFinite(value)) throw new RangeError(`${key}: expected a number of metres, got ${value}`);
  }
  const level = groundwaterLevel + rise;
  return { level, belowSlab: slabLevel - level, dampBelowSlab: slabLevel - level - capillaryRise };
}
