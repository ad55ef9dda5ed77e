/**
 * Conductivity against level: layers from the top down, each from its top to the next one's, the first also above.
 */
export interface SoilProfile {
  /** borders between layers, falling [m], one fewer than there are layers */
  readonly borders: readonly number[];
  /** conductivity of each layer, from the top down [m/s] */
  readonly conductivity: readonly number[];
}

/**
 * The profile the water meets: conductivities divided by the factor of safety and by the viscosity of cold water.
 *
 * @param layers  tops fall [m], conductivities [m/s]
 * @param divisor factor of safety times viscosity ratio, above 0
 */
export function soilProfile(
  layers: readonly { readonly top: number; readonly conductivity: number }[], divisor: number,
): SoilProfile {
  return {
    borders: layers.slice(1).map((layer) => layer.top),
    conductivity: layers.map((layer) => layer.conductivity / divisor),
  };
}

/** Conductivity of the soil at a level; at a border that of the layer below [m/s]. */
export function conductivityAt({ borders, conductivity }: SoilProfile, level: number): number {
  let layer = 0;
  while (layer < borders.length && level <= borders[layer]!) layer++;
  return conductivity[layer]!;
}

/** Integral of conductivity over height between two levels, from <= to [m2/s]. */
export function conductivityBetween({ borders, conductivity }: SoilProfile, from: number, to: number): number {
  let sum = 0;
  let top = to;
  for (let layer = 0; layer < conductivity.length && top > from; layer++) {
    const bottom = Math.max(from, borders[layer] ?? -Infinity);
    if (bottom < top) {
      sum += conductivity[layer]! * (top - bottom);
      top = bottom;
    }
  }
  return sum;
}
