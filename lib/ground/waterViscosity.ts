import { power } from "../numerics/powers.ts";

/**
 * Dynamic viscosity of water relative to that at 20 degC:
 *
 *   log10(mu/mu20) = (20 - T)/(T + 96) (1.2364 - 1.37e-3 (20 - T) + 5.7e-6 (20 - T)^2)
 *
 * @param temperature [degC], 0 to 40
 * @source Kestin, Sokolov & Wakeham, J. Phys. Chem. Ref. Data 7, 1978; constants from memory
 * @example waterViscosityRatio(20); // => 1
 */
export function waterViscosityRatio(temperature: number): number {
  const below = 20 - temperature;
  return power(10, (below / (temperature + 96)) * (1.2364 - 1.37e-3 * below + 5.7e-6 * below * below));
}
