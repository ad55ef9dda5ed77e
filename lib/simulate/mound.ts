import { moundModes } from "../ground/mound/moundModes.ts";
import type { Site } from "../site/site.ts";
import { LAW, type Network } from "./network.ts";
import { volumeAt, type Trajectory } from "./trajectory.ts";

/**
 * The mound that the bank's seepage builds under it, as linear states beside the volumes (see `moundModes`):
 *
 *   y_k' = w - y_k / T_k,     w = bank's net seepage / plan area,     rise = sum of c_k y_k
 */
export interface Mound {
  /** the bank and its seepage, as indices of the network's bodies and passages */
  readonly body: number;
  readonly passage: number;
  /** plan area of the bank [m2] */
  readonly planArea: number;
  /** T_k [s] */
  readonly timeConstants: Float64Array;
  /** c_k at the pit's centre, where the rise lifts the bank's groundwater, and at the named place */
  readonly centre: Float64Array;
  readonly offset: Float64Array;
}

/** The mound of a site for runs up to `until` [s]; null without one. The last one fitted for a network is kept. */
export function moundOf(network: Network, site: Site, until: number): Mound | null {
  const { mounding } = site.groundwater;
  if (mounding === null) return null;
  const known = MOUNDS.get(network);
  if (known !== undefined && known.until === until) return known.mound;
  const { length, width } = site.chamberBank;
  const { timeConstants, coefficients } = moundModes({
    halfLength: length / 2,
    halfWidth: width / 2,
    hydraulicConductivity: mounding.conductivity,
    thickness: mounding.thickness,
    specificYield: mounding.specificYield,
    points: [{ x: 0, y: 0 }, mounding.at],
    until: Math.max(1, until),
  });
  const count = timeConstants.length;
  const body = network.bodies.findIndex(({ kind }) => kind === "bank");
  const mound = {
    body,
    passage: network.passages.findIndex(({ law, from }) => law === LAW.seepage && from === body),
    planArea: length * width,
    timeConstants,
    centre: coefficients.subarray(0, count),
    offset: coefficients.subarray(count),
  };
  MOUNDS.set(network, { until, mound });
  return mound;
}

const MOUNDS = new WeakMap<Network, { readonly until: number; readonly mound: Mound }>();

/** Rise of the water table [m] at a time [s], by the coefficients of a place; the modes follow the volumes in a trajectory. */
export function riseAt(trajectory: Trajectory, { timeConstants }: Mound, coefficients: Float64Array, time: number): number {
  const first = trajectory.size - timeConstants.length;
  return coefficients.reduce((sum, c, k) => sum + c * volumeAt(trajectory, first + k, time), 0);
}
