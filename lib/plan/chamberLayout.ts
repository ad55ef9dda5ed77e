import { greatestOf } from "../numerics/extremes.ts";
import type { ChamberBank } from "../site/site.ts";

/** Where the chambers stand in a pit: rows along its length, counted from its first corner [m]. */
export interface ChamberLayout {
  /** middles of the chambers, along the length and along the width, with their outside diameter */
  readonly at: readonly { readonly along: number; readonly across: number; readonly diameter: number }[];
  /** how many stand along the length, and how many rows there are */
  readonly along: number;
  readonly rows: number;
  /** clear gaps between chambers, and from the outer ones to the pit's wall; null where there is no second one */
  readonly gapAlong: number | null;
  readonly gapAcross: number | null;
  readonly wallAlong: number;
  readonly wallAcross: number;
  /** whether they all have room with the gap that the file asks for */
  readonly fits: boolean;
  /** the pit in which this grid would just stand, wall to wall, with the gap that the file asks for */
  readonly least: { readonly length: number; readonly width: number };
}

/**
 * A grid for the chambers of a pit: of all grids that hold them, the one whose smallest clear gap is largest, gaps and margins even; with a
 * gap from the file, that gap and even margins. Chambers of several sizes stand on the grid of the largest. Null without chambers.
 *
 *   even gap = (length - m D) / (m + 1)
 *
 * @example chamberLayout({ length: 4, width: 2, chambers: [{ count: 2, outsideDiameter: 1, gap: null }] })?.rows; // => 1
 */
export function chamberLayout(
  { length, width, chambers }: Pick<ChamberBank, "length" | "width"> & { readonly chambers: readonly Pick<ChamberBank["chambers"][number], "count" | "outsideDiameter" | "gap">[] },
): ChamberLayout | null {
  const diameters = chambers.flatMap(({ count, outsideDiameter }) => Array.from({ length: count }, () => outsideDiameter));
  if (diameters.length === 0) return null;
  const largest = greatestOf(diameters);
  const asked = chambers.reduce<number | null>((most, { gap }) => (gap === null ? most : Math.max(most ?? 0, gap)), null);
  const grids = Array.from({ length: diameters.length }, (_, i) =>
    gridOf(i + 1, Math.ceil(diameters.length / (i + 1)), largest, length, width, asked));
  const best = grids.reduce((most, grid) => (grid.least > most.least + 1e-9 ? grid : most));
  const { along, rows, stepAlong, stepAcross, wallAlong, wallAcross } = best;
  return {
    at: diameters.map((diameter, i) => ({
      along: wallAlong + largest / 2 + (i % along) * stepAlong, across: wallAcross + largest / 2 + Math.floor(i / along) * stepAcross,
        diameter,
    })),
    along, rows, wallAlong, wallAcross,
    gapAlong: along > 1 ? stepAlong - largest : null, gapAcross: rows > 1 ? stepAcross - largest : null,
    fits: best.least > -1e-9,
    least: { length: along * largest + (along - 1) * (asked ?? 0), width: rows * largest + (rows - 1) * (asked ?? 0) },
  };
}

interface Grid {
  readonly along: number;
  readonly rows: number;
  readonly stepAlong: number;
  readonly stepAcross: number;
  readonly wallAlong: number;
  readonly wallAcross: number;
  /** the smallest of its gaps and margins */
  readonly least: number;
}

function gridOf(along: number, rows: number, diameter: number, length: number, width: number, asked: number | null): Grid {
  const one = (count: number, room: number): { step: number; wall: number; least: number } => {
    const even = (room - count * diameter) / (count + 1);
    if (asked === null || count === 1) return { step: diameter + even, wall: even, least: even };
    const wall = (room - count * diameter - (count - 1) * asked) / 2;
    return { step: diameter + asked, wall, least: wall };
  };
  const [a, b] = [one(along, length), one(rows, width)];
  return { along, rows, stepAlong: a.step, stepAcross: b.step, wallAlong: a.wall, wallAcross: b.wall, least: Math.min(a.least, b.least) };
}
