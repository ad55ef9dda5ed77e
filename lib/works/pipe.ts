import { segmentArea, segmentWidth } from "./circle.ts";
import { GRAVITY } from "./flowLaw.ts";
import { smoothRoot, smoothRootSlope } from "./smoothRoot.ts";

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
 *          circle with an entry loss of 0.5, fitted to 3 %, against the inlet-control relations of FHWA HDS-5 (its
 *          coefficients from memory)
 */
export function pipeFlow(table: Float64Array, row: number, Ha: number, Hb: number, out: Float64Array): void {
  const crest = table[row]!;
  if (Ha <= crest && Hb <= crest) {
    out[0] = out[1] = out[2] = 0;
    return;
  }
  const forward = Ha >= Hb;
  const up = forward ? Ha : Hb;
  const down = forward ? Hb : Ha;
  const diameter = table[row + 1]!;
  const d = up - crest;
  const x = down > crest ? up - down : d;
  const root = smoothRoot(x);
  const area = segmentArea(diameter, d);
  const full = area * table[row + 2]! * root;

  const r = d * table[row + 4]!;
  const entranceScale = table[row + 3]!;
  const share = r <= ORIFICE_FROM ? 0.5 * r * r * (1 - 0.277 * r) : ORIFICE_COEFFICIENT * Math.sqrt(r - 0.5);
  const entrance = entranceScale * share;

  // slopes with the upper level, and with the lower one where that is above the crest
  let flow: number;
  let bySelf: number;
  let byOther: number;
  if (full <= entrance) {
    const byHead = area * table[row + 2]! * smoothRootSlope(x);
    flow = full;
    bySelf = segmentWidth(diameter, d) * table[row + 2]! * root + byHead;
    byOther = down > crest ? -byHead : 0;
  } else {
    const slope = r <= ORIFICE_FROM ? r * (1 - 0.4155 * r) : (0.5 * ORIFICE_COEFFICIENT * ORIFICE_COEFFICIENT) / share;
    flow = entrance;
    bySelf = entranceScale * slope * table[row + 4]!;
    byOther = 0;
  }
  out[0] = forward ? flow : -flow;
  out[1] = forward ? bySelf : -byOther;
  out[2] = forward ? byOther : -bySelf;
}

/** depth in diameters from which the entrance works as an orifice, and c there divided by the root of its head */
const ORIFICE_FROM = 1.5;
const ORIFICE_COEFFICIENT = 0.5 * 1.5 * 1.5 * (1 - 0.277 * 1.5);
