/** A cake of fine solids on a floor, and the soil under it. */
export interface FloorCake {
  /** dry mass laid down on the floor [kg/m2], 0 or more */
  readonly settled: number;
  /** dry mass in a volume of the cake [kg/m3], above 0 */
  readonly density: number;
  /** conductivity of the cake [m/s], above 0 */
  readonly conductivity: number;
  /** conductivity of the soil as the model uses it [m/s], 0 or more */
  readonly soilConductivity: number;
  /** path over which the water loses its head in the soil, that of the model's gradient [m], above 0 */
  readonly path: number;
}

/**
 * What a floor still takes under a cake, as a share of what it took when clean. Two layers in series, by Darcy:
 *
 *   head over both = q (path/K_soil + R),   R = thickness/K_cake,   thickness = settled/density
 *   share = (path/K_soil)/(path/K_soil + R) = 1/(1 + settled/half),   half = density K_cake path/K_soil
 *
 * The model has the clean floor lose a head equal to the path at its full gradient, and in proportion below it, so the share holds
 * for both; its `openFloorShare` is multiplied by it. The same cake costs a fast soil more than a slow one.
 *
 * @returns  above 0, to 1
 * @throws RangeError  for a value outside its bounds
 * @source   Darcy, derived; suction under the cake and the depth of water on it, which help, are left out
 * @example  cakeShare({ settled: 6, density: 600, conductivity: 1e-8, soilConductivity: 2e-6, path: 2 }); // => 0.5
 */
export function cakeShare({ settled, density, conductivity, soilConductivity, path }: FloorCake): number {
  for (const [name, value] of Object.entries({ density, conductivity, path })) {
    if (!(value > 0 && value < Infinity)) throw new RangeError(`${name}: expected more than 0, got ${value}`);
  }
  for (const [name, value] of Object.entries({ settled, soilConductivity })) {
    if (!(value >= 0 && value < Infinity)) throw new RangeError(`${name}: expected 0 or more, got ${value}`);
  }
  return 1 / (1 + (settled * soilConductivity) / (density * conductivity * path));
}
