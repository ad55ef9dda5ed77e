import { errorFunction } from "../../numerics/errorFunction.ts";
import { leastOf } from "../../numerics/extremes.ts";
import { gaussLegendre } from "../../numerics/gaussLegendre.ts";
import { optionReader } from "../../text/optionReader.ts";
import { type MoundPit, type MoundPoint, readMoundPit, readMoundPoint } from "./moundPit.ts";

/**
 * Hantush's integral, the shape of a mound under a rectangle, summed over all pairs of arguments, to 2e-12 of 1:
 *
 *   S*(alpha, beta) = integral of erf(alpha/sqrt(T)) erf(beta/sqrt(T)) for T from 0 to 1
 *
 * One S* is odd in either argument and rises to 1; a mound is a sum of four. Far from the pit the four all but cancel, so the
 * error functions are added first, and the product of their sums is integrated. With v = sqrt(T) the integrand is 2 v times
 * that: every erf is 1 below a sixth of the smallest argument, and from there on each doubling of v is integrated by itself.
 *
 * @param alphas  such as (a + x)/sqrt(4 nu t) and (a - x)/sqrt(4 nu t)
 * @param betas   such as (c + y)/sqrt(4 nu t) and (c - y)/sqrt(4 nu t)
 * @source  Hantush, Water Resources Research 3(1), 1967, as stated in USGS SIR 2010-5102 (Carleton) p. 22-25
 * @example hantushIntegral([0.1], [1]); // => 0.198899
 */
export function hantushIntegral(alphas: readonly number[], betas: readonly number[]): number {
  const product = (v: number): number => sumOfErrors(alphas, v) * sumOfErrors(betas, v);
  const smallest = leastOf([...alphas, ...betas].map(Math.abs).filter((argument) => argument > 0));
  const level = Math.min(1, smallest / WHOLE);
  let sum = level * level * product(level);
  for (let top = 1; top > level; top /= 2) sum += gaussLegendre((v) => 2 * v * product(v), Math.max(level, top / 2), top);
  return sum;
}

/** erf(6) is 1 to the last bit. */
const WHOLE = 6;

function sumOfErrors(args: readonly number[], v: number): number {
  let sum = 0;
  for (const argument of args) sum += errorFunction(argument / v);
  return sum;
}

/** A steady recharge over a rectangle, and where and when its mound is asked for; all SI numbers. */
export interface MoundRiseOptions extends MoundPit, MoundPoint {
  /** depth of water that sinks in per time, 0 or more [m/s]; `moundRiseLinear` takes one below 0 too */
  readonly rechargeRate: number;
  /** since the recharge began, 0 or more [s] */
  readonly time: number;
}

/**
 * Rise of the water table under a rectangle with steady recharge, by Hantush's form in h^2 with the mean thickness found by
 * iteration at the same point:
 *
 *   h^2 - h0^2 = w/(2 K) nu t [S*(+,+) + S*(+,-) + S*(-,+) + S*(-,-)]
 *   S*(+-,+-)  = S*((a +- x)/sqrt(4 nu t), (c +- y)/sqrt(4 nu t)),   nu = K b/Sy,   b = (h0 + h)/2
 *
 * It is 2 to 3 percent below a layered numerical model in the example of the source; that is the method's.
 *
 * @returns  h - h0 [m]
 * @throws InputError  with all problems
 * @source  Hantush, Water Resources Research 3(1), 1967, as stated in USGS SIR 2010-5102 (Carleton) p. 22-25
 * @example moundRise({ rechargeRate: 1e-6, halfLength: 5, halfWidth: 5, hydraulicConductivity: 1e-4, thickness: 5,
 *   specificYield: 0.15, time: 86400, x: 0, y: 0 }); // => 0.063417
 */
export function moundRise(options: MoundRiseOptions): number {
  const { pit, point, rechargeRate, time } = readRise("moundRise", options, 0);
  const { thickness, hydraulicConductivity, specificYield } = pit;
  // Each turn halves the distance or better: a thicker aquifer raises h^2 - h0^2 at most in proportion where the rise is not
  // small, and half of the rise goes into the thickness. The turns end at the exactness of the integral, which is a share of
  // the rise that would be if nothing flowed off.
  const enough = 1e-11 * ((rechargeRate * time) / specificYield);
  let rise = 0;
  for (let turn = 0; turn < 200; turn++) {
    const middle = thickness + rise / 2;
    const diffusivity = (hydraulicConductivity * middle) / specificYield;
    const square = ((2 * rechargeRate) / hydraulicConductivity) * diffusivity * responseIntegral(pit, point, diffusivity, time);
    // sqrt(h0^2 + square) - h0 without losing the digits of a small rise
    const next = square / (Math.sqrt(thickness * thickness + square) + thickness);
    if (Math.abs(next - rise) <= 1e-11 * next + enough) return next;
    rise = next;
  }
  throw new Error(`moundRise: expected a mean thickness within 200 turns, got a rise of ${rise} m still moving`);
}

/**
 * Rise of the water table under a rectangle with steady recharge, linearised: nu = K b/Sy with b the thickness as given.
 *
 *   s = w t/(4 Sy) [S*(+,+) + S*(+,-) + S*(-,+) + S*(-,-)]
 *
 * This is the law the time steps carry (`moundModes`); it adds up over recharges and over pits.
 *
 * @returns  [m]
 * @throws InputError  with all problems
 * @source  Hantush, Water Resources Research 3(1), 1967, linearised; time integral of the response of `moundResponse`
 * @example moundRiseLinear({ rechargeRate: 1e-6, halfLength: 5, halfWidth: 5, hydraulicConductivity: 1e-4, thickness: 5,
 *   specificYield: 0.15, time: 86400, x: 0, y: 0 }); // => 0.06372
 */
export function moundRiseLinear(options: MoundRiseOptions): number {
  const { pit, point, rechargeRate, time } = readRise("moundRiseLinear", options, -1);
  const diffusivity = (pit.hydraulicConductivity * pit.thickness) / pit.specificYield;
  return (rechargeRate / pit.specificYield) * responseIntegral(pit, point, diffusivity, time);
}

interface Asked {
  readonly pit: MoundPit;
  readonly point: MoundPoint;
  readonly rechargeRate: number;
  readonly time: number;
}

function readRise(where: string, options: MoundRiseOptions, leastRate: number): Asked {
  const read = optionReader(where, options, "The mound cannot be computed:");
  const asked = {
    pit: readMoundPit(read),
    point: readMoundPoint(read),
    rechargeRate: read.number("rechargeRate", { least: leastRate, most: 1 }),
    time: read.number("time", { least: 0, most: 1e12 }),
  };
  read.done();
  return asked;
}

/** Sy times the integral over time of the response to a unit of recharge: t/4 of the sum of the four S* [s]. */
function responseIntegral({ halfLength, halfWidth }: MoundPit, { x, y }: MoundPoint, diffusivity: number, time: number): number {
  if (time === 0) return 0;
  const reach = Math.sqrt(4 * diffusivity * time);
  const along = [(halfLength + x) / reach, (halfLength - x) / reach];
  const across = [(halfWidth + y) / reach, (halfWidth - y) / reach];
  // Far from the pit round-off may leave a little less than nothing.
  return (time / 4) * Math.max(0, hantushIntegral(along, across));
}
