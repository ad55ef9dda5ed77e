import { waterViscosityRatio } from "../ground/waterViscosity.ts";
import { optionReader } from "../text/optionReader.ts";
import { GRAVITY } from "./gravity.ts";

export interface SettlingGrain {
  /** [m], above 0 */
  readonly diameter: number;
  /** of the grain, above 1000 [kg/m3]; quartz, 2650, where missing */
  readonly density?: number;
  /** of the water, 0 to 40 [degC]; 20 where missing */
  readonly temperature?: number;
}

/**
 * Speed at which a grain of natural sand or silt sinks in still water:
 *
 *   w = R g D^2 / (C1 nu + sqrt(0.75 C2 R g D^3)),     R = density/1000 - 1,   C1 = 18,   C2 = 1.0
 *
 * Stokes' law for the fine, a constant drag for the coarse. Flocs and leaves sink otherwise.
 *
 * @returns [m/s]
 * @throws InputError  with all problems
 * @source  Ferguson & Church, Journal of Sedimentary Research 74(6), 2004, eq. 4; nu is 1.0e-6 m2/s at 20 degC, nominal, and
 *          changes with temperature as the viscosity
 * @example settlingVelocity({ diameter: 0.0002 }); // => 0.02324
 */
export function settlingVelocity(grain: SettlingGrain): number {
  const read = optionReader("settlingVelocity", grain, "The settling velocity cannot be computed:");
  const diameter = read.number("diameter", { above: 0, most: 1 });
  const density = read.has("density") ? read.number("density", { above: WATER, most: 25_000 }) : 2650;
  const temperature = read.has("temperature") ? read.number("temperature", { least: 0, most: 40 }) : 20;
  read.done();
  const weight = (density / WATER - 1) * GRAVITY;
  const viscosity = 1e-6 * waterViscosityRatio(temperature);
  return (weight * diameter ** 2) / (18 * viscosity + Math.sqrt(0.75 * weight * diameter ** 3));
}

/** [kg/m3] */
const WATER = 1000;
