import { power } from "../numerics/powers.ts";
import { GRAVITY } from "./gravity.ts";
import { hollowBottom } from "./hollowStorage.ts";

/** coefficient of a broad-crested weir in SI; sqrt(g) (2/3)^1.5 = 1.705 rounded as the trade does */
export const WEIR = 1.7;

/** [level, 1.7 x length] of an edge water spills over */
export function weirRow(level: number, length: number): number[] {
  return [level, WEIR * length];
}

/** [lower end, higher end, 1.7 x 0.8 x length/rise, 1.7 x width at the lower end and at the higher] of a ground that slopes */
export function slopedWeirRow(
  { high, low }: { readonly high: number; readonly low: number }, length: number,
  { atHigh, atLow }: { readonly atHigh: number; readonly atLow: number },
): number[] {
  const [foot, head] = [Math.min(high, low), Math.max(high, low)];
  const [atFoot, atHead] = low <= high ? [atLow, atHigh] : [atHigh, atLow];
  return [foot, head, (0.8 * WEIR * length) / (head - foot), WEIR * atFoot, WEIR * atHead];
}

/** head [m] within which the square root of a head difference is made smooth at rest, so that level bodies do not ring */
const REST = 1e-3;

/** Square root of a head difference with its sign, made smooth at rest: r(x) = x / (x^2 + e^2)^(1/4), e = 1 mm. */
export function smoothRoot(x: number): number {
  return x / Math.sqrt(Math.sqrt(x * x + REST * REST));
}

export interface PipeShape {
  readonly diameter: number;
  /** level both ends must be overtopped at: the higher of the two inverts [m] */
  readonly crest: number;
  readonly length: number;
  readonly manningN: number;
  /** entrance, exit and bend losses together, in velocity heads */
  readonly losses: number;
}

/** [crest, diameter, sqrt(2g/K), sqrt(g) D^2.5, 1/D], with K the losses and Manning's friction of the full pipe. */
export function pipeRow({ diameter, crest, length, manningN, losses }: PipeShape): number[] {
  const K = losses + (2 * GRAVITY * (manningN * manningN) * length) / power(diameter / 4, 4 / 3);
  return [crest, diameter, Math.sqrt((2 * GRAVITY) / K), Math.sqrt(GRAVITY) * power(diameter, 2.5), 1 / diameter];
}

/** Levels at which the flow of a row has a corner: its crest, its crown, and where its entrance becomes an orifice [m]. */
export function pipeCorners(table: Float64Array, row: number): number[] {
  const [crest, diameter] = [table[row]!, table[row + 1]!];
  return [crest, crest + diameter, crest + ORIFICE_FROM * diameter];
}

/** depth in diameters from which the entrance works as an orifice */
const ORIFICE_FROM = 1.5;

/** [ground, K_c A_plan / t_c] of soil and turf over a body */
export function coverRow(ground: number, conductivity: number, planArea: number, thickness: number): number[] {
  return [ground, (conductivity * planArea) / thickness];
}

/** [level, 1.7 perimeter, 0.6 area sqrt(2g)] */
export function grateRow(level: number, perimeter: number, area: number): number[] {
  return [level, WEIR * perimeter, 0.6 * area * Math.sqrt(2 * GRAVITY)];
}

/** [inside invert at the low end, 0.6 a L sqrt(2g), inside diameter] */
export function slitsRow(invert: number, openArea: number, length: number, diameter: number): number[] {
  return [invert, 0.6 * openArea * length * Math.sqrt(2 * GRAVITY), diameter];
}

/** [low floor of the upper segment, k_s w / L_r, stone depth] */
export function stoneBorderRow(floor: number, conductivity: number, width: number, length: number, depth: number): number[] {
  return [floor, (conductivity * width) / length, depth];
}

/** [crest or fixed tailwater, whichever is higher; 1.7 pi D; 0.6 pi/4 D^2 sqrt(2g)] */
export function emitterRow(crest: number, tailwater: number | null, diameter: number): number[] {
  return [
    Math.max(crest, tailwater ?? -Infinity),
    WEIR * Math.PI * diameter,
    0.6 * (Math.PI / 4) * (diameter * diameter) * Math.sqrt(2 * GRAVITY),
  ];
}

/** Levels at which the flow of a row has a corner: the sill, and where the weir round it becomes an orifice [m]. */
export function emitterCorners(table: Float64Array, row: number): number[] {
  return [table[row]!, table[row]! + table[row + 2]! / table[row + 1]!];
}

/** [floor, 1/path, conductivity, lip, A1 / h1^(2/p), 2/p, depth below which volume and area are straight lines] */
export function hollowSeepageRow(
  hollow: { readonly floor: number; readonly depth: number; readonly area: number; readonly shape: number; readonly lip: number },
  conductivity: number, pathLength: number,
): number[] {
  const exponent = 2 / hollow.shape;
  const grows = hollow.area / power(hollow.depth, exponent);
  return [hollow.floor, 1 / pathLength, conductivity, hollow.lip, grows, exponent, hollowBottom(hollow)];
}

/** Multiplies the conductivity of a row. */
export function scaleHollowSeepage(table: Float64Array, row: number, factor: number): void {
  table[row + 2]! *= factor;
}

/** A small hole low in the emitter and the pocket of soil that takes what it passes. */
interface WeepHoleShape {
  readonly elevation: number;
  readonly diameter: number;
  /** lowest level of the body it drains: it cannot drain that further [m] */
  readonly floor: number;
  /** area of soil that the pocket wets [m2] and its conductivity [m/s] */
  readonly soakArea: number;
  readonly conductivity: number;
  /** distance over which the head to the groundwater is lost [m] */
  readonly pathLength: number;
}

/** [level it drains down to, 0.6 pi/4 d^2 sqrt(2g), K A, 1/path] */
export function weepHoleRow({ elevation, diameter, floor, soakArea, conductivity, pathLength }: WeepHoleShape): number[] {
  const perRoot = 0.6 * (Math.PI / 4) * (diameter * diameter) * Math.sqrt(2 * GRAVITY);
  return [Math.max(elevation, floor), perRoot, conductivity * soakArea, 1 / pathLength];
}

/** A hole that no soil holds back: Q = perRoot x/(x^2 + e^2)^(1/4). */
export function openHoleRow(level: number, perRoot: number): number[] {
  return [level, perRoot, Infinity, 1];
}

/** Multiplies the conductivity of a row's soil. */
export function scaleWeepHole(table: Float64Array, row: number, factor: number): void {
  table[row + 2]! *= factor;
}
