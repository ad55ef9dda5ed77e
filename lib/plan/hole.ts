import { greatestOf } from "../numerics/extremes.ts";

/** A hole with upright walls and a floor that runs straight from one end to the other [m, m3]. */
export interface Hole {
  readonly kind: "box" | "pit" | "trench" | "pipe";
  readonly name: string;
  readonly length: number;
  readonly width: number;
  /** levels of the ground and of its floor at its two ends */
  readonly ends: readonly [start: HoleEnd, end: HoleEnd];
  /** from the ground to its floor, at its two ends; 0 where the floor comes out over the ground */
  readonly depths: readonly [start: number, end: number];
  readonly volume: number;
  readonly back: Backfill;
}

/** Levels at an end of a hole [m]. */
export interface HoleEnd {
  readonly ground: number;
  readonly floor: number;
}

/** The end at which a hole is deepest. */
export function deepEnd({ ends, depths: [start, end] }: Pick<Hole, "ends" | "depths">): HoleEnd {
  return start < end ? ends[1] : ends[0];
}

/** What fills a hole again; together its volume [m3], and its surface [m2]. */
export interface Backfill {
  /** what stands in it below the ground: a box, a pipe, stone with chambers */
  readonly taken: number;
  /** bed under a box or a pipe: stone or sand */
  readonly bed: number;
  /** firm soil up to the turf */
  readonly soil: number;
  readonly turf: number;
  /** surface to be turfed */
  readonly turfArea: number;
}

/** Deepest floor of a hole below its ground [m]. */
export function deepest({ depths }: Hole): number {
  return greatestOf(depths);
}

/** Volume over an area of a depth that runs straight from one end to the other, where it is a depth [m3]. */
export function prism(area: number, [start, end]: readonly [number, number]): number {
  return area * positiveMean(start, end);
}

/** Soil and turf over something: turf on top, as thick as there is room for. */
export function underTurf(
  area: number, [start, end]: readonly [number, number], turfThickness: number,
): Pick<Backfill, "soil" | "turf" | "turfArea"> {
  const soil = prism(area, [start - turfThickness, end - turfThickness]);
  return { soil, turf: prism(area, [start, end]) - soil, turfArea: start > 0 || end > 0 ? area : 0 };
}

/**
 * Mean over a length of what lies above nothing, of a depth that runs straight from one end to the other:
 *
 *   (a + b)/2  where both are 0 or more,   a^2 / (2 (a - b))  where b is less,   0 where both are
 *
 * @example positiveMean(1, -1); // => 0.25
 */
export function positiveMean(a: number, b: number): number {
  const [low, high] = [Math.min(a, b), Math.max(a, b)];
  if (high <= 0) return 0;
  return low >= 0 ? (low + high) / 2 : (high * high) / (2 * (high - low));
}
