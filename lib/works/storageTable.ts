import { power } from "../numerics/powers.ts";

/**
 * Level against volume of one body, as a chain of cubics in w = V^exponent. The exponent makes the curve smooth at the
 * bottom: 1 for upright walls, 1/2 where the floor slopes (V grows as depth squared), 1/(1 + 2/p) for a hollow of
 * shape p. Straight stretches are exact; curved ones are refined until H(V) is right to 1e-7 m.
 */
export interface StorageTable {
  readonly floor: number;
  readonly exponent: number;
  /** numbers of the pieces, 5 each: w0, H0, b, c, d with H = H0 + b s + c s^2 + d s^3, s = w - w0 */
  readonly pieces: Float64Array;
  /** above this volume the free area is constant: H = topLevel + (V - topVolume) topSlope, without end */
  readonly topVolume: number;
  readonly topLevel: number;
  readonly topSlope: number;
  /** at or below this volume [m3] the level is taken as a straight line from the floor, where w has no slope in V */
  readonly linearBelow: number;
  /** dH/dV [1/m2] at or below `linearBelow`, and, from the area well above the floor, below an empty body (round-off) */
  readonly bottomSlope: number;
  readonly emptySlope: number;
}

/** A body's exact geometry: what the table is made from and checked against. */
export interface StorageCurve {
  readonly floor: number;
  readonly exponent: number;
  /** levels where the curve has a corner, rising, the floor first; above the last the free area is constant */
  readonly corners: readonly number[];
  /** V(H) [m3] and dV/dH [m2] for levels at or above the floor */
  volume(level: number): number;
  area(level: number): number;
}

const PIECE = 5;
/** how close H(V) is to the exact geometry where a piece is checked: half of what is promised, for between these it may be more [m] */
const LEVEL_ERROR = 5e-8;
/**
 * Depth [m] in which a body that narrows to nothing at its floor is taken as a prism. Without it a trickle through a
 * hole in such a floor has no time constant, since dH/dV has no bound; a tenth of a millimetre is nothing to
 * anybody on site, and less of it would let the last drops in slit pipes and hollows hold up a run for ever.
 */
export const BOTTOM = 1e-4;
/** corners closer than this [m] are one corner written in two ways */
const SAME_LEVEL = 1e-9;

/**
 * Tabulates H(V) of a storage curve, once.
 *
 * @source cubic Hermite interpolation with bisection, any text on numerical analysis
 */
export function storageTable(curve: StorageCurve): StorageTable {
  const known = TABLES.get(curve);
  if (known !== undefined) return known;
  const table = tabulated(curve);
  TABLES.set(curve, table);
  return table;
}

const TABLES = new WeakMap<StorageCurve, StorageTable>();

function tabulated(curve: StorageCurve): StorageTable {
  const spans = spansOf(curve);
  const pieces = new Float64Array(PIECE * spans.length);
  spans.forEach(({ piece }, i) => { pieces.set(piece, PIECE * i); });
  return { floor: curve.floor, exponent: curve.exponent, pieces, ...endsOf(curve.exponent, endSizes(curve)) };
}

/** The stretches between two levels in which one cubic is true enough. */
function spansOf(curve: StorageCurve): Span[] {
  const { corners } = curve;
  const spans: Span[] = [];
  for (let i = 0; i + 1 < corners.length; i++) {
    const [low, high] = [corners[i]!, corners[i + 1]!];
    if (high - low > SAME_LEVEL) refine(curve, node(curve, low, high), node(curve, high, low), spans);
  }
  return spans;
}

/** What a table has beside its pieces, of the volumes and areas that it hangs on. */
function endsOf(
  exponent: number, { topLevel, topVolume, topArea, bottomVolume, emptyArea }: EndSizes,
): Omit<StorageTable, "floor" | "exponent" | "pieces"> {
  const linearBelow = exponent === 1 ? 0 : bottomVolume;
  const bottomSlope = exponent === 1 ? 0 : BOTTOM / linearBelow;
  return { topVolume, topLevel, topSlope: 1 / topArea, linearBelow, bottomSlope, emptySlope: 1 / emptyArea };
}

interface EndSizes {
  readonly topLevel: number;
  readonly topVolume: number;
  /** above the top, and near the floor [m2] */
  readonly topArea: number;
  readonly emptyArea: number;
  /** V at BOTTOM over the floor [m3] */
  readonly bottomVolume: number;
}

function endSizes({ floor, exponent, corners, volume, area }: StorageCurve): EndSizes {
  const topLevel = corners[corners.length - 1]!;
  return {
    topLevel, topVolume: volume(topLevel), topArea: area(topLevel + 1),
    emptyArea: area(floor + (exponent === 1 ? 1e-9 : Math.max(1e-3, 0.1 * (topLevel - floor)))),
    bottomVolume: exponent === 1 ? 0 : volume(floor + BOTTOM),
  };
}

/**
 * Tables of works whose volumes are a straight line in some number, as they are in the stone's porosity, for studies of thousands: volumes
 * and areas are worked out twice, at that number and at another, and the cubics lie between the levels that the first has.
 *
 * @param curves  at 0 and at 1: of one floor, exponent and list of corners
 * @returns       the table at any number, its levels as true as those of `storageTable` within a factor of two where that is -1 to 1
 */
export function straightTables([at0, at1]: readonly [StorageCurve, StorageCurve]): (number: number) => StorageTable {
  const { floor, exponent } = at0;
  const spans = spansOf(at0);
  // by piece: V, V and A where its slope is taken, at its lower and at its upper end
  const places = spans.flatMap(({ from, to }) => [from, to]);
  const sizes = ({ volume, area }: StorageCurve): Float64Array => (
    Float64Array.from(places.flatMap(({ level, probe }) => [volume(level), volume(probe), area(probe)])));
  const [sizes0, sizes1] = [sizes(at0), sizes(at1)];
  const [ends0, ends1] = [endSizes(at0), endSizes(at1)];
  return (number) => {
    const between = (a: number, b: number): number => a + number * (b - a);
    const wOf = (i: number): number => raised(between(sizes0[i]!, sizes1[i]!), exponent);
    const slopeOf = (i: number): number => (
      slope(exponent, between(sizes0[i + 1]!, sizes1[i + 1]!), between(sizes0[i + 2]!, sizes1[i + 2]!)));
    const pieces = new Float64Array(PIECE * spans.length);
    spans.forEach(({ from, to }, p) => {
      putCubic(pieces, PIECE * p, from.level, to.level, wOf(6 * p), wOf(6 * p + 3), slopeOf(6 * p), slopeOf(6 * p + 3));
    });
    const ends = {
      topLevel: ends0.topLevel,
      topVolume: between(ends0.topVolume, ends1.topVolume), topArea: between(ends0.topArea, ends1.topArea),
      emptyArea: between(ends0.emptyArea, ends1.emptyArea), bottomVolume: between(ends0.bottomVolume, ends1.bottomVolume),
    };
    return { floor, exponent, pieces, ...endsOf(exponent, ends) };
  };
}

/** A stretch and the numbers of its cubic. */
interface Span {
  readonly from: Node;
  readonly to: Node;
  readonly piece: Float64Array;
}

interface Node {
  readonly level: number;
  readonly w: number;
  /** dH/dw on the side of the piece, and the level where that is taken */
  readonly slope: number;
  readonly probe: number;
}

/** A node seen from the piece towards `other`: at a corner the free area jumps, so the slope is taken just inside. */
function node(curve: StorageCurve, level: number, other: number): Node {
  const inside = level + 1e-9 * (other - level);
  const probe = curve.exponent !== 1 && level === curve.floor ? level + Math.max(1e-6 * (other - level), BOTTOM) : inside;
  return nodeAt(curve, level, probe);
}

function nodeAt({ volume, area, exponent }: StorageCurve, level: number, probe: number): Node {
  return { level, probe, w: raised(volume(level), exponent), slope: slope(exponent, exponent === 1 ? 0 : volume(probe), area(probe)) };
}

/** dH/dw at a volume and free area */
function slope(exponent: number, volume: number, area: number): number {
  return exponent === 1 ? 1 / area : raised(volume, 1 - exponent) / (exponent * area);
}

/** v^exponent, without the slow general power for a floor that slopes */
function raised(v: number, exponent: number): number {
  return exponent === 0.5 ? Math.sqrt(v) : exponent === 1 ? v : power(v, exponent);
}

/** Adds the cubic between two nodes, or, where it misses the exact curve, those of its two halves. */
function refine(curve: StorageCurve, from: Node, to: Node, spans: Span[]): void {
  const piece = new Float64Array(PIECE);
  putCubic(piece, 0, from.level, to.level, from.w, to.w, from.slope, to.slope);
  const span = to.w - from.w;
  const misses = [0.1, 0.3, 0.5, 0.7, 0.9].some((share) => levelError(curve, piece, share * span) > LEVEL_ERROR);
  if (misses && to.level - from.level > SAME_LEVEL) {
    const level = (from.level + to.level) / 2;
    const middle = nodeAt(curve, level, level);
    refine(curve, from, middle, spans);
    refine(curve, middle, to, spans);
  } else {
    spans.push({ from, to, piece });
  }
}

/** Writes the cubic between two levels at w0 and w1, of the slopes there. */
function putCubic(
  pieces: Float64Array, at: number, low: number, high: number, w0: number, w1: number, slope0: number, slope1: number,
): void {
  const h = w1 - w0;
  const chord = (high - low) / h;
  pieces[at] = w0;
  pieces[at + 1] = low;
  pieces[at + 2] = slope0;
  pieces[at + 3] = (3 * chord - 2 * slope0 - slope1) / h;
  pieces[at + 4] = (slope0 + slope1 - 2 * chord) / (h * h);
}

function levelError(curve: StorageCurve, piece: Float64Array, s: number): number {
  const level = piece[1]! + s * (piece[2]! + s * (piece[3]! + s * piece[4]!));
  if (!(level > curve.floor)) return Infinity;
  const w = piece[0]! + s;
  const volume = curve.exponent === 0.5 ? w * w : power(w, 1 / curve.exponent);
  return Math.abs(curve.volume(level) - volume) / curve.area(level);
}

/** Volume of one body at a level at or above its floor [m3]: the exact geometry, its bottom the prism of the table. */
export function volumeOf(curve: StorageCurve, level: number): number {
  const depth = level - curve.floor;
  if (curve.exponent === 1 || depth >= BOTTOM) return curve.volume(level);
  return (Math.max(0, depth) / BOTTOM) * curve.volume(curve.floor + BOTTOM);
}

/** Level of one body at a volume [m]. */
export function levelAt(table: StorageTable, volume: number): number {
  const { floor, exponent, pieces } = table;
  if (volume <= 0) return floor + volume * table.emptySlope;
  if (volume <= table.linearBelow) return floor + volume * table.bottomSlope;
  if (volume >= table.topVolume) return table.topLevel + (volume - table.topVolume) * table.topSlope;
  const w = raised(volume, exponent);
  let [low, high] = [0, pieces.length / PIECE - 1];
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (pieces[middle * PIECE]! <= w) low = middle;
    else high = middle - 1;
  }
  const at = low * PIECE;
  const s = w - pieces[at]!;
  return pieces[at + 1]! + s * (pieces[at + 2]! + s * (pieces[at + 3]! + s * pieces[at + 4]!));
}
