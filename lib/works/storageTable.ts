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
 * Tabulates H(V) of a storage curve.
 *
 * @source cubic Hermite interpolation with bisection, any text on numerical analysis
 */
export function storageTable(curve: StorageCurve): StorageTable {
  const { floor, exponent, corners } = curve;
  const top = corners[corners.length - 1]!;
  const rows: number[] = [];
  for (let i = 0; i + 1 < corners.length; i++) {
    const [low, high] = [corners[i]!, corners[i + 1]!];
    if (high - low > SAME_LEVEL) refine(curve, node(curve, low, high), node(curve, high, low), rows);
  }
  const linearBelow = exponent === 1 ? 0 : curve.volume(floor + BOTTOM);
  return {
    floor,
    exponent,
    pieces: Float64Array.from(rows),
    topVolume: curve.volume(top),
    topLevel: top,
    topSlope: 1 / curve.area(top + 1),
    linearBelow,
    bottomSlope: exponent === 1 ? 0 : BOTTOM / linearBelow,
    emptySlope: exponent === 1 ? 1 / curve.area(floor + 1e-9) : 1 / curve.area(floor + Math.max(1e-3, 0.1 * (top - floor))),
  };
}

interface Node {
  readonly level: number;
  readonly w: number;
  /** dH/dw on the side of the piece */
  readonly slope: number;
}

/** A node seen from the piece towards `other`: at a corner the free area jumps, so the slope is taken just inside. */
function node(curve: StorageCurve, level: number, other: number): Node {
  const inside = level + 1e-9 * (other - level);
  const w = raised(curve.volume(level), curve.exponent);
  const probe = curve.exponent !== 1 && level === curve.floor ? level + Math.max(1e-6 * (other - level), BOTTOM) : inside;
  return { level, w, slope: slopeInW(curve, probe) };
}

function slopeInW({ volume, area, exponent }: StorageCurve, level: number): number {
  if (exponent === 1) return 1 / area(level);
  return raised(volume(level), 1 - exponent) / (exponent * area(level));
}

/** v^exponent, without the slow general power for a floor that slopes */
function raised(v: number, exponent: number): number {
  return exponent === 0.5 ? Math.sqrt(v) : exponent === 1 ? v : v ** exponent;
}

/** Adds the cubic between two nodes, or, where it misses the exact curve, those of its two halves. */
function refine(curve: StorageCurve, from: Node, to: Node, rows: number[]): void {
  const piece = hermite(from, to);
  const span = to.w - from.w;
  const misses = [0.1, 0.3, 0.5, 0.7, 0.9].some((share) => levelError(curve, piece, share * span) > LEVEL_ERROR);
  if (misses && to.level - from.level > SAME_LEVEL) {
    const level = (from.level + to.level) / 2;
    const middle = { level, w: raised(curve.volume(level), curve.exponent), slope: slopeInW(curve, level) };
    refine(curve, from, middle, rows);
    refine(curve, middle, to, rows);
  } else {
    for (const each of piece) rows.push(each);
  }
}

function hermite(from: Node, to: Node): [number, number, number, number, number] {
  const h = to.w - from.w;
  const chord = (to.level - from.level) / h;
  const c = (3 * chord - 2 * from.slope - to.slope) / h;
  const d = (from.slope + to.slope - 2 * chord) / (h * h);
  return [from.w, from.level, from.slope, c, d];
}

function levelError(curve: StorageCurve, [w0, h0, b, c, d]: readonly number[], s: number): number {
  const level = h0! + s * (b! + s * (c! + s * d!));
  if (!(level > curve.floor)) return Infinity;
  const w = w0! + s;
  const volume = curve.exponent === 0.5 ? w * w : w ** (1 / curve.exponent);
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
