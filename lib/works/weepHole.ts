import { GRAVITY, rest, passages } from "./flowLaw.ts";
import { smoothRoot, smoothRootSlope } from "./smoothRoot.ts";

const columns = passages;

/** A small hole low in the emitter and the pocket of soil that takes what it passes. */
export interface WeepHoleShape {
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
  const perRoot = 0.6 * (Math.PI / 4) * diameter ** 2 * Math.sqrt(2 * GRAVITY);
  return [Math.max(elevation, floor), perRoot, conductivity * soakArea, 1 / pathLength];
}

/** A hole that no soil holds back: Q = perRoot x/(x^2 + e^2)^(1/4). */
export function openHoleRow(level: number, perRoot: number): number[] {
  return [level, perRoot, Infinity, 1];
}

/**
 * A small hole that drains into a pocket of soil, never back. It passes what the hole passes or what the soil takes (Darcy),
 * whichever is less; G is the groundwater's level, that of the node it runs to:
 *
 *   Q = min( 0.6 pi/4 d^2 sqrt(2g) x/(x^2 + e^2)^(1/4),  i K A ),   x = max(0, Ha - max(z, G)),   i = max(0, min(1, (Ha - G)/path))
 *
 * @source sharp-edged orifice, coefficient 0.6, hydraulics texts; Darcy, gradient as in `seepageFlows`
 */
export function weepHoleFlows(first: number, end: number): void {
  const { table, row, from, to, level, flow, byFrom, byTo } = columns;
  for (let p = first; p < end; p++) {
    const r = row[p]!;
    const H = level[from[p]!]!;
    const G = level[to[p]!]!;
    const z = table[r]!;
    const x = H - (G > z ? G : z);
    if (x <= 0) {
      rest(p);
      continue;
    }
    const perPath = table[r + 3]!;
    const gradient = (H - G) * perPath;
    const passes = table[r + 1]! * smoothRoot(x);
    const takes = table[r + 2]! * (gradient < 1 ? gradient : 1);
    if (passes <= takes) {
      flow[p] = passes;
      byFrom[p] = table[r + 1]! * smoothRootSlope(x);
      byTo[p] = G > z ? -byFrom[p]! : 0;
    } else {
      flow[p] = takes;
      byFrom[p] = gradient < 1 ? table[r + 2]! * perPath : 0;
      byTo[p] = -byFrom[p]!;
    }
  }
}

/** Multiplies the conductivity of a row's soil. */
export function scaleWeepHole(table: Float64Array, row: number, factor: number): void {
  table[row + 2]! *= factor;
}
