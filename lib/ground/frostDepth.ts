/** A winter and the soil it freezes. */
export interface FrozenGround {
  /** freezing index of the air: the sum of its degree days below 0 degC [degC s], 0 or more */
  readonly freezingIndex: number;
  /** freezing index of the surface over that of the air, 0 or more; 1, bare ground, where missing */
  readonly surfaceFactor?: number;
  /** thermal conductivity of the frozen soil [W/(m K)], above 0 */
  readonly conductivity: number;
  /** dry density of the soil [kg/m3], above 0 */
  readonly dryDensity: number;
  /** water of the soil as a share of its dry mass, above 0 */
  readonly moisture: number;
}

/**
 * Depth to which the ground freezes in a winter, by Stefan's law:
 *
 *   x = sqrt(2 k n I / L),      L = 334 kJ/kg x moisture x dry density
 *
 * Only the latent heat of the soil's water counts: the soil's own heat is left out, so that x is too deep, by up to a third in a
 * mild winter (from memory). Snow left lying, turf and the warmth of the water make it shallower still.
 *
 * @returns  [m]
 * @throws RangeError  for a value outside its bounds
 * @source   Stefan 1890 as in the textbooks of frozen ground, from memory; latent heat of ice 334 kJ/kg
 * @example  frostDepth({ freezingIndex: 400 * 86400, conductivity: 1.8, dryDensity: 1600, moisture: 0.15 }); // => 1.246
 */
export function frostDepth({ freezingIndex, surfaceFactor = 1, conductivity, dryDensity, moisture }: FrozenGround): number {
  for (const [name, value] of Object.entries({ conductivity, dryDensity, moisture })) {
    if (!(value > 0 && value < Infinity)) throw new RangeError(`${name}: expected more than 0, got ${value}`);
  }
  for (const [name, value] of Object.entries({ freezingIndex, surfaceFactor })) {
    if (!(value >= 0 && value < Infinity)) throw new RangeError(`${name}: expected 0 or more, got ${value}`);
  }
  return Math.sqrt((2 * conductivity * surfaceFactor * freezingIndex) / (ICE_HEAT * moisture * dryDensity));
}

/** latent heat of ice [J/kg] */
const ICE_HEAT = 334_000;
