import { FLOOR_FILM, rest, type Passages } from "./flowLaw.ts";

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
export function slopedInflow(passages: Passages, p: number): void {
  const { table, level } = passages;
  const row = passages.row[p]!;
  const H = level[passages.from[p]!]!;
  const G = level[passages.to[p]!]!;
  const lowFloor = table[row]!;
  const highFloor = table[row + 1]!;
  const stretch = table[row + 5]! / (highFloor - lowFloor);
  rest(passages, p);

  const top = Math.min(highFloor, G);
  let low = lowFloor;
  while (low < top) {
    const high = nextCorner(table, row, low, top, H, G);
    const half = (high - low) / 2;
    for (let side = -1; side <= 1; side += 2) {
      const f = low + half + (side * half) / SQRT3;
      addFace(passages, p, f, stretch * half, table[row + 4]! * table[row + 6]!, table[row + 7]!);
    }
    low = high;
  }
  const width = table[row + 4]!;
  if (table[row + 8]! > 0 && G > highFloor) addFace(passages, p, highFloor, width, 0, 1);
  if (table[row + 9]! > 0) addFace(passages, p, lowFloor, width, 0, 1);
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
function addFace(passages: Passages, p: number, f: number, weight: number, floorWidth: number, sides: number): void {
  const { table, level, flow, byFrom, byTo } = passages;
  const row = passages.row[p]!;
  const H = level[passages.from[p]!]!;
  const G = level[passages.to[p]!]!;
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
  flow[p]! += weight * i * s;
  byFrom[p]! += free && H > f ? weight * perPath * s : 0;
  byTo[p]! += weight * ((free ? -perPath * s : 0) + i * ds);
}
