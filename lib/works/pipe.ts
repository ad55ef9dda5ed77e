import { leastSegmentArea, segmentArea, segmentWidth } from "./circle.ts";
import { GRAVITY, rest, REST, passages } from "./flowLaw.ts";

const columns = passages;

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

/**
 * Flow of a pipe between two bodies, either way round. Two limits, the smaller holds: the pipe running full, and its
 * entrance, where flow is critical.
 *
 *   E = max(H, z),  d = max(Ea, Eb) - z,  x = Ea - Eb                                     z the crest
 *   Q_full     = seg(D, d) sqrt(2g/K) |x| / (x^2 + e^2)^(1/4),   K = losses + 2 g n^2 L / (D/4)^(4/3)
 *   Q_entrance = sqrt(g) D^2.5 c(d/D),   c(r) = 0.5 r^2 (1 - 0.277 r) to r = 1.5, then c(1.5) sqrt(r - 1/2)
 *
 * @source  full pipe: Manning's friction and velocity-head losses, hydraulics texts; entrance: critical flow in a
 *          circle with an entry loss of 0.5, fitted to 3 %; up to a fifth below the inlet-control relations of FHWA HDS-5
 *          (their coefficients from memory)
 */
export function pipeFlows(first: number, end: number): void {
  const { table, row, from, to, level, flow, byFrom, byTo } = columns;
  for (let p = first; p < end; p++) {
    const r0 = row[p]!;
    const crest = table[r0]!;
    const Ha = level[from[p]!]!;
    const Hb = level[to[p]!]!;
    if (Ha <= crest && Hb <= crest) {
      rest(p);
      continue;
    }
    const diameter = table[r0 + 1]!;
    const c = table[r0 + 2]!;
    const scale = table[r0 + 3]!;
    const perDiameter = table[r0 + 4]!;
    const forward = Ha >= Hb;
    const up = forward ? Ha : Hb;
    const down = forward ? Hb : Ha;
    const d = up - crest;
    const x = down > crest ? up - down : d;

    // the root of the head difference, smooth at rest, and its slope: `smoothRoot` and `smoothRootSlope` in one
    const square = x * x + REST * REST;
    const fourth = Math.sqrt(Math.sqrt(square));
    const root = x / fourth;

    const r = d * perDiameter;
    const entrance = scale * (r <= ORIFICE_FROM ? 0.5 * r * r * (1 - 0.277 * r) : ORIFICE_COEFFICIENT * Math.sqrt(r - 0.5));
    // most often the entrance governs by far, and the area need not be known
    const atEntrance = c * leastSegmentArea(diameter, r) * root > entrance;
    const area = atEntrance ? Infinity : segmentArea(diameter, d);

    // slopes with the upper level, and with the lower one where that is above the crest
    let q = entrance;
    let byUpper = 0;
    let byLower = 0;
    if (c * area * root <= entrance) {
      const byHead = (c * area * (0.5 * x * x + REST * REST)) / (square * fourth);
      q = c * area * root;
      byUpper = c * segmentWidth(diameter, d) * root + byHead;
      byLower = down > crest ? -byHead : 0;
    } else if (r <= ORIFICE_FROM) {
      byUpper = scale * perDiameter * r * (1 - 0.4155 * r);
    } else {
      byUpper = (0.5 * entrance * perDiameter) / (r - 0.5);
    }
    flow[p] = forward ? q : -q;
    byFrom[p] = forward ? byUpper : -byLower;
    byTo[p] = forward ? byLower : -byUpper;
  }
}

/** Levels at which the flow of a row has a corner: its crest, its crown, and where its entrance becomes an orifice [m]. */
export function pipeCorners(table: Float64Array, row: number): number[] {
  const [crest, diameter] = [table[row]!, table[row + 1]!];
  return [crest, crest + diameter, crest + ORIFICE_FROM * diameter];
}

/** depth in diameters from which the entrance works as an orifice, and c there divided by the root of its head */
const ORIFICE_FROM = 1.5;
const ORIFICE_COEFFICIENT = 0.5 * 1.5 * 1.5 * (1 - 0.277 * 1.5);
