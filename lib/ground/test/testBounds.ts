// Bounds far beyond any test in the ground: they catch slips of a unit and keep every number of a result finite.

/** Across a hole or a pit [m]. */
export const HOLE_SIZE = { least: 0.001, most: 100 } as const;

/** Down a hole [m]. */
export const HOLE_DEPTH = { least: 0.001, most: 1000 } as const;

/** How long something took or was watched: from a second to three hundred years [s]. */
export const TEST_TIME = { least: 1, most: 1e10 } as const;

/** Share of voids of the stone that fills a hole; 1 where it is open. */
export const STONE_POROSITY = { least: 0.01, most: 1, missing: 1 } as const;
