/** The most nodes and passages that works may have, and the most numbers of all their laws. */
export const MOST_NODES = 1025;
export const MOST_PASSAGES = 4096;
export const MOST_LAW_NUMBERS = 262_144;

/**
 * All passages of the works as columns: place p of each array belongs to passage p. A law reads the levels at the two ends
 * of its passages and writes what flows and how that changes:
 *
 *   flow[p] = Q [m3/s]     byFrom[p] = dQ/dHa     byTo[p] = dQ/dHb [m2/s]      Ha = level[from[p]], Hb = level[to[p]]
 *
 * Flows rise with Ha and fall with Hb.
 *
 * There is one set of columns, made with this module and loaded anew for every run, like `stepWork` and for the same reason.
 */
export interface Passages {
  /** the numbers of all laws, one row after the other; passage p's begin at row[p]: a `...Row` function beside each law makes them */
  readonly table: Float64Array;
  readonly row: Int32Array;
  /** the nodes it takes from and runs into */
  readonly from: Int32Array;
  readonly to: Int32Array;
  /** water level of each node [m], -Infinity where it has no say; and of bodies dH/dV [1/m2] */
  readonly level: Float64Array;
  readonly levelSlope: Float64Array;
  readonly flow: Float64Array;
  readonly byFrom: Float64Array;
  readonly byTo: Float64Array;
}

export const passages: Passages = {
  table: new Float64Array(MOST_LAW_NUMBERS),
  row: new Int32Array(MOST_PASSAGES),
  from: new Int32Array(MOST_PASSAGES),
  to: new Int32Array(MOST_PASSAGES),
  level: new Float64Array(MOST_NODES),
  levelSlope: new Float64Array(MOST_NODES),
  flow: new Float64Array(MOST_PASSAGES),
  byFrom: new Float64Array(MOST_PASSAGES),
  byTo: new Float64Array(MOST_PASSAGES),
};

/**
 * The law of the passages `first` to `end - 1`. It loops by itself and takes its numbers from the columns: a number handed to a
 * function is put on the heap first, and that would cost more than the law.
 */
export type FlowLaw = (first: number, end: number) => void;

/** A passage in which nothing moves. */
export function rest(p: number): void {
  const { flow, byFrom, byTo } = passages;
  flow[p] = 0;
  byFrom[p] = 0;
  byTo[p] = 0;
}

/** acceleration of gravity [m/s2] */
export const GRAVITY = 9.80665;

/** head [m] within which the square root of a head difference is made smooth at rest, so that level bodies do not ring */
export const REST = 1e-3;

/** depth [m] over which a wetted floor comes into play, so that a dry body stays at rest */
export const FLOOR_FILM = 1e-3;
