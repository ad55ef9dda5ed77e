import type { StorageCurve } from "./storageTable.ts";

/**
 * Storage of a body with upright walls whose free plan area changes only at given levels: a settling box (one area), a
 * chamber bank (stone, chambers of several heights, the cover above).
 *
 *   V(H) = sum over the layers below H of area x height
 *
 * @param steps  free plan areas [m2], each from its level [m] up to the next; levels rise, the first is the floor
 */
export function prismStorage(steps: readonly { readonly level: number; readonly area: number }[]): StorageCurve {
  const corners = steps.map((step) => step.level);
  const below: number[] = [0];
  for (let i = 1; i < steps.length; i++) {
    below.push(below[i - 1]! + steps[i - 1]!.area * (steps[i]!.level - steps[i - 1]!.level));
  }
  const layerAt = (level: number): number => {
    let i = 0;
    while (i + 1 < steps.length && level >= corners[i + 1]!) i++;
    return i;
  };
  return {
    floor: corners[0]!,
    exponent: 1,
    corners,
    volume(level) {
      const i = layerAt(level);
      return below[i]! + steps[i]!.area * (level - corners[i]!);
    },
    area: (level) => steps[layerAt(level)]!.area,
  };
}
