import { GRAVITY } from "./gravity.ts";

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
  const K = losses + (2 * GRAVITY * manningN ** 2 * length) / (diameter / 4) ** (4 / 3);
  return [crest, diameter, Math.sqrt((2 * GRAVITY) / K), Math.sqrt(GRAVITY) * diameter ** 2.5, 1 / diameter];
}

/** Levels at which the flow of a row has a corner: its crest, its crown, and where its entrance becomes an orifice [m]. */
export function pipeCorners(table: Float64Array, row: number): number[] {
  const [crest, diameter] = [table[row]!, table[row + 1]!];
  return [crest, crest + diameter, crest + ORIFICE_FROM * diameter];
}

/** depth in diameters from which the entrance works as an orifice */
const ORIFICE_FROM = 1.5;
