import { GRAVITY } from "./gravity.ts";

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

/** Multiplies the conductivity of a row's soil. */
export function scaleWeepHole(table: Float64Array, row: number, factor: number): void {
  table[row + 2]! *= factor;
}
