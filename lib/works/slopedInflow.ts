import { FLOOR_FILM } from "./flowLaw.ts";

/**
 * Seepage of a body whose floor falls while the groundwater stands above its water: the gradient then differs along it,
 *
 *   Q = (L/fall) integral of i(f) s(G, f) df over the floors f below G, and the end faces with their own i
 *   i(f) = max(-1, (max(H, f) - G)/path),   s(G, f) = w K(f) min(1, y/d) + 2 integral of K dz from f to f + y
 *   y = min(G, f + depth) - f
 *
 * Between corners the integrand is a polynomial of degree 2, so two Gauss points a piece are exact. The rows are those of
 * `seepageRow`.
 */
export function slopedInflow(table: Float64Array, row: number, H: number, G: number, out: Float64Array): void {
  const lowFloor = table[row]!;
  const highFloor = table[row + 1]!;
  const stretch = table[row + 5]! / (highFloor - lowFloor);
  out[0] = out[1] = out[2] = 0;

  const top = Math.min(highFloor, G);
  let from = lowFloor;
  while (from < top) {
    const to = nextCorner(table, row, from, top, H, G);
    const half = (to - from) / 2;
    for (let side = -1; side <= 1; side += 2) {
      const f = from + half + (side * half) / SQRT3;
      addFace(table, row, f, H, G, stretch * half, table[row + 4]! * table[row + 6]!, table[row + 7]!, out);
    }
    from = to;
  }
  const width = table[row + 4]!;
  if (table[row + 8]! > 0 && G > highFloor) addFace(table, row, highFloor, H, G, width, 0, 1, out);
  if (table[row + 9]! > 0) addFace(table, row, lowFloor, H, G, width, 0, 1, out);
}

const SQRT3 = Math.sqrt(3);

/** The next floor level above `after`, `end` at the latest, where i(f) s(G, f) has a corner. */
function nextCorner(table: Float64Array, row: number, after: number, end: number, H: number, G: number): number {
  const depth = table[row + 3]!;
  let next = nearer(after, end, H);
  next = nearer(after, next, G - 1 / table[row + 2]!);
  next = nearer(after, next, G - FLOOR_FILM);
  next = nearer(after, next, G - depth);
  for (let layer = 0, layers = table[row + 10]!; layer < layers; layer++) {
    const border = table[row + 12 + 2 * layer]!;
    next = nearer(after, nearer(after, next, border), border - depth);
  }
  return next;
}

function nearer(after: number, next: number, level: number): number {
  return level > after && level < next ? level : next;
}

/** Adds weight x i(f) s(G, f) and its slopes: `floorWidth` of floor and `sides` upright faces at a local floor f. */
function addFace(
  table: Float64Array, row: number, f: number, H: number, G: number,
  weight: number, floorWidth: number, sides: number, out: Float64Array,
): void {
  const perPath = table[row + 2]!;
  const gradient = ((H > f ? H : f) - G) * perPath;
  const free = gradient > -1;
  const i = free ? gradient : -1;
  const stoneTop = f + table[row + 3]!;
  const wet = Math.min(G, stoneTop);
  const y = wet - f;
  const film = y < FLOOR_FILM ? y / FLOOR_FILM : 1;

  let onFloor = 0;
  let behindSides = 0;
  let atTop = 0;
  let upper = Infinity;
  for (let layer = 0, layers = table[row + 10]!; layer < layers; layer++) {
    const lower = table[row + 12 + 2 * layer]!;
    const k = table[row + 13 + 2 * layer]!;
    if (f > lower && f <= upper) onFloor = k;
    behindSides += k * Math.max(0, Math.min(wet, upper) - Math.max(f, lower));
    if (wet > lower && wet <= upper) atTop = k;
    upper = lower;
  }
  const s = floorWidth * onFloor * film + sides * behindSides;
  const ds = G < stoneTop ? (film < 1 ? (floorWidth * onFloor) / FLOOR_FILM : 0) + sides * atTop : 0;
  out[0]! += weight * i * s;
  out[1]! += free && H > f ? weight * perPath * s : 0;
  out[2]! += weight * ((free ? -perPath * s : 0) + i * ds);
}
