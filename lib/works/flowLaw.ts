/**
 * Every passage's law has one signature: it reads its numbers from `row` on in a flat table and the water levels at its
 * two ends, and writes into `out` the flow from a to b and its slopes:
 *
 *   out[0] = Q [m3/s]     out[1] = dQ/dHa     out[2] = dQ/dHb [m2/s]
 *
 * A `...Row` function beside each law makes the numbers, once a site. Flows rise with Ha and fall with Hb.
 */
export type FlowLaw = (table: Float64Array, row: number, Ha: number, Hb: number, out: Float64Array) => void;

/** acceleration of gravity [m/s2] */
export const GRAVITY = 9.80665;

/** head [m] within which the square root of a head difference is made smooth at rest, so that level bodies do not ring */
export const REST = 1e-3;

/** depth [m] over which a wetted floor comes into play, so that a dry body stays at rest */
export const FLOOR_FILM = 1e-3;
