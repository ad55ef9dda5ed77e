/** A basin, the flow through it, and a grain that sinks in it. */
export interface SettlingBasin {
  /** speed at which the grain sinks [m/s], 0 or more */
  readonly settling: number;
  /** plan area of the water [m2], above 0 */
  readonly planArea: number;
  /** flow through the basin [m3/s], 0 or more */
  readonly flow: number;
  /** basins in series that it mixes like, 1 or more; Infinity is plug flow, for which the law has a limit; 1 where missing */
  readonly basins?: number;
}

/**
 * Share of the grains of one size that a basin holds back:
 *
 *   E = 1 - (1 + w A/(n Q))^-n,      n -> infinity:  1 - exp(-w A/Q)
 *
 * w the settling speed, A the plan area, Q the flow. Depth does not count. n = 1 is a basin without baffles, poorest of the usual
 * 1 to 5 (from memory). A basin that nothing runs through holds all of it, grains that do not sink pass.
 *
 * @returns  0 to 1
 * @throws RangeError  for a negative speed or flow, an area not above 0, or n below 1
 * @source   Hazen 1904 in the form of the textbooks, from memory; values at w A/Q = 1 derived
 * @example  basinCapture({ settling: 0.01, planArea: 0.5, flow: 0.005, basins: 3 }); // => 0.578125
 */
export function basinCapture({ settling, planArea, flow, basins = 1 }: SettlingBasin): number {
  if (!(basins >= 1)) throw new RangeError(`basins: expected 1 or more, got ${basins}`);
  const load = loadOf(settling, planArea, flow);
  if (load === Infinity) return 1;
  // in this form small loads lose no figures
  return -Math.expm1(basins === Infinity ? -load : -basins * Math.log1p(load / basins));
}

/**
 * The same for an ideal basin in which nothing mixes: E = min(1, w A/Q).
 *
 * @returns  0 to 1
 * @throws RangeError  as `basinCapture`
 * @source   Camp's ideal basin, derivation read on the page of a water-engineering text
 * @example  idealCapture({ settling: 0.01, planArea: 0.25, flow: 0.005 }); // => 0.5
 */
export function idealCapture({ settling, planArea, flow }: Omit<SettlingBasin, "basins">): number {
  return Math.min(1, loadOf(settling, planArea, flow));
}

/**
 * Plan area that a basin in plug flow needs to hold back a share of grains of one size:
 *
 *   A = -(Q/w) ln(1 - E)
 *
 * @param capture  share to be held back, 0 or more and below 1
 * @returns        [m2]
 * @throws RangeError  for a share outside, a negative flow, or a speed not above 0
 * @source   the inverse of `basinCapture` at n = infinity; published for sand filters with E = 0.9, from memory
 * @example  basinArea(0.9, 0.005, 0.01); // => 1.151
 */
export function basinArea(capture: number, flow: number, settling: number): number {
  if (!(capture >= 0 && capture < 1)) throw new RangeError(`capture: expected a share of 0 or more and below 1, got ${capture}`);
  if (!(flow >= 0 && flow < Infinity)) throw new RangeError(`flow: expected 0 m3/s or more, got ${flow}`);
  if (!(settling > 0)) throw new RangeError(`settling: expected more than 0 m/s, got ${settling}`);
  return (-flow / settling) * Math.log1p(-capture);
}

/** Settling speed over the speed Q/A at which the water would have to rise. */
function loadOf(settling: number, planArea: number, flow: number): number {
  if (!(settling >= 0 && settling < Infinity)) throw new RangeError(`settling: expected 0 m/s or more, got ${settling}`);
  if (!(planArea > 0 && planArea < Infinity)) throw new RangeError(`planArea: expected more than 0 m2, got ${planArea}`);
  if (!(flow >= 0 && flow < Infinity)) throw new RangeError(`flow: expected 0 m3/s or more, got ${flow}`);
  return settling === 0 ? 0 : (settling * planArea) / flow;
}
