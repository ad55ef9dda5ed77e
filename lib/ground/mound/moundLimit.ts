/** How high a mound may rise and still be a number. */
export interface MoundLimit {
  /** [m] */
  readonly rise: number;
  readonly because: "half of the saturated thickness" | "the pit's floor";
}

/**
 * The rise above which the linearised mound is no longer a number: half of the saturated thickness, or the pit's floor, where
 * water no longer falls free into the mound.
 *
 * @param ground  thickness above 0, level of the groundwater and of the pit's floor [m]
 * @source  the half is common practice for linearised water tables
 * @example moundLimit({ thickness: 6, level: 44, floor: 46.5 }).rise; // => 2.5
 */
export function moundLimit({ thickness, level, floor }: {
  readonly thickness: number; readonly level: number; readonly floor: number;
}): MoundLimit {
  const toFloor = Math.max(0, floor - level);
  return toFloor < thickness / 2
    ? { rise: toFloor, because: "the pit's floor" }
    : { rise: thickness / 2, because: "half of the saturated thickness" };
}
