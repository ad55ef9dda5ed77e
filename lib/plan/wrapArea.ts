/** A block of stone to be wrapped, and the fabric it is wrapped in [m]. */
export interface Wrap {
  readonly length: number;
  readonly width: number;
  readonly depth: number;
  /** at each joint */
  readonly lap: number;
  /** width of the roll, more than the lap */
  readonly roll: number;
}

/**
 * Fabric round a block of stone, floor, sides, top and both ends [m2]: its bare surface, and with laps. A sleeve of girth
 * 2 (width + depth) + lap is laid in strips off the roll, along the block or across it, whichever takes fewer laps; each
 * end piece laps on all its sides.
 *
 *   with laps = (2 (w + d) + lap) L + laps between strips + 2 (w + 2 lap)(d + 2 lap)
 *
 * Cuttings are not counted: how a roll is cut is the layer's art.
 */
export function wrapArea({ length, width, depth, lap, roll }: Wrap): { readonly bare: number; readonly withLaps: number } {
  const girth = 2 * (width + depth) + lap;
  const along = joints(girth, lap, roll) * lap * length;
  const across = joints(length, lap, roll) * lap * girth;
  return {
    bare: 2 * (length * width + length * depth + width * depth),
    withLaps: girth * length + Math.min(along, across) + 2 * (width + 2 * lap) * (depth + 2 * lap),
  };
}

/** Laps between the strips that cover a length: n strips cover n (roll - lap) + lap. */
function joints(length: number, lap: number, roll: number): number {
  // a length that just fits is not to be one strip more by round-off
  return Math.max(0, Math.ceil((length - lap) / (roll - lap) - 1e-9) - 1);
}
