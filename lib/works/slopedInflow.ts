import { FLOOR_FILM, rest, passages } from "./flowLaw.ts";

const columns = passages;

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
export function slopedInflow(p: number): void {
  const { table, row, from, to, level } = columns;
  const r = row[p]!;
  const H = level[from[p]!]!;
  const G = level[to[p]!]!;
  const lowFloor = table[r]!;
  const highFloor = table[r + 1]!;
  const stretch = table[r + 5]! / (highFloor - lowFloor);
  rest(p);

  const top = Math.min(highFloor, G);
  let low = lowFloor;
  while (low < top) {
    const high = nextCorner(r, low, top, H, G);
    const half = (high - low) / 2;
    for (let side = -1; side <= 1; side += 2) {
      const f = low + half + (side * half) / SQRT3;
      addFace(p, f, stretch * half, table[r + 4]! * table[r + 6]!, table[r + 7]!);
    }
    low = high;
  }
  const width = table[r + 4]!;
  if (table[r + 8]! > 0 && G > highFloor) addFace(p, highFloor, width, 0, 1);
  if (table[r + 9]! > 0) addFace(p, lowFloor, width, 0, 1);
}

const SQRT3 = Math.sqrt(3);

/** The next floor level above `after`, `end` at the latest, where i(f) s(G, f) has a corner. */
function nextCorner(r: number, after: number, end: number, H: number, G: number): number {
  const { table } = columns;
  const depth = table[r + 3]!;
  let next = nearer(after, end, H);
  next = nearer(after, next, G - 1 / table[r + 2]!);
  next = nearer(after, next, G - FLOOR_FILM);
  next = nearer(after, next, G - depth);
  const layers = r + table[r + 11]!;
  for (let layer = 0; layer < table[r + 10]!; layer++) {
    const border = table[layers + 2 * layer]!;
    next = nearer(after, nearer(after, next, border), border - depth);
  }
  return next;
}

function nearer(after: number, next: number, level: number): number {
  return level > after && level < next ? level : next;
}

/** Adds weight x i(f) s(G, f) and its slopes: `floorWidth` of floor and `sides` upright faces at a local floor f. */
function addFace(p: number, f: number, weight: number, floorWidth: number, sides: number): void {
  const { table, row, from, to, level, flow, byFrom, byTo } = columns;
  const r = row[p]!;
  const H = level[from[p]!]!;
  const G = level[to[p]!]!;
  const perPath = table[r + 2]!;
  const gradient = ((H > f ? H : f) - G) * perPath;
  const free = gradient > -1;
  const i = free ? gradient : -1;
  const stoneTop = f + table[r + 3]!;
  const wet = Math.min(G, stoneTop);
  const y = wet - f;
  const film = y < FLOOR_FILM ? y / FLOOR_FILM : 1;

  let onFloor = 0;
  let behindSides = 0;
  let atTop = 0;
  let upper = Infinity;
  const layers = r + table[r + 11]!;
  for (let layer = 0; layer < table[r + 10]!; layer++) {
    const lower = table[layers + 2 * layer]!;
    const k = table[layers + 2 * layer + 1]!;
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
